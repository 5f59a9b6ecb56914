import { Glyph } from '../app/glyph.tsx';
import { progress } from '../state/live.ts';
import type { OpenedTrace } from './opened-trace.ts';

/** A reading that takes its time: how far it is, and a way to give it up. */
export function AnalysisWork({ trace }: { trace: OpenedTrace }) {
  const work = trace.working.value;
  const { jobId, traceId } = trace.ref;
  const result = trace.result.value;
  const test = result?.test ?? trace.detail.value?.record.test ?? 'actuation';
  if (work === null) {
    return result === null ? <button type="button" class="button" onClick={() => void trace.analyse(test)}><Glyph shape="live" />Read this trace</button> : null;
  }
  const at = progress.value[`${jobId}/${traceId}`];
  const fraction = at?.what === 'analysis' && at.fraction < 1 ? at.fraction : null;
  return (
    <section class="plate working" role="status" aria-label="Reading the trace">
      <p>Reading the trace{fraction === null ? '' : `, ${Math.round(fraction * 100)} %`}</p>
      {fraction === null ? <progress aria-label="Reading" /> : <progress max={1} value={fraction} aria-label="Reading" />}
      <button type="button" class="tool" onClick={() => work.abort()}>Cancel</button>
    </section>
  );
}
