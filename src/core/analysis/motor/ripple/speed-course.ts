import { median } from '../../../stats.ts';
import { meanOf } from '../signal/levels.ts';
import type { Press } from '../presses/presses.ts';
import type { Readings } from '../sensor/readings.ts';
import { CLEAR_PART, LITTLE } from '../signal/decision-levels.ts';
import { MAINS_PERIOD_S } from '../time-scales.ts';
import type { IndexRange } from '../types.ts';

/**
 * How the speed of a running motor goes with its current: at a constant voltage speed falls in a straight line with current and is nothing
 * at the standstill current (v = R i + k w). Given as a share of the speed at the usual current, for a steepness of 1 at a standstill
 * current equal to the highest seen.
 */
export interface SpeedCourse {
  readonly range: IndexRange;
  readonly blockSamples: number;
  readonly usualA: number;
  /** highest less usual current, A */
  readonly spanA: number;
  /** (current - usual) over the room in each block of the range */
  readonly load: Float64Array;
}

/** What a course is wanted of. */
interface CourseOf {
  readonly press: Press;
  readonly range: IndexRange;
  readonly usualA: number;
  /** highest current of the trace at switch-on or standing, A */
  readonly highestA: number;
  /** s; the current is averaged over this */
  readonly blockS: number;
}

/** The course over one stretch; null where the highest current is no more than the usual one. O(n). */
export function speedCourse({ press, range, usualA, highestA, blockS }: CourseOf, { baseline, sampling }: Readings): SpeedCourse | null {
  const spanA = highestA - usualA;
  if (!(spanA > LITTLE * highestA)) return null;
  const blockSamples = Math.max(1, Math.round(blockS * sampling.rateHz));
  const blocks = Math.max(1, Math.floor((range.endIndex - range.startIndex) / blockSamples));
  const load = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    const from = range.startIndex + b * blockSamples;
    const to = b === blocks - 1 ? range.endIndex : from + blockSamples;
    load[b] = (meanOf(baseline.deviationA, from, to) * press.sign - usualA) / spanA;
  }
  return { range, blockSamples, usualA, spanA, load };
}

/**
 * Usual current of a press over its running stretches, A: the median of short means, since a lopsided ripple sets the median of the readings
 * themselves off from what turns the motor. Null when there is none.
 */
export function usualCurrent(press: Press, running: readonly IndexRange[], { baseline, sampling }: Readings): number | null {
  const blockSamples = Math.max(1, Math.round(MAINS_PERIOD_S * sampling.rateHz));
  const values: number[] = [];
  for (const range of running) {
    for (let from = range.startIndex; from + blockSamples <= range.endIndex; from += blockSamples) {
      values.push(meanOf(baseline.deviationA, from, from + blockSamples) * press.sign);
    }
  }
  return values.length === 0 ? null : median(values);
}

/** Load at a place of the range, in samples from its start: straight lines between the middles of the blocks. */
function loadAt({ load, blockSamples }: SpeedCourse, place: number): number {
  const at = Math.max(0, Math.min(load.length - 1, place / blockSamples - 0.5));
  const block = Math.min(load.length - 2, Math.floor(at));
  return load.length < 2 ? load[0] : load[block] + (load[block + 1] - load[block]) * (at - block);
}

/** Smoothed current at a place of the range, A, in the direction of the press. */
export function levelAt(course: SpeedCourse, place: number): number {
  return course.usualA + course.spanA * loadAt(course, place);
}

/** Share of the usual speed at a place of the range, in samples from its start; followed down to a clear part of it, slower is on the way to a stop. */
export function shareAt(course: SpeedCourse, steepness: number, place: number): number {
  return Math.max(CLEAR_PART, 1 - steepness * loadAt(course, place));
}

/** Mean share of the usual speed over part of the range, in samples from its start. */
export function meanShare(course: SpeedCourse, steepness: number, from: number, to: number): number {
  const step = Math.max(1, course.blockSamples / 2);
  let sum = 0;
  let count = 0;
  for (let place = from + step / 2; place < to; place += step) {
    sum += shareAt(course, steepness, place);
    count++;
  }
  return count === 0 ? shareAt(course, steepness, (from + to) / 2) : sum / count;
}

/**
 * The stretch as it would have been recorded had the motor turned at its usual speed all along: read again at equal angles instead of
 * equal times (order tracking), between samples by a cubic through four (Catmull and Rom 1974). O(n).
 */
export function atEvenSpeed(values: Float32Array, course: SpeedCourse, steepness: number): Float32Array {
  const { range } = course;
  const count = range.endIndex - range.startIndex;
  const out: Float32Array = new Float32Array(Math.ceil(count * (1 + Math.abs(steepness))) + 2);
  let made = 0;
  let place = 0;
  while (place < count - 1 && made < out.length) {
    const whole = Math.floor(place);
    const part = place - whole;
    const i = range.startIndex + whole;
    const b = values[i];
    const c = values[i + 1];
    const a = whole > 0 ? values[i - 1] : b;
    const d = whole + 2 < count ? values[i + 2] : c;
    out[made++] = b + 0.5 * part * (c - a + part * (2 * a - 5 * b + 4 * c - d + part * (3 * (b - c) + d - a)));
    place += 1 / shareAt(course, steepness, place);
  }
  return out.subarray(0, made);
}
