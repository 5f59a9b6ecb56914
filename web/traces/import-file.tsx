import { useSignal } from '@preact/signals';
import type { TestKind } from '../../src/core/analysis/results.ts';
import { useRef } from 'preact/hooks';
import { go } from '../app/route.ts';
import type { ImportOptions } from '../net/api.ts';
import { importFile, isAbort, updateTrace } from '../net/api.ts';
import { progress } from '../state/live.ts';
import { forThePage } from './csv-preview.ts';
import { ImportForm } from './import-form.tsx';
import { refreshStored, traces, wordsOf } from '../state/stored.ts';
import { en } from '../../src/core/present/en/index.ts';

const words = en.screens.traces.importFile;

/** A trace from elsewhere: CSV, Arrow, or a zip that another amptrail made. Other files than a zip are shown first: a file does not say which test it is of. */
export function ImportFile() {
  const input = useRef<HTMLInputElement>(null);
  const running = useSignal<AbortController | null>(null);
  const error = useSignal('');
  const asked = useSignal<File | null>(null);
  const at = progress.value['/'];
  const share = at?.what === 'import' && at.fraction < 1 ? at.fraction : null;
  const take = async (file: File, test: TestKind | null, options: ImportOptions | null): Promise<void> => {
    const stopper = new AbortController();
    running.value = stopper;
    error.value = '';
    try {
      const record = await importFile(file, options, stopper.signal);
      asked.value = null;
      await refreshStored();
      const found = traces.value?.find((trace) => trace.record.id === record.id);
      if (found !== undefined && test !== null) await updateTrace({ jobId: found.jobId, traceId: record.id }, { test });
      if (found !== undefined) go('trace', found.jobId, record.id);
    } catch (failure) {
      if (!isAbort(failure)) {
        error.value = forThePage(wordsOf(failure));
      }
    }
    running.value = null;
  };
  const look = (file: File): void => {
    error.value = '';
    if (/\.zip$/i.test(file.name)) void take(file, null, null);
    else asked.value = file;
  };
  return (
    <div class="import">
      <input
        ref={input} type="file" hidden accept=".csv,.arrows,.zip" aria-label={words.fileToImport}
        onChange={(event) => {
          const file = event.currentTarget.files?.[0];
          event.currentTarget.value = '';
          if (file !== undefined) look(file);
        }}
      />
      {running.value === null ? (
        <button type="button" class="button button-quiet" onClick={() => input.current?.click()}>{words.importAFile}</button>
      ) : (
        <span class="working" role="status">{share === null ? <progress aria-label={words.importing} /> : <progress max={1} value={share} aria-label={words.importing} />}{words.readingTheFile}{share === null ? '' : `, ${Math.round(share * 100)} %`} <button type="button" class="tool" onClick={() => running.value?.abort()}>{words.cancel}</button></span>
      )}
      {error.value !== '' && asked.value === null && <p class="error" role="alert">{error.value}</p>}
      {asked.value !== null && <ImportForm key={asked.value.name + asked.value.lastModified} file={asked.value} error={error.value} take={(test, options) => void take(asked.value!, test, options)} give={() => (asked.value = null)} />}
    </div>
  );
}
