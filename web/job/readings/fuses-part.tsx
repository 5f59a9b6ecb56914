import { surveyFuses } from '../../../src/core/analysis/readings/fuse-survey.ts';
import type { FuseReading, SurveyedFuse } from '../../../src/core/analysis/readings/types.ts';
import { formatCurrent, formatCurrentWithin, language, plain } from '../../../src/core/present/language.ts';
import { fuseKind, fuseProblems } from '../../../src/core/present/wording/fuse-words.ts';
import { fuseTypeOf } from '../../../src/core/reference/blade-fuses.ts';
import type { FuseFields, JobRecord } from '../../../src/core/tracefile/record.ts';
import { NumberField } from '../../set-up/fields.tsx';
import { hasReading, reading } from '../../state/live.ts';
import { change } from '../case-state.ts';
import { FuseEntry } from './fuse-entry.tsx';

const words = language.screens.job.readings.fusesPart;

type Survey = NonNullable<JobRecord['fuse_survey']>;
const NO_SURVEY: Survey = { battery_a: null, fuses: [] };

/** Millivolts across one fuse after another, as a list of currents: nothing is pulled, nothing wakes. */
export function FusesPart({ job }: { job: JobRecord }) {
  const survey = job.fuse_survey ?? NO_SURVEY;
  const put = (make: (now: Survey) => Partial<Survey>): void => void change(job, ({ fuse_survey: kept }) => ({ fuse_survey: { ...(kept ?? NO_SURVEY), ...make(kept ?? NO_SURVEY) } }));
  // the same fuse measured again takes the place of what it showed before
  const add = (fuse: FuseFields): void => put(({ fuses }) => ({ fuses: [...fuses.filter(({ label }) => label !== fuse.label), fuse] }));
  const result = surveyFuses(survey.fuses.map(readingOf), survey.battery_a);
  const sum = formatCurrentWithin(result.sum_a, result.low_a, result.high_a);
  const left = result.left_over_a === null ? null : formatCurrentWithin(result.left_over_a, result.low_left_over_a ?? result.left_over_a, result.high_left_over_a ?? result.left_over_a);
  const noneKnown = result.not_in_sum.length === result.fuses.length;
  return (
    <div class="two two-even">
      <div class="stack">
        <FuseEntry fuses={survey.fuses} add={add} />
        <section class="plate form" aria-label={words.atTheBattery}>
          <h2>{words.atTheBattery}</h2>
          <div class="point">
            <NumberField name={words.theClampShowsMeanwhile} unit="A" value={survey.battery_a} set={(battery_a) => put(() => ({ battery_a }))} min={-10000} max={10000} />
            <TakeCurrent set={(battery_a) => put(() => ({ battery_a }))} />
          </div>
          <p class="fine">{words.tellsWhatNoFuseExplains}</p>
        </section>
      </div>
      <section class="plate" aria-label={words.fuseSurvey}>
        <h2>{words.currents} <span class="count">{survey.fuses.length}</span></h2>
        {survey.fuses.length === 0 ? <p class="fine">{words.noFuseMeasuredYet}</p> : (
          <>
            <div class="table-wrap" tabIndex={0} role="region" aria-label={words.currents}>
              <table class="figures fuse-table">
                <thead><tr><th scope="col">{words.fuse}</th><th scope="col">mV</th><th scope="col">{words.current}<span class="fuse-bounds">{words.bounds}</span></th><th scope="col"><span class="unseen">{words.remove}</span></th></tr></thead>
                <tbody>{result.fuses.map((fuse) => <FuseRow fuse={fuse} remove={() => put(({ fuses }) => ({ fuses: fuses.filter(({ label }) => label !== fuse.label) }))} key={fuse.label} />)}</tbody>
                <tfoot>
                  <tr><th scope="row">{result.not_in_sum.length === 0 ? words.allFuses : words.allFusesBut(result.not_in_sum.join(', '))}</th><td /><td class="tight">{noneKnown ? words.cannotTell : <>{sum.figure}<Bounds of={sum.bounds} /></>}</td><td /></tr>
                  {left !== null && <tr><th scope="row">{words.leftOver}</th><td /><td class="tight">{left.figure}<Bounds of={left.bounds} /></td><td /></tr>}
                </tfoot>
              </table>
            </div>
            <ul class="card-because fuse-notes">{[...fuseProblems(result.notes).map(({ text }) => text), ...language.fuses.cautions].map((line) => <li key={line}>{line}</li>)}</ul>
          </>
        )}
      </section>
    </div>
  );
}

/** Of a channel's millivolts; what was typed keeps the digits it has. */
const MV_DECIMALS = 2;

function FuseRow({ fuse, remove }: { fuse: SurveyedFuse; remove: () => void }) {
  const within = fuse.current_a === null || fuse.low_a === null || fuse.high_a === null ? null : formatCurrentWithin(fuse.current_a, fuse.low_a, fuse.high_a);
  return (
    <tr>
      <th scope="row">{fuse.label}<span class="fine fuse-kind">{fuseKind(fuse.type, fuse.rating_a)}</span></th>
      <td class="tight">{plain(Number(fuse.mv.toFixed(MV_DECIMALS)))}</td>
      <td class="tight" title={fuse.source ?? ''}>{fuse.current_a === null ? words.cannotTell : `${fuse.reads_high ? words.below : ''}${within?.figure ?? formatCurrent(fuse.current_a)}`}<Bounds of={within?.bounds ?? ''} /></td>
      <td><button type="button" class="link" aria-label={words.removeOne(fuse.label)} onClick={remove}>{words.remove}</button></td>
    </tr>
  );
}

/** Under the figure, so that a phone has room for the whole row. */
function Bounds({ of }: { of: string }) {
  return of === '' ? null : <span class="fuse-bounds">{of}</span>;
}

function TakeCurrent({ set }: { set: (currentA: number) => void }) {
  const live = hasReading.value ? (reading.value?.currentA ?? null) : null;
  if (live === null) return null;
  return <button type="button" class="tool" aria-label={words.takeFromTheClamp(formatCurrent(live))} onClick={() => set(Math.round(live * 1e4) / 1e4)}>{words.take}</button>;
}

function readingOf({ label, type, rating_a: ratingA, mv, ohm }: FuseFields): FuseReading {
  return { label, type: fuseTypeOf(type), typeWord: type, ratingA, dropV: mv / 1000, ownOhm: ohm };
}
