import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { TestKind } from '../../src/core/analysis/results.ts';
import { language, significant } from '../../src/core/present/language.ts';
import type { ImportOptions } from '../net/api.ts';
import { NumberField } from '../set-up/fields.tsx';
import { COLUMN_CHOICES, type ColumnChoice } from '../test/line-columns.ts';
import { columnsOf, previewCsv, rateOf, type CsvPreview } from './csv-preview.ts';

const texts = language.screens.traces.importForm;

const words = language.pages.importing;
/** Enough for a few thousand rows. */
const PREVIEW_BYTES = 65_536;

interface Props {
  readonly file: File;
  /** why it was refused; '' while it was not */
  readonly error: string;
  /** shown in place of the buttons while the file is taken in */
  readonly work: preact.ComponentChildren;
  readonly onImport: (test: TestKind, options: ImportOptions | null) => void;
  readonly onCancel: () => void;
}

/** Which test a file is of, what its columns hold, how many readings a second, and what to do with bad rows. */
export function ImportForm({ file, error, work, onImport, onCancel }: Props) {
  const test = useSignal<TestKind | null>(null);
  const preview = useSignal<CsvPreview | null>(null);
  const choices = useSignal<readonly ColumnChoice[]>([]);
  const typedHz = useSignal<number | null>(null);
  const skipBad = useSignal(false);
  const isCsv = /\.(csv|txt|tsv)$/i.test(file.name);
  useEffect(() => {
    if (!isCsv) return;
    void file.slice(0, PREVIEW_BYTES).text().then((text) => {
      // a file that ends within the piece has no cut line
      preview.value = previewCsv(file.size < PREVIEW_BYTES ? `${text}\n` : text);
      choices.value = preview.value?.choices ?? [];
    });
  }, [file]);
  const table = preview.value;
  const columns = columnsOf(choices.value);
  const timed = choices.value.some((choice) => choice.startsWith('time'));
  const missing = test.value === null ? words.chooseTest : !isCsv || table === null ? '' : columns === null ? words.chooseCurrent : !timed && typedHz.value === null ? words.giveRate : '';
  return (
    <form
      class="plate form import-form" aria-label={texts.howToReadTheFile}
      onSubmit={(event) => {
        event.preventDefault();
        if (missing === '' && test.value !== null) onImport(test.value, isCsv ? { columns: columns ?? '', rateHz: timed ? null : typedHz.value, skipBad: skipBad.value } : null);
      }}
    >
      <h2>{words.title(file.name)}</h2>
      <fieldset class="choice" aria-label={words.which}>
        {(['actuation', 'drain'] as const).map((one) => (
          <label class="plate choice-card" key={one}><input type="radio" name="import-test" checked={test.value === one} onChange={() => (test.value = one)} /><b>{words.tests[one]}</b></label>
        ))}
      </fieldset>
      {isCsv && table !== null && (
        <>
          <div class="table-wrap" tabIndex={0} role="region" aria-label={words.preview}>
            <table class="figures">
              <thead>
                <tr>{table.names.map((name, i) => <th scope="col" key={i}>{name}</th>)}</tr>
                <tr>{table.names.map((name, i) => (
                  <td key={i}>
                    <select aria-label={words.holds(name)} value={choices.value[i] ?? 'skip'} onChange={(event) => (choices.value = choices.value.map((old, at) => (at === i ? (event.currentTarget.value as ColumnChoice) : old)))}>
                      {COLUMN_CHOICES.map((choice) => <option value={choice} key={choice}>{language.pages.lines.choices[choice]}</option>)}
                    </select>
                  </td>
                ))}</tr>
              </thead>
              <tbody>{table.rows.map((row, at) => <tr key={at}>{row.map((cell, i) => <td key={i}>{cell}</td>)}</tr>)}</tbody>
            </table>
          </div>
          <div class="form-grid">
            {timed ? <p>{rateWords(rateOf(table, choices.value))}</p> : <NumberField name={words.rate} unit="Hz" value={typedHz.value} set={(value) => (typedHz.value = value)} min={0.001} max={1e7} />}
            <label class="check"><input type="checkbox" checked={skipBad} onChange={(event) => (skipBad.value = event.currentTarget.checked)} />{words.skipBad}</label>
          </div>
        </>
      )}
      {error !== '' && <p class="error" role="alert">{error}</p>}
      {work ?? (
        <div class="form-end">
          <button type="submit" class="button" disabled={missing !== ''}>{words.begin}</button>
          <button type="button" class="button button-quiet" onClick={onCancel}>{words.leave}</button>
          {missing !== '' && <span class="fine" role="status">{missing}</span>}
        </div>
      )}
    </form>
  );
}

function rateWords(rateHz: number | null): string {
  return rateHz === null ? words.timeDoesNotRise : words.about(significant(rateHz, 3));
}
