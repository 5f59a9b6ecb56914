import type { Gap } from '../../../trace.ts';
import { median } from '../../../stats.ts';
import { ENOUGH_READINGS } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, SMALL_PART } from '../signal/decision-levels.ts';

/** How the trace was sampled. */
export interface Sampling {
  /** samples per second between the holes; 0 for fewer than two samples */
  readonly rateHz: number;
  readonly periodS: number;
  /** share of the intervals that are off the usual one by more than a fifth */
  readonly jitterShare: number;
  /** no fifth of the trace is read faster or slower than the whole by more than a small part: a frequency needs one rate */
  readonly isSteady: boolean;
  /** indices of samples before which time is missing, rising */
  readonly holes: Int32Array;
  readonly gaps: readonly Gap[];
}


/**
 * Rate and holes of a trace. The rate is the mean of the intervals that are none of the holes (found by their median), so that neither
 * jitter nor missing time shifts it. Holes are where the recording says so and where the time column jumps. O(n).
 */
export function describeSampling(timeS: Float64Array, gaps: readonly Gap[]): Sampling {
  const count = timeS.length;
  if (count < 2) return { rateHz: 0, periodS: 0, jitterShare: 0, isSteady: true, holes: new Int32Array(0), gaps };
  const usualS = usualInterval(timeS);
  const holes: number[] = [];
  let usedS = 0;
  let used = 0;
  // what was used up to the end of each fifth
  const parts = [{ usedS, used }];
  let partEnd = count / FEWEST;
  let uneven = 0;
  for (let i = 1; i < count; i++) {
    const stepS = timeS[i] - timeS[i - 1];
    if (stepS > FEWEST * usualS) {
      holes.push(i);
    } else {
      usedS += stepS;
      used++;
      if (Math.abs(stepS - usualS) > CLEAR_PART * usualS) uneven++;
    }
    if (i + 1 >= partEnd) {
      parts.push({ usedS, used });
      partEnd = (parts.length * count) / FEWEST;
    }
  }
  // at least one interval is no longer than their median
  const periodS = usedS / used;
  const isSteady = parts.slice(1).every((part, p) => Math.abs(part.usedS - parts[p].usedS - (part.used - parts[p].used) * periodS) <= SMALL_PART * (part.used - parts[p].used) * periodS);
  return { rateHz: 1 / periodS, periodS, jitterShare: uneven / used, isSteady, holes: Int32Array.from(holes), gaps: joinGaps(timeS, holes, gaps) };
}

function usualInterval(timeS: Float64Array): number {
  const stride = Math.max(1, Math.floor((timeS.length - 1) / (ENOUGH_READINGS >> 2)));
  const steps: number[] = [];
  for (let i = 1; i < timeS.length; i += stride) steps.push(timeS[i] - timeS[i - 1]);
  return median(steps);
}

/** The gaps that were reported and those seen in the time column, in order, each once. */
function joinGaps(timeS: Float64Array, holes: readonly number[], reported: readonly Gap[]): Gap[] {
  const all: Gap[] = [...reported];
  for (const hole of holes) all.push({ startS: timeS[hole - 1], endS: timeS[hole] });
  all.sort((a, b) => a.startS - b.startS);
  const joined: Gap[] = [];
  for (const gap of all) {
    const last = joined.at(-1);
    if (last !== undefined && gap.startS < last.endS) joined[joined.length - 1] = { startS: last.startS, endS: Math.max(last.endS, gap.endS) };
    else joined.push(gap);
  }
  return joined;
}

/** Whether time is missing just before this sample. Binary search. */
export function isHole(sampling: Sampling, index: number): boolean {
  let low = 0;
  let high = sampling.holes.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sampling.holes[middle] < index) low = middle + 1;
    else high = middle;
  }
  return sampling.holes[low] === index;
}
