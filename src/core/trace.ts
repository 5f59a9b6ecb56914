/**
 * The recording itself, as columns. Everything else in the core reads or makes this.
 *
 * Time is seconds since the start of the trace, strictly rising. Current is in ampere (positive = the direction the clamp's or
 * shunt's arrow shows), voltage in volt. No column ever holds NaN or infinity: a reader refuses such a value, and missing time is a
 * gap, not a value. Time stays float64 because float32 is off by 0.12 ms after one hour; current and voltage are float32 because
 * that is what is stored on disk, so an analysis while recording and one of the file see the same numbers.
 */
export interface Samples {
  readonly timeS: Float64Array;
  readonly currentA: Float32Array;
  /** null when the logger has no voltage channel */
  readonly voltageV: Float32Array | null;
}

/** A stretch `[startS, endS)` for which nothing was received: startS is the last sample before, endS the first one after. */
export interface Gap {
  readonly startS: number;
  readonly endS: number;
}

export interface Trace extends Samples {
  /** in order, not overlapping */
  readonly gaps: readonly Gap[];
}

/** One run of samples without a gap inside, as sources deliver them and readers of long files hand them on. */
export type SampleBlock = Samples;

export type MarkKind = 'note' | 'pull' | 'refit' | 'switch' | 'wake' | 'stretch';

export const MARK_KINDS: readonly MarkKind[] = ['note', 'pull', 'refit', 'switch', 'wake', 'stretch'];

/** A moment that a person, or the logger's button, has named; or a stretch that a person has measured and named. */
export interface Mark {
  readonly timeS: number;
  readonly kind: MarkKind;
  /** for pull and refit: the fuse, for example "F12" */
  readonly label: string;
  /** of a stretch alone: its end, later than `timeS` */
  readonly endS?: number;
}

/**
 * Finds the first index whose time is not before `atS` (the length when there is none).
 * Binary search, O(log n); `timeSSorted` must rise.
 */
export function lowerBound(timeSSorted: Float64Array, atS: number, startIndex = 0, endIndex = timeSSorted.length): number {
  let low = startIndex;
  let high = endIndex;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (timeSSorted[middle] < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Joins blocks into one trace. Blocks must follow each other in time; a voltage column is kept only if every block has one. */
export function joinBlocks(blocks: readonly SampleBlock[], gaps: readonly Gap[]): Trace {
  let length = 0;
  let withVoltage = blocks.length > 0;
  for (const block of blocks) {
    length += block.timeS.length;
    if (block.voltageV === null) withVoltage = false;
  }
  const timeS = new Float64Array(length);
  const currentA = new Float32Array(length);
  const voltageV = withVoltage ? new Float32Array(length) : null;
  let at = 0;
  for (const block of blocks) {
    timeS.set(block.timeS, at);
    currentA.set(block.currentA, at);
    if (voltageV !== null && block.voltageV !== null) voltageV.set(block.voltageV, at);
    at += block.timeS.length;
  }
  return { timeS, currentA, voltageV, gaps };
}
