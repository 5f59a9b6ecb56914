import { Glyph } from '../app/glyph.tsx';
import { cancelExports } from '../net/api.ts';
import { shareOf } from '../state/live.ts';
import type { OpenedTrace } from './opened-trace.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.traces.analysisWork;

/** A reading that takes its time: how far it is, and a way to give it up. */
export function AnalysisWork({ trace }: { trace: OpenedTrace }) {
  const work = trace.working.value;
  const { jobId, traceId } = trace.ref;
  const result = trace.result.value;
  const test = result?.test ?? trace.detail.value?.record.test ?? 'actuation';
  if (work === null) {
    return result === null ? <button type="button" class="button" onClick={() => void trace.analyse(test)}><Glyph shape="live" />{words.readThisTrace}</button> : null;
  }
  const fraction = shareOf('analysis', jobId, traceId);
  return (
    <section class="plate working" role="status" aria-label={words.readingTheTrace}>
      <p>{words.readingTheTrace}{fraction === null ? '' : `, ${Math.round(fraction * 100)} %`}</p>
      {fraction === null ? <progress aria-label={words.reading} /> : <progress max={1} value={fraction} aria-label={words.reading} />}
      <button type="button" class="tool" onClick={() => work.abort()}>{words.cancel}</button>
    </section>
  );
}

/** A file that is being made of the trace. */
export function ExportWork({ trace }: { trace: OpenedTrace }) {
  const fraction = shareOf('export', trace.ref.jobId, trace.ref.traceId);
  if (fraction === null) return null;
  return (
    <section class="plate working" role="status" aria-label={words.makingTheFile}>
      <p>{words.makingTheFileOf(Math.round(fraction * 100))}</p>
      <progress max={1} value={fraction} aria-label={words.export} />
      <button type="button" class="tool" onClick={() => void cancelExports(trace.ref)}>{words.cancel}</button>
    </section>
  );
}
