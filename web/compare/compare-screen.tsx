import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { isAbort } from '../net/api.ts';
import { jobs, refreshStored, storedError, traces, wordsOf } from '../state/stored.ts';
import { ChangeTable } from './change-table.tsx';
import { afterKey, beforeKey, findTrace, likelyPair, pairTrouble, refOf } from './choice.ts';
import { compareTraces, type CompareAnswer } from './compare-api.ts';
import './compare.css';
import { OverlayChart } from './overlay-chart.tsx';
import { TraceSelect } from './trace-select.tsx';
import { VerdictCard } from './verdict-card.tsx';

/** Two traces laid on the same switch edge: what changed, and whether the change is larger than its doubt. */
export function CompareScreen() {
  useEffect(() => void refreshStored(), []);
  const all = traces.value;
  useEffect(() => {
    if (all === null || beforeKey.peek() !== '' || afterKey.peek() !== '') return;
    const pair = likelyPair(all);
    beforeKey.value = pair?.before ?? '';
    afterKey.value = pair?.after ?? '';
  }, [all]);
  return (
    <div class="page">
      <div class="page-head"><h1>Compare</h1></div>
      {storedError.value !== '' && <p class="notice notice-fault"><Glyph shape="fault" size={18} />{storedError.value}</p>}
      {all !== null && all.length < 2 ? (
        <div class="plate empty"><p>Two traces are needed, one from before the repair and one from after it. Record them on the <a href={hrefOf('test')}>Test</a> screen, or <a href={hrefOf('traces')}>import a file</a>.</p></div>
      ) : (
        <>
          <div class="plate form-row">
            <TraceSelect name="Before" chosen={beforeKey} traces={all ?? []} jobs={jobs.value ?? []} none="Choose a trace" />
            <TraceSelect name="After" chosen={afterKey} traces={all ?? []} jobs={jobs.value ?? []} none="Choose a trace" />
            <button type="button" class="tool" onClick={() => ([beforeKey.value, afterKey.value] = [afterKey.value, beforeKey.value])}>Change places</button>
          </div>
          {all !== null && <Comparison before={beforeKey.value} after={afterKey.value} trouble={pairTrouble(findTrace(all, beforeKey.value), findTrace(all, afterKey.value))} />}
        </>
      )}
    </div>
  );
}

function Comparison({ before, after, trouble }: { before: string; after: string; trouble: string }) {
  const answer = useSignal<CompareAnswer | null>(null);
  const error = useSignal('');
  const working = useSignal<AbortController | null>(null);
  const ready = before !== '' && after !== '' && trouble === '';
  useEffect(() => {
    answer.value = null;
    error.value = '';
    if (!ready) return undefined;
    const stopper = new AbortController();
    working.value = stopper;
    compareTraces(refOf(before), refOf(after), stopper.signal)
      .then((found) => (answer.value = found))
      .catch((failure: unknown) => {
        if (!isAbort(failure)) error.value = wordsOf(failure);
        else if (working.peek() === stopper) error.value = 'Given up. Choose a trace to start again.';
      })
      .finally(() => {
        if (working.peek() === stopper) working.value = null;
      });
    return () => {
      working.value = null;
      stopper.abort();
    };
  }, [before, after, ready]);
  const said = trouble || error.value;
  if (said !== '') return <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} /><span>{said}</span></p>;
  if (working.value !== null) {
    return (
      <section class="plate working" role="status">
        <p>Comparing</p><progress aria-label="Comparing" />
        <button type="button" class="tool" onClick={() => working.value?.abort()}>Cancel</button>
      </section>
    );
  }
  if (answer.value === null) return <p class="fine">Choose the trace from before the repair and the one from after it.</p>;
  const { result, overlays } = answer.value;
  return (
    <div class="compared">
      <div class="compared-side">
        <VerdictCard result={result} />
        <a class="button" href={hrefOf('prove')}>Make the page for this</a>
      </div>
      <div class="compared-main">
        {overlays.map((overlay) => <OverlayChart overlay={overlay} key={overlay.direction} />)}
        {overlays.length === 0 && result.test === 'actuation' && <p class="plate empty">No direction is in both traces, so nothing can be laid on each other.</p>}
        <ChangeTable result={result} />
      </div>
    </div>
  );
}
