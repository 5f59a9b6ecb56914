import { parentPort } from 'node:worker_threads';
import { createLiveActuation } from '../../core/analysis/motor/analyse.ts';
import { createLiveDrain } from '../../core/present/document-night.ts';
import type { LiveAnalysis } from '../../core/analysis/live.ts';
import type { AnalysisResult, TestKind } from '../../core/analysis/results.ts';
import type { ActuationOptions, DrainOptions } from '../../core/analysis/options.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import { messageOf } from '../errors.ts';

/** The live analysis in a thread of its own, so that the serial reader never waits for it. Orders are done in the order they come. */
export type LiveOrder =
  | { readonly do: 'restart'; readonly test: TestKind; readonly actuation: ActuationOptions; readonly drain: DrainOptions }
  | { readonly do: 'samples'; readonly block: SampleBlock }
  | { readonly do: 'gap'; readonly gap: Gap }
  | { readonly do: 'mark'; readonly mark: Mark }
  | { readonly do: 'result'; readonly id: number };

export type LiveAnswer = { readonly id: number; readonly result: AnalysisResult; readonly costMs: number } | { readonly id: number; readonly fault: string };

let analysis: LiveAnalysis<AnalysisResult> | null = null;
/** the first thing that went wrong since the restart; it is told once and then again only by `result` orders that wait for an answer */
let fault: string | null = null;

function obey(order: LiveOrder): void {
  switch (order.do) {
    case 'restart':
      fault = null;
      analysis = order.test === 'actuation' ? createLiveActuation(order.actuation) : createLiveDrain(order.drain);
      return;
    case 'samples':
      return analysis?.push(order.block);
    case 'gap':
      return analysis?.gap(order.gap);
    case 'mark':
      return analysis?.mark(order.mark);
    case 'result': {
      if (analysis === null) throw new Error('no analysis was started');
      const startedMs = performance.now();
      const result = analysis.result();
      parentPort?.postMessage({ id: order.id, result, costMs: performance.now() - startedMs } satisfies LiveAnswer);
    }
  }
}

parentPort?.on('message', (order: LiveOrder) => {
  if (fault === null || order.do === 'restart') {
    try {
      return obey(order);
    } catch (error) {
      fault = messageOf(error);
    }
  }
  if (order.do === 'result') parentPort?.postMessage({ id: order.id, fault } satisfies LiveAnswer);
});
