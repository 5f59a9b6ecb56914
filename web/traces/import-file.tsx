import { useRef } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';
import { ImportForm } from './import-form.tsx';
import { asked, error, giveUp, beginImport, leave, look, work } from './importing.ts';

const words = language.screens.traces.importFile;

/** A trace from elsewhere: CSV, Arrow, or a zip that another amptrail made. Other files than a zip are shown first: a file does not say which test it is of. */
export function ImportFile() {
  const input = useRef<HTMLInputElement>(null);
  const file = asked.value;
  const busy = work.value !== null;
  return (
    <div class="import">
      <input
        ref={input} type="file" hidden accept=".csv,.txt,.tsv,.arrows,.zip" aria-label={words.fileToImport}
        onChange={(event) => {
          const chosen = event.currentTarget.files?.[0];
          event.currentTarget.value = '';
          if (chosen !== undefined) look(chosen);
        }}
      />
      {!busy && <button type="button" class="button button-quiet" onClick={() => input.current?.click()}>{words.importAFile}</button>}
      {busy && file === null && <ImportWork />}
      {error.value !== '' && file === null && <p class="error" role="alert">{error.value}</p>}
      {file !== null && (
        <ImportForm key={file.name + file.lastModified} file={file} error={error.value} work={busy ? <ImportWork /> : null} onImport={(test, options) => void beginImport(file, test, options)} onCancel={leave} />
      )}
    </div>
  );
}

/** How far the file is, where the hand has just been, and a way to give it up. */
function ImportWork() {
  const { name = '', share = null } = work.value ?? {};
  return (
    <div class="working" role="status" aria-label={words.importing}>
      <p>{words.importingFile(name)}{share === null ? '' : `, ${Math.floor(share * 100)} %`}</p>
      {share === null ? <progress aria-label={words.importing} /> : <progress max={1} value={share} aria-label={words.importing} />}
      <button type="button" class="tool" onClick={giveUp}>{words.cancel}</button>
    </div>
  );
}
