import { useSignal } from '@preact/signals';
import type { FuseType } from '../../src/core/reference/fuse-drop.ts';
import { FUSE_ROWS, fuseDropCurrent } from '../../src/core/reference/fuse-drop.ts';
import { formatCurrent } from '../../src/core/units.ts';
import { NumberField } from './fields.tsx';

const TYPE_NAMES: Readonly<Record<FuseType, string>> = { ato: 'blade, regular', mini: 'blade, mini', maxi: 'blade, large' };

/** The other way to find the circuit: millivolts across a fuse that stays in. */
export function FuseDropCard() {
  const chosen = useSignal(`${FUSE_ROWS[0]!.type} ${FUSE_ROWS[0]!.ratingA}`);
  const millivolts = useSignal<number | null>(null);
  const row = FUSE_ROWS.find((one) => `${one.type} ${one.ratingA}` === chosen.value) ?? FUSE_ROWS[0]!;
  const answer = millivolts.value === null ? null : fuseDropCurrent(row.type, row.ratingA, millivolts.value / 1000);
  return (
    <section class="plate form" aria-label="Millivolts across a fuse">
      <h2>Without pulling: millivolts across a fuse</h2>
      <p class="fine">Touch both test points of the fuse with a millivolt meter. Nothing is disturbed, nothing wakes.</p>
      <div class="form-grid">
        <label class="field">
          <span class="field-name">Fuse</span>
          <select value={chosen} onChange={(event) => (chosen.value = event.currentTarget.value)}>
            {FUSE_ROWS.map((one) => <option value={`${one.type} ${one.ratingA}`} key={`${one.type} ${one.ratingA}`}>{TYPE_NAMES[one.type]}, {one.ratingA} A</option>)}
          </select>
        </label>
        <NumberField name="Across it" unit="mV" value={millivolts.value} set={(value) => (millivolts.value = value)} min={-5000} max={5000} />
      </div>
      <div role="status">
        {typeof answer === 'string' && <p class="error">{answer}</p>}
        {answer !== null && typeof answer === 'object' && (
          <>
            <p class="fuse-answer"><strong>{formatCurrent(answer.currentA)}</strong> {formatCurrent(answer.lowA)} to {formatCurrent(answer.highA)}</p>
            <ul class="card-because">{answer.warnings.map((line) => <li key={line}>{line}</li>)}</ul>
            <p class="fine">Resistance: {answer.source}.</p>
          </>
        )}
      </div>
    </section>
  );
}
