import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { en } from '../../src/core/present/en/index.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { Allowed } from '../app/allowed.tsx';
import { exportLibrary, importLibrary } from '../state/library.ts';
import { wordsOf } from '../state/stored.ts';

const words = en.library;

interface Props {
  readonly sets: readonly KnownGoodSet[];
  readonly chosen: KnownGoodSet | null;
  /** something was taken in */
  readonly changed: (show: string | undefined) => void;
}

/** The library as a file: out for another workshop or the command line, in from there. */
export function LibraryFiles({ sets, chosen, changed }: Props) {
  const file = useRef<HTMLInputElement>(null);
  const said = useSignal('');
  const error = useSignal('');
  const working = useSignal(false);
  const take = async (given: File | undefined): Promise<void> => {
    if (given === undefined) return;
    error.value = '';
    said.value = '';
    working.value = true;
    try {
      const { taken, had } = await importLibrary(given);
      said.value = words.took(taken.length, had);
      changed(taken[0]?.id);
    } catch (failure) {
      error.value = wordsOf(failure);
    } finally {
      working.value = false;
      if (file.current !== null) file.current.value = '';
    }
  };
  return (
    <>
      <div class="form-end">
        {chosen !== null && <button type="button" class="tool" onClick={() => exportLibrary([chosen], `${chosen.id}.json`)}>{words.exportOne}</button>}
        {sets.length > 1 && <button type="button" class="tool" onClick={() => exportLibrary(sets, 'usual-currents.json')}>{words.exportAll}</button>}
        <input ref={file} type="file" class="unseen" tabIndex={-1} aria-label={words.fileField} accept=".json,application/json" onChange={(event) => void take(event.currentTarget.files?.[0])} />
        <Allowed to="change"><button type="button" class="tool" aria-disabled={working.value} onClick={() => !working.value && file.current?.click()}>{working.value ? words.importing : words.importFile}</button></Allowed>
      </div>
      <p class="fine" role="status">{said.value}</p>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </>
  );
}
