import type { Pull, WakeUp } from '../results.ts';
import type { Voltage } from './levels/voltage-track.ts';

/**
 * The recording summed up in bins of equal time, fine enough for every question of a drain test and never more than a fixed number of
 * them, however long the night. Bins start 1/1024 s wide, so that each sample has its own at usual rates; when the table is full, the
 * width doubles and neighbours are joined. The state depends only on the samples seen, never on how they were cut into blocks.
 */
export interface Bins {
  readonly length: number;
  /** s, a power of two */
  readonly widthS: number;
  /** bin `key` covers `[key * widthS, (key + 1) * widthS)`; rising, bins without samples are absent */
  readonly key: Float64Array;
  readonly count: Float64Array;
  /** sums of the samples, A */
  readonly sumA: Float64Array;
  readonly minA: Float32Array;
  readonly maxA: Float32Array;
}

/** The bins, and what else is kept of the samples. */
export interface Recorded extends Bins {
  readonly samples: number;
  readonly firstS: number;
  readonly lastS: number;
  /** single readings, evenly out of the whole recording */
  readonly pickedS: Float64Array;
  readonly pickedA: Float32Array;
  /** how many of them */
  readonly picked: number;
}

/** Robust means over equal stretches of time; stretches without samples are absent. */
export interface Blocks {
  readonly length: number;
  /** s, a power of two */
  readonly widthS: number;
  readonly startS: Float64Array;
  readonly meanA: Float64Array;
  /** samples inside */
  readonly count: Float64Array;
  /** first bin of each block, with one entry more than blocks */
  readonly firstBin: Int32Array;
}

/** One level of the recording: blocks `[startBlock, endBlock)`, and the moments of its edges as the finest bins show them. */
export interface Segment {
  startBlock: number;
  endBlock: number;
  startS: number;
  endS: number;
  meanA: number;
  /** long-run variance of one block mean inside, A^2: the mean of n blocks is good to the root of it over n */
  varianceA2: number;
}

/** The recording as what every later step reads. */
export interface Readings {
  /** time between readings, s */
  readonly spacingS: number;
  readonly bins: Bins;
  readonly blocks: Blocks;
  /** long-run variance of each block's mean, A^2 */
  readonly varianceA2: Float64Array;
  /** smallest step of the reading, A; 0 when none shows */
  readonly stepA: number;
  /** scatter of single readings from one to the next, A */
  readonly readingSigmaA: number;
  /** single readings, evenly out of the whole recording */
  readonly picked: { readonly timeS: Float64Array; readonly valueA: Float32Array };
  readonly segments: readonly Segment[];
  /** null when the logger has no voltage channel */
  readonly voltage: Voltage | null;
  /** first sample of the recording, s; `firstS` is where the parked vehicle begins */
  readonly recordedFromS: number;
  readonly firstS: number;
  readonly lastS: number;
  /** a level this far below zero is a current into the battery, A */
  readonly belowZeroA: number;
}

/** Where the vehicle first came to rest, as an index into the segments, or null. */
export interface Rest {
  readonly segment: number;
  readonly atS: number;
}

/** Blocks `[startBlock, endBlock)`. */
export interface BlockRange {
  readonly startBlock: number;
  readonly endBlock: number;
}

/** A stretch above the rest. */
export interface Excursion {
  startS: number;
  endS: number;
  /** the rest it rises from, A */
  readonly restA: number;
}

/** A stretch of time at rest, and the level it rests at. */
export interface RestStretch {
  readonly startS: number;
  readonly endS: number;
  readonly startBlock: number;
  readonly endBlock: number;
  readonly levelA: number;
}

export interface SleepTimeline {
  readonly wakeUps: readonly WakeUp[];
  readonly rests: readonly RestStretch[];
}

/** A mark of a fuse taken out or put back, and the moment the current really changed. */
export interface FuseEvent {
  /** as marked; a refit where a fuse that is out is marked as pulled again */
  kind: 'pull' | 'refit';
  readonly label: string;
  readonly markS: number;
  /** the change as measured; the mark's own time when no change shows */
  atS: number;
  /** a change shows, but none near enough to the mark */
  misplaced?: boolean;
}

/** The level at rest between two fuse events. */
export interface Stretch {
  readonly startS: number;
  readonly endS: number;
  levelA: number;
  /** standard error, A */
  errorA: number;
  /** the part of it that the pulses of a polling module make, A */
  readonly pulsesErrorA: number;
  /** middle of the time in which it was read, s */
  centreS: number;
  /** blocks it was read from */
  blockCount: number;
  /** what rounding of the readings may hide in the level, A */
  roundingA: number;
  /** the highest level in it that lasted, A: above `levelA` when something still ran and ended */
  highestA: number;
  /** false: nothing at rest in it, for example a wake-up that fills it */
  usable: boolean;
}

export interface FuseTest {
  readonly events: readonly FuseEvent[];
  /** one more than events: before the first, between each two, after the last */
  readonly stretches: readonly Stretch[];
  readonly pulls: readonly Pull[];
}
