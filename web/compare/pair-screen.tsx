import { useEffect } from 'preact/hooks';
import type { TraceView } from '../../src/core/wire/api.ts';
import { hrefOf } from '../app/route.ts';
import { activeJob, jobs } from '../state/stored.ts';
import { askedState, useAsked } from './asked.tsx';
import { ChangeTable } from './change-table.tsx';
import { afterKey, beforeKey, findTrace, offerPair, pairTrouble, proving, refOf, tolerance } from './choice.ts';
import { compareTraces } from './compare-api.ts';
import { NightChart } from './night-chart.tsx';
import { OverlayChart } from './overlay-chart.tsx';
import { TraceSelect } from './trace-select.tsx';
import { VerdictCard } from './verdict-card.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.pairScreen;

/** Shares below which a change may be called the same; null: each figure's own, about what a healthy mechanism shows from press to press. */
const TOLERANCES: readonly { readonly share: number | null; readonly name: string }[] = [
  { share: null, name: words.eachFiguresOwn },
  { share: 0.02, name: '2 %' },
  { share: 0.05, name: '5 %' },
  { share: 0.1, name: '10 %' },
  { share: 0.2, name: '20 %' },
];

/** Two traces laid on the same switch edge: what changed, and whether the change is larger than its uncertainty. */
export function PairScreen({ traces }: { traces: readonly TraceView[] }) {
  useEffect(() => {
    offerPair(traces, activeJob.value);
  }, [traces, activeJob.value]);
  const [before, after] = [beforeKey.value, afterKey.value];
  const trouble = pairTrouble(findTrace(traces, before), findTrace(traces, after));
  const ready = before !== '' && after !== '' && trouble === '';
  const asked = useAsked(ready ? `${before} ${after} ${tolerance.value}` : '', (signal) => compareTraces(refOf(before), refOf(after), tolerance.value, signal));
  const state = askedState(asked, words.comparing, trouble, words.chooseTheTraceFrom);
  const answer = asked.answer.value;
  return (
    <>
      <div class="plate form-row choose-traces">
        <TraceSelect name={words.before} chosen={beforeKey} traces={traces} jobs={jobs.value ?? []} none={words.chooseATrace} />
        <TraceSelect name={words.after} chosen={afterKey} traces={traces} jobs={jobs.value ?? []} none={words.chooseATrace} />
        <label class="field field-short">
          <span class="field-name">{words.sameWithin}</span>
          <select value={String(tolerance.value)} onChange={(event) => (tolerance.value = event.currentTarget.value === 'null' ? null : Number(event.currentTarget.value))}>
            {TOLERANCES.map(({ share, name }) => <option value={String(share)} key={name}>{name}</option>)}
          </select>
        </label>
        <button type="button" class="tool" onClick={() => ([beforeKey.value, afterKey.value] = [afterKey.value, beforeKey.value])}>{words.changePlaces}</button>
      </div>
      {state}
      {state === null && answer !== null && (
        <div class="compared">
          <div class="compared-side">
            <VerdictCard result={answer.result} />
            <a class="button" href={hrefOf('prove')} onClick={() => (proving.value = 'pair')}>{words.makeThePageForThis}</a>
          </div>
          <div class="compared-main">
            {(['forward', 'reverse'] as const).map((direction) => {
              const own = answer.overlays.filter((overlay) => overlay.direction === direction);
              return own.length > 0 && <OverlayChart overlays={own} key={`${before} ${after} ${direction}`} />;
            })}
            {answer.nights !== null && <NightChart nights={answer.nights} />}
            {answer.overlays.length === 0 && answer.result.test === 'actuation' && <p class="plate empty">{words.theTwoTracesShare}</p>}
            <ChangeTable result={answer.result} />
          </div>
        </div>
      )}
    </>
  );
}
