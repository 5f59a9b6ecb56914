import type { LiveAnalysis } from '../src/core/analysis/live.ts';
import type { ActuationOptions, DrainOptions } from '../src/core/analysis/options.ts';
import type { ActuationResult, AnalysisResult, DrainResult } from '../src/core/analysis/results.ts';
import { createLiveActuation } from '../src/core/present/documents/document-motor.ts';
import { createLiveDrain } from '../src/core/present/documents/document-night.ts';
import type { Mark, Trace } from '../src/core/trace.ts';

/** The motor test of a recording in memory, as `amptrail analyse` reads one from a file. */
export function analyseActuation(trace: Trace, options: ActuationOptions): ActuationResult {
  return fed(createLiveActuation(options), trace, []);
}

/** The key-off test of a recording in memory. */
export function analyseDrain(trace: Trace, marks: readonly Mark[], options: DrainOptions): DrainResult {
  return fed(createLiveDrain(options), trace, marks);
}

function fed<Result extends AnalysisResult>(live: LiveAnalysis<Result>, trace: Trace, marks: readonly Mark[]): Result {
  for (const gap of trace.gaps) live.gap(gap);
  for (const mark of marks) live.mark(mark);
  live.push(trace);
  return live.result();
}
