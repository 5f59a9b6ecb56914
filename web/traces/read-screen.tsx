import { useEffect } from 'preact/hooks';
import { hrefOf } from '../app/route.ts';
import { ActuationTable } from '../reading/actuation-list.tsx';
import { DrainFacts, PossiblePullTable, PullTable, WakeUpTable } from '../reading/drain-tables.tsx';
import { ReadingCard } from '../reading/reading-card.tsx';
import { result } from '../state/live.ts';
import { jobs, refreshStored, traces } from '../state/stored.ts';
import { TraceRow } from './traces-screen.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.traces.readScreen;

const RECENT = 5;

/** What the running test shows so far in every figure, and the newest recordings to open. */
export function ReadScreen() {
  useEffect(() => void refreshStored(), []);
  const live = result.value?.result ?? null;
  const recent = (traces.value ?? []).slice(0, RECENT);
  const nowhere = (): void => {
    location.hash = hrefOf('test');
  };
  return (
    <div class="page">
      <div class="page-head"><h1>{words.read}</h1></div>
      <div class="two">
        <section>
          <h2 class="section-name">{words.recordings}</h2>
          {recent.length === 0 ? <div class="plate empty"><p>{words.noRecordingYet((text) => <a href={hrefOf('test')}>{text}</a>)}</p></div> : (
            <ul class="trace-list">{recent.map((trace) => <TraceRow trace={trace} jobs={jobs.value ?? []} key={`${trace.jobId}/${trace.record.id}`} />)}</ul>
          )}
          {(traces.value?.length ?? 0) > RECENT && <p><a href={hrefOf('traces')}>{words.allTraces(traces.value!.length)}</a></p>}
        </section>
        <section>
          <h2 class="section-name">{words.theRunningTestSoFar}</h2>
          <ReadingCard result={live} waiting="Nothing has been tested since amptrail was started." />
        </section>
      </div>
      {live?.test === 'actuation' && live.actuations.length > 0 && <section class="plate"><h2>{words.everyActuationOfThe}</h2><ActuationTable result={live} offsetS={result.value!.offsetS} show={nowhere} /></section>}
      {live?.test === 'drain' && <section class="plate"><h2>{words.theRunningDrainTest}</h2><DrainFacts result={live} /><PullTable result={live} /><PossiblePullTable result={live} /><WakeUpTable result={live} show={nowhere} /></section>}
    </div>
  );
}
