import { useSignal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { FileButton } from '../app/file-button.tsx';
import { exportLibrary, importLibrary } from '../state/library.ts';

const words = language.library;

interface Props {
  readonly sets: readonly KnownGoodSet[];
  readonly chosen: KnownGoodSet | null;
  /** something was taken in */
  readonly changed: (show: string | undefined) => void;
}

/** The library as a file: out for another workshop or the command line, in from there. */
export function LibraryFiles({ sets, chosen, changed }: Props) {
  const said = useSignal('');
  const error = useSignal('');
  const bringIn = async (file: File): Promise<void> => {
    const { taken, had } = await importLibrary(file);
    said.value = words.took(taken.length, had);
    changed(taken[0]?.id);
  };
  const failed = (text: string): void => {
    error.value = text;
    if (text === '') said.value = '';
  };
  return (
    <>
      <div class="form-end">
        {chosen !== null && <button type="button" class="tool" onClick={() => exportLibrary([chosen], `${chosen.id}.json`)}>{words.exportOne}</button>}
        {sets.length > 1 && <button type="button" class="tool" onClick={() => exportLibrary(sets, 'usual-currents.json')}>{words.exportAll}</button>}
        <FileButton field={words.fileField} accept=".json,application/json" text={words.importFile} busy={words.importing} bringIn={bringIn} failed={failed} />
      </div>
      <p class="fine" role="status">{said.value}</p>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </>
  );
}
