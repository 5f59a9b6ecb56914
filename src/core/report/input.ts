import type { ManyResult } from '../analysis/compare/many/result.ts';
import type { CompareResult } from '../analysis/compare/results.ts';
import type { AnalysisResult, Direction } from '../analysis/results.ts';
import type { Problem } from '../problems.ts';
import type { ProofState } from '../reason/proof.ts';
import type { Gap, Mark, Samples } from '../trace.ts';
import type { JobRecord, TraceRecord } from '../tracefile/record.ts';
import type { ChargeView } from '../wire/api.ts';
import type { ActuationLine } from '../wire/prove.ts';

/** customer: plain words, one picture · file: everything */
export type ReportAudience = 'customer' | 'file';

export interface ReportTrace {
  readonly record: TraceRecord;
  readonly result: AnalysisResult | null;
  readonly problems: readonly Problem[];
  readonly marks: readonly Mark[];
  /** measured and named by a person, with their figures */
  readonly stretches?: readonly { readonly mark: Mark; readonly view: ChargeView }[];
  readonly gaps: readonly Gap[];
  /** reduced to first, min, max and last per column of the picture */
  readonly samples: Samples;
}

interface OverlayLine {
  readonly timeS: Float64Array;
  readonly currentA: ArrayLike<number>;
}

/** Two recordings of the same movement, time 0 at the switch edge of both, magnitudes in A. `number` counts within a direction, from 1. */
export interface ReportOverlay {
  readonly direction: Direction;
  readonly number: number;
  readonly before: OverlayLine;
  readonly after: OverlayLine;
}

export interface ReportMany {
  readonly result: ManyResult;
  readonly lines: readonly ActuationLine[];
}

/** A workshop's own heading: lines of text, the first one its name, and its logo. */
export interface Workshop {
  readonly heading: string;
  readonly logo: { readonly type: 'image/jpeg' | 'image/png' | 'image/webp'; readonly base64: string } | null;
}

/** Everything a report says, gathered before: making it needs no file, no clock and no browser. */
export interface ReportInput {
  readonly audience: ReportAudience;
  /** RFC 3339 UTC */
  readonly madeAt: string;
  readonly software: string;
  /** of the workshop, by its IANA name; absent: UTC */
  readonly timeZone?: string;
  /** what is on top of its pages; null where nobody has typed one */
  readonly workshop?: Workshop | null;
  readonly job: JobRecord | null;
  /** what the traces say of the repair that the job notes; null without one */
  readonly proof?: { readonly state: ProofState; readonly text: string } | null;
  /** in the order they were given; with two of them and a comparison, the first is before, the second after */
  readonly traces: readonly ReportTrace[];
  readonly comparison: CompareResult | null;
  /** every pair of actuations, by direction and order */
  readonly overlays: readonly ReportOverlay[];
  /** three or more traces of one test, side by side */
  readonly many?: ReportMany | null;
}

/** The same as JSON: all figures, without the points of the pictures, which are in the traces. */
export function reportJson(input: ReportInput): string {
  const traces = input.traces.map(({ samples: _samples, ...rest }) => rest);
  return `${JSON.stringify({ ...input, workshop: undefined, traces, overlays: undefined, many: input.many?.result }, null, 2)}\n`;
}
