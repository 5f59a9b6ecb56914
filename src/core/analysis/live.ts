import type { Gap, Mark, SampleBlock } from '../trace.ts';

/** One step of the logger's readings, A, before and from `atS` on; null where it is not known. */
export interface StepChange {
  readonly atS: number;
  readonly fromA: number | null;
  readonly toA: number | null;
}

/**
 * An analysis that is fed while the recording goes on, or by blocks from a file too long to load. It is the same code as the analysis
 * of a whole trace: after the last block, `result()` equals the whole-trace result, whatever the sizes of the blocks were (a property
 * test holds it so). Memory is bounded by the test's own window, not by the length of the recording.
 */
export interface LiveAnalysis<Result> {
  push(block: SampleBlock): void;
  gap(gap: Gap): void;
  mark(mark: Mark): void;
  /** the logger measures in other steps from `atS` on; absent where steps make no difference */
  range?(change: StepChange): void;
  /** what can be said up to now; costs about as much as one pass over the window that is kept, so call it at most about once a second */
  result(): Result;
}
