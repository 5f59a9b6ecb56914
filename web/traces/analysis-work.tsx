import { Glyph } from '../app/glyph.tsx';
import { cancelExports } from '../net/api.ts';
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

/** A file that is being made of the trace. */
export function ExportWork({ trace }: { trace: OpenedTrace }) {
  const at = progress.value[`${trace.ref.jobId}/${trace.ref.traceId}`];
  if (at?.what !== 'export' || at.fraction >= 1) return null;
  return (
    <section class="plate working" role="status" aria-label="Making the file">
      <p>Making the file, {Math.round(at.fraction * 100)} %</p>
      <progress max={1} value={at.fraction} aria-label="Export" />
      <button type="button" class="tool" onClick={() => void cancelExports(trace.ref)}>Cancel</button>
    </section>
  );
}
