import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { go } from '../app/route.ts';
import { importFile, isAbort } from '../net/api.ts';
import { refreshStored, traces, wordsOf } from '../state/stored.ts';

/** A trace from elsewhere: CSV, Arrow, or a zip that another amptrail made. */
export function ImportFile() {
  const input = useRef<HTMLInputElement>(null);
  const running = useSignal<AbortController | null>(null);
  const error = useSignal('');
  const take = async (file: File): Promise<void> => {
    const stopper = new AbortController();
    running.value = stopper;
    error.value = '';
    try {
      const record = await importFile(file, stopper.signal);
      await refreshStored();
      const found = traces.value?.find((trace) => trace.record.id === record.id);
      if (found !== undefined) go('trace', found.jobId, record.id);
    } catch (failure) {
      if (!isAbort(failure)) error.value = wordsOf(failure);
    }
    running.value = null;
  };
  return (
    <div class="import">
      <input
        ref={input} type="file" hidden accept=".csv,.arrows,.zip" aria-label="File to import"
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          event.currentTarget.value = '';
          if (file !== undefined) void take(file);
        }}
      />
      {running.value === null ? (
        <button type="button" class="button button-quiet" onClick={() => input.current?.click()}>Import a file</button>
      ) : (
        <span class="working" role="status"><progress aria-label="Importing" />Reading the file <button type="button" class="tool" onClick={() => running.value?.abort()}>Cancel</button></span>
      )}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </div>
  );
}
