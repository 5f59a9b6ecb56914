import { WINDOW_SAMPLES } from '../../core/analysis/motor/live-analysis.ts';
import { createLiveActuation } from '../../core/present/documents/document-motor.ts';
import { createLiveDrain } from '../../core/present/documents/document-night.ts';
import type { LiveAnalysis, StepChange } from '../../core/analysis/live.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import type { ActuationOptions, DrainOptions } from '../../core/analysis/options.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import { messageOf } from '../errors.ts';
import { serveOrders } from './protocol.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.liveWorker;

/** The live analysis in a thread of its own, so that the serial reader never waits for it. Orders are done in the order they come. */
export type LiveOrder =
  | { readonly do: 'restart'; readonly test: TestKind; readonly actuation: ActuationOptions; readonly drain: DrainOptions }
  | { readonly do: 'samples'; readonly block: SampleBlock }
  | { readonly do: 'gap'; readonly gap: Gap }
  | { readonly do: 'mark'; readonly mark: Mark }
  | { readonly do: 'range'; readonly change: StepChange }
  | { readonly do: 'result' };

/** The answer to `result`. */
export interface LiveAnswer {
  readonly result: AnalysisResult;
  readonly costMs: number;
}

/** Presses that the page lists while a test goes on, and that the live verdict is of: more fit on no screen, and a test of a day has thousands. */
const KEPT_PRESSES = 200;
/** Newest gaps in a live result; the recording holds all. */
const KEPT_GAPS = 500;

let analysis: LiveAnalysis<AnalysisResult> | null = null;
/** the first thing that went wrong since the restart: nothing more is done then, and every `result` is answered by it */
let fault: string | null = null;

function carryOut(order: Exclude<LiveOrder, { do: 'result' }>): void {
  switch (order.do) {
    case 'restart':
      fault = null;
      analysis = order.test === 'actuation' ? createLiveActuation(order.actuation, WINDOW_SAMPLES, KEPT_PRESSES) : createLiveDrain(order.drain);
      return;
    case 'samples':
      return analysis?.push(order.block);
    case 'gap':
      return analysis?.gap(order.gap);
    case 'mark':
      return analysis?.mark(order.mark);
    case 'range':
      return analysis?.range?.(order.change);
  }
}

function resultNow(): LiveAnswer {
  if (analysis === null) throw new Error(words.noAnalysisWasStarted);
  const startedMs = performance.now();
  const whole = analysis.result();
  const result = whole.trace.gaps.length <= KEPT_GAPS ? whole : { ...whole, trace: { ...whole.trace, gaps: whole.trace.gaps.slice(-KEPT_GAPS) } };
  return { result, costMs: performance.now() - startedMs };
}

serveOrders((order: LiveOrder): LiveAnswer | null => {
  if (fault !== null && order.do !== 'restart') throw new Error(fault);
  try {
    if (order.do === 'result') return resultNow();
    carryOut(order);
    return null;
  } catch (error) {
    fault = messageOf(error);
    throw error;
  }
});
