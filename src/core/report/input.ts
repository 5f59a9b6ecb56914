import type { CompareResult } from '../analysis/compare/results.ts';
import type { AnalysisResult } from '../analysis/results.ts';
import type { Problem } from '../problems.ts';
import type { Gap, Mark, Samples } from '../trace.ts';
import type { JobRecord, TraceRecord } from '../tracefile/record.ts';
import type { OverlayInput } from './overlay.ts';

/** customer: plain words, one picture · file: everything */
export type ReportAudience = 'customer' | 'file';

export interface ReportTrace {
  readonly record: TraceRecord;
  readonly result: AnalysisResult | null;
  readonly problems: readonly Problem[];
  readonly marks: readonly Mark[];
  readonly gaps: readonly Gap[];
  /** reduced to first, min, max and last per column of the picture */
  readonly samples: Samples;
}

/** Everything a report says, gathered before: making it needs no file, no clock and no browser. */
export interface ReportInput {
  readonly audience: ReportAudience;
  /** RFC 3339 UTC */
  readonly madeAt: string;
  readonly software: string;
  readonly job: JobRecord | null;
  /** in the order they were given; with two of them and a comparison, the first is before, the second after */
  readonly traces: readonly ReportTrace[];
  readonly comparison: CompareResult | null;
  /** every pair of actuations, by direction and order; `number` counts within a direction, from 1 */
  readonly overlays: readonly (Omit<OverlayInput, 'title'> & { readonly number: number })[];
}
