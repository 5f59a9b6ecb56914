import { useSignal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';
import { NumberField } from '../set-up/fields.tsx';
import { send } from '../state/actions.ts';
import { recording } from '../state/live.ts';
import { baudOf, COLUMN_CHOICES, isNumber, usesOf, withBaud, withColumns, type ColumnChoice, type ColumnUse, type LineField } from './line-columns.ts';
import { printable } from './printable.ts';

const words = language.pages.lines;
/** What sketches and converters are set to. */
const BAUDS: readonly number[] = [9600, 19_200, 38_400, 57_600, 115_200, 230_400, 250_000, 460_800, 500_000, 921_600, 1_000_000, 2_000_000];

/** What each column of the lines holds, its scale, and the speed of the port. `fields`: those of a line as it came; none while only noise comes. */
export function ColumnForm({ spec, fields }: { spec: string; fields: readonly LineField[] }) {
  const uses = useSignal<readonly ColumnUse[]>(usesOf(spec, fields));
  const baud = useSignal(baudOf(spec));
  const numbers = fields.some(isNumber);
  const columns = !numbers ? spec : withColumns(spec, uses.value, fields);
  const next = columns === null ? null : withBaud(columns, baud.value);
  const put = (at: number, use: Partial<ColumnUse>): void => {
    uses.value = uses.value.map((one, i) => (i === at ? { ...one, ...use } : one));
  };
  return (
    <form
      class="stack" aria-label={language.pages.logger.how}
      onSubmit={(event) => {
        event.preventDefault();
        if (next !== null) send({ type: 'source', do: 'choose', spec: next });
      }}
    >
      <div class="form-grid">
        {numbers && fields.map((field, i) => <Column number={i + 1} field={field.text} use={uses.value[i]!} put={(use) => put(i, use)} key={i} />)}
        <label class="field">
          <span class="field-name">{words.baud}</span>
          <select value={String(baud.value ?? '')} onChange={(event) => (baud.value = event.currentTarget.value === '' ? null : Number(event.currentTarget.value))}>
            <option value="">{words.findBaud}</option>
            {[...new Set([...BAUDS, ...(baud.value === null ? [] : [baud.value])])].sort((a, b) => a - b).map((one) => <option value={String(one)} key={one}>{one}</option>)}
          </select>
        </label>
        {!numbers && <NumberField name={words.otherBaud} unit="" value={BAUDS.includes(baud.value ?? 9600) ? null : baud.value} set={(other) => (baud.value = other === null ? null : Math.round(other))} min={50} max={20_000_000} />}
      </div>
      <div class="form-end">
        <button type="submit" class="button" disabled={next === null || recording.value !== null}>{numbers ? words.use : words.useBaud}</button>
        {next === null && <span class="fine">{words.oneCurrent}</span>}
      </div>
    </form>
  );
}

function Column({ number, field, use, put }: { number: number; field: string; use: ColumnUse; put: (use: Partial<ColumnUse>) => void }) {
  const [role, unit = ''] = use.choice.split(':');
  return (
    <div class="field">
      <label class="field">
        <span class="field-name">{words.column(number, printable(field).slice(0, 20))}</span>
        <select value={use.choice} onChange={(event) => put({ choice: event.currentTarget.value as ColumnChoice })}>
          {COLUMN_CHOICES.map((choice) => <option value={choice} key={choice}>{words.choices[choice]}</option>)}
        </select>
      </label>
      {(role === 'current' || role === 'voltage') && <NumberField name={words.scale(unit)} unit="" value={use.scale} set={(scale) => put({ scale: scale === 0 ? null : scale })} min={-1e9} max={1e9} placeholder="1" help={words.scaleHelp} />}
    </div>
  );
}
