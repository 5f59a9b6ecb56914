import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { go } from '../app/route.ts';
import type { ImportOptions } from '../net/api.ts';
import { importFile, isAbort } from '../net/api.ts';
import { NumberField, TextField } from '../set-up/fields.tsx';
import { progress } from '../state/live.ts';
import { refreshStored, traces, wordsOf } from '../state/stored.ts';

/** A trace from elsewhere: CSV, Arrow, or a zip that another amptrail made. A CSV that cannot be read as it is asks how to read it. */
export function ImportFile() {
  const input = useRef<HTMLInputElement>(null);
  const running = useSignal<AbortController | null>(null);
  const error = useSignal('');
  const refused = useSignal<File | null>(null);
  const at = progress.value['/'];
  const share = at?.what === 'import' && at.fraction < 1 ? at.fraction : null;
  const take = async (file: File, options: ImportOptions | null): Promise<void> => {
    const stopper = new AbortController();
    running.value = stopper;
    error.value = '';
    try {
      const record = await importFile(file, options, stopper.signal);
      refused.value = null;
      await refreshStored();
      const found = traces.value?.find((trace) => trace.record.id === record.id);
      if (found !== undefined) go('trace', found.jobId, record.id);
    } catch (failure) {
      if (!isAbort(failure)) {
        error.value = wordsOf(failure);
        refused.value = /\.csv$/i.test(file.name) ? file : null;
      }
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
          if (file !== undefined) void take(file, null);
        }}
      />
      {running.value === null ? (
        <button type="button" class="button button-quiet" onClick={() => input.current?.click()}>Import a file</button>
      ) : (
        <span class="working" role="status">{share === null ? <progress aria-label="Importing" /> : <progress max={1} value={share} aria-label="Importing" />}Reading the file{share === null ? '' : `, ${Math.round(share * 100)} %`} <button type="button" class="tool" onClick={() => running.value?.abort()}>Cancel</button></span>
      )}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      {refused.value !== null && <CsvQuestions file={refused.value} take={(options) => void take(refused.value!, options)} give={() => (refused.value = null)} />}
    </div>
  );
}

/** Names of the columns, rate, and what to do with bad rows, for one file. */
function CsvQuestions({ file, take, give }: { file: File; take: (options: ImportOptions) => void; give: () => void }) {
  const columns = useSignal('');
  const rateHz = useSignal<number | null>(null);
  const skipBad = useSignal(false);
  return (
    <form
      class="plate form import-form" aria-label="How to read the file"
      onSubmit={(event) => {
        event.preventDefault();
        take({ columns: columns.value.trim(), rateHz: rateHz.value, skipBad: skipBad.value });
      }}
    >
      <h2>How to read {file.name}</h2>
      <div class="form-grid">
        <div class="field field-wide">
          <TextField name="Its columns, by name or number, with unit" value={columns.value} set={(value) => (columns.value = value)} placeholder="time=Time:ms,current=Ch1:mA,voltage=Ch2:mV" />
        </div>
        <NumberField name="Readings a second, when no column holds the time" unit="Hz" value={rateHz.value} set={(value) => (rateHz.value = value)} min={0.001} max={1e7} />
        <label class="check"><input type="checkbox" checked={skipBad} onChange={(event) => (skipBad.value = event.currentTarget.checked)} />Leave out rows that are no reading</label>
      </div>
      <div class="form-end">
        <button type="submit" class="button">Read it so</button>
        <button type="button" class="button button-quiet" onClick={give}>Leave it</button>
      </div>
    </form>
  );
}
