import { useSignal } from '@preact/signals';
import { surveyFuses } from '../../src/core/analysis/readings/fuse-survey.ts';
import { en } from '../../src/core/present/en/index.ts';
import { fuseProblems } from '../../src/core/present/fuse-words.ts';
import { FUSE_RATINGS_A, FUSE_TYPES, fuseOhm } from '../../src/core/reference/blade-fuses.ts';
import { formatCurrent } from '../../src/core/units.ts';
import { NumberField } from './fields.tsx';

const KNOWN = FUSE_TYPES.flatMap((type) => FUSE_RATINGS_A[type].filter((ratingA) => fuseOhm(type, ratingA) !== null).map((ratingA) => ({ type, ratingA })));

/** The other way to find the circuit: millivolts across a fuse that stays in. */
export function FuseDropCard() {
  const chosen = useSignal('ato 10');
  const millivolts = useSignal<number | null>(null);
  const { type, ratingA } = KNOWN.find((one) => `${one.type} ${one.ratingA}` === chosen.value) ?? KNOWN[0]!;
  const survey = millivolts.value === null ? null : surveyFuses([{ label: 'This fuse', type, typeWord: type, ratingA, dropV: millivolts.value / 1000, ownOhm: null }], null);
  const fuse = survey?.fuses[0];
  return (
    <section class="plate form" aria-label="Millivolts across a fuse">
      <h2>Without pulling: millivolts across a fuse</h2>
      <p class="fine">Touch both test points of the fuse with a millivolt meter. Nothing is disturbed, nothing wakes.</p>
      <div class="form-grid">
        <label class="field">
          <span class="field-name">Fuse</span>
          <select value={chosen} onChange={(event) => (chosen.value = event.currentTarget.value)}>
            {KNOWN.map((one) => <option value={`${one.type} ${one.ratingA}`} key={`${one.type} ${one.ratingA}`}>{en.fuses.types[one.type]}, {one.ratingA} A</option>)}
          </select>
        </label>
        <NumberField name="Across it" unit="mV" value={millivolts.value} set={(value) => (millivolts.value = value)} min={-5000} max={5000} />
      </div>
      <div role="status">
        {survey !== null && fuse !== undefined && (
          <>
            {fuse.current_a !== null && <p class="fuse-answer"><strong>{formatCurrent(fuse.current_a)}</strong> {formatCurrent(fuse.low_a ?? 0)} to {formatCurrent(fuse.high_a ?? 0)}</p>}
            <ul class="card-because">{[...fuseProblems(survey.notes).map(({ text }) => text), ...en.fuses.cautions].map((line) => <li key={line}>{line}</li>)}</ul>
            {fuse.source !== null && <p class="fine">Resistance: {fuse.source}.</p>}
          </>
        )}
      </div>
    </section>
  );
}
