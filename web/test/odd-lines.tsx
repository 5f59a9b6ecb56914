import { useSignal } from '@preact/signals';
import { en } from '../../src/core/present/en/index.ts';
import { Glyph } from '../app/glyph.tsx';
import { send } from '../state/actions.ts';
import { link, recording, source, status } from '../state/live.ts';
import { COLUMN_CHOICES, fieldsOf, withColumns, type ColumnChoice } from './line-columns.ts';

const words = en.pages.lines;

/** Lines come and none is a reading: shows them as they came, and asks what their columns hold. */
export function OddLines() {
  const lines = link.value.state === 'open' ? (status.value?.lines ?? []) : [];
  if (lines.length === 0) return null;
  const spec = source.value?.spec ?? '';
  return (
    <section class="plate odd-lines" aria-label={words.title}>
      <h2><Glyph shape="fault" size={20} />{words.title}</h2>
      <p>{words.text}</p>
      <pre aria-label={words.last}>{lines.map(printable).join('\n')}</pre>
      {spec.startsWith('serial:') && fieldsOf(lines).length > 0 && <ColumnForm spec={spec} fields={fieldsOf(lines)} key={fieldsOf(lines).length} />}
    </section>
  );
}

function ColumnForm({ spec, fields }: { spec: string; fields: readonly string[] }) {
  const choices = useSignal<readonly ColumnChoice[]>(fields.map(() => 'skip'));
  const next = withColumns(spec, choices.value);
  return (
    <form
      class="stack"
      onSubmit={(event) => {
        event.preventDefault();
        if (next !== null) send({ type: 'source', do: 'choose', spec: next });
      }}
    >
      <div class="form-grid">
        {fields.map((field, i) => (
          <label class="field" key={i}>
            <span class="field-name">{words.column(i + 1, printable(field).slice(0, 20))}</span>
            <select value={choices.value[i]!} onChange={(event) => (choices.value = choices.value.map((one, at) => (at === i ? (event.currentTarget.value as ColumnChoice) : one)))}>
              {COLUMN_CHOICES.map((choice) => <option value={choice} key={choice}>{words.choices[choice]}</option>)}
            </select>
          </label>
        ))}
      </div>
      <div class="form-end">
        <button type="submit" class="button" disabled={next === null || recording.value !== null}>{words.use}</button>
        {next === null && <span class="fine">{words.oneCurrent}</span>}
      </div>
    </form>
  );
}

/** Bytes that are no text are shown as a dot. */
function printable(line: string): string {
  return line.replaceAll(/[^\x20-\x7e\u00a0-\u024f]/g, '·');
}
