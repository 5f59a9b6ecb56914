import type { ActuationOptions } from '../../options.ts';
import type { PressReading } from '../codes.ts';
import type { Baseline } from './baseline.ts';
import type { Envelope } from '../signal/envelope.ts';
import { median } from '../../../stats.ts';
import type { IndexRange, Motion, StallRange } from '../types.ts';
import { MAINS_PERIOD_S } from '../time-scales.ts';
import { STEP } from '../settings.ts';
import { CAME_UP, FEWEST, LITTLE, SMALL_PART, TRIFLE, clearOf } from '../signal/decision-levels.ts';

/**
 * The reading at which the sensor clips, A (magnitude), or null. Known by the full scale typed in, or by the highest reading standing
 * still, exactly the same, several samples in a row, which a noisy reading below full scale does not do. Readings, not deviations: the
 * converter knows nothing of the zero. O(n).
 */
export function clippedAt(currentA: Float32Array, baseline: Baseline, options: ActuationOptions): number | null {
  let topA = 0;
  for (let i = 0; i < currentA.length; i++) topA = Math.max(topA, Math.abs(currentA[i]));
  if (options.fullScaleA !== undefined) return topA >= (1 - TRIFLE) * options.fullScaleA ? options.fullScaleA : null;
  if (baseline.noiseA === 0) return null;
  let row = 0;
  let longestRow = 0;
  for (let i = 0; i < currentA.length; i++) {
    row = Math.abs(currentA[i]) === topA ? row + 1 : 0;
    longestRow = Math.max(longestRow, row);
  }
  // a top that the idle clamp reaches by itself is no current
  if (topA - Math.abs(baseline.currentA) < clearOf(currentA.length) * baseline.noiseA) return null;
  return longestRow >= FEWEST && distinctBelow(currentA, topA) ? topA : null;
}


/** Steps of a coarse converter repeat too: only a top that is hit far more often than the readings just below it is a clip. */
function distinctBelow(currentA: Float32Array, topA: number): boolean {
  let atTop = 0;
  let below = 0;
  for (let i = 0; i < currentA.length; i++) {
    const sizeA = Math.abs(currentA[i]);
    if (sizeA === topA) atTop++;
    else if (sizeA > CAME_UP * topA) below++;
  }
  return atTop > 2 * below;
}


/** A level of a press in cells of its envelope. */
interface IndexedLevel {
  readonly from: number;
  readonly to: number;
  readonly levelA: number;
  readonly rippleVarianceA2: number;
}

/**
 * Whether a high level is the end of the sensor's range rather than a current: readings that do not move beneath a clamp that is never
 * quite still, none above them, until the switch was let go. How far it is above the running level then says nothing; it is a bound.
 */
export function standsAtEnd(plateau: IndexedLevel, envelope: Envelope, peakA: number, idleRippleVarianceA2: number): boolean {
  if (plateau.rippleVarianceA2 >= TRIFLE ** 2 * idleRippleVarianceA2 || plateau.levelA < (1 - TRIFLE) * peakA) return false;
  const toTheEnd = (envelope.cells - plateau.to) * envelope.stepS < MAINS_PERIOD_S;
  return toTheEnd && (plateau.to - plateau.from) * envelope.stepS >= STEP.sideS;
}

/** Where in the columns the switch-on, the run and the stalls of a press lie. */
interface Stretches {
  readonly inrush: IndexRange | null;
  readonly running: readonly IndexRange[];
  readonly stalls: readonly IndexRange[];
}

/** What of a press is only a lower bound because readings were at `clipA`. */
export function markClipped(actuation: PressReading, { inrush, running, stalls }: Stretches, currentA: Float32Array, clipA: number): PressReading {
  const atEnd = (range: IndexRange): number => {
    let count = 0;
    for (let i = range.startIndex; i < range.endIndex; i++) if (Math.abs(currentA[i]) >= (1 - TRIFLE) * clipA) count++;
    return count;
  };
  const share = (ranges: readonly IndexRange[]): number => {
    let length = 0;
    let count = 0;
    for (const range of ranges) {
      length += range.endIndex - range.startIndex;
      count += atEnd(range);
    }
    return length > 0 ? count / length : 0;
  };
  // ripple tops alone do not shift a median
  const peaked = actuation.inrush !== null && inrush !== null && atEnd(inrush) > 0;
  return {
    ...actuation,
    inrush: peaked && actuation.inrush !== null ? { ...actuation.inrush, peak_at_least: true, low_peak_a: actuation.inrush.peak_a, high_peak_a: null } : actuation.inrush,
    run: actuation.run !== null && share(running) > SMALL_PART ? { ...actuation.run, at_least: true } : actuation.run,
    stalls: actuation.stalls.map((stall, s) => (share([stalls[s]]) > SMALL_PART ? { ...stall, at_least: true } : stall)),
  };
}

/**
 * A switch-on that passes the end of the range reads as a level there, which is no standing motor: where the motor then ran, a clipped
 * level at the start is the peak. Unless it lasts too long for that: the fall from the peak halves what is above the run again and again,
 * so the time of the last halving tells how high the peak would have been.
 */
export function withoutClippedStarts(judged: Motion, currentA: Float32Array, clipA: number): Motion {
  const motion = { ...judged, stalls: judged.stalls.map((stall) => fromTheEnd(stall, currentA, clipA)) };
  const first = motion.stalls[0];
  const running = motion.running[0];
  if (first === undefined || running === undefined || first.at !== 'start' || running.startIndex < first.endIndex) return motion;
  let atEnd = 0;
  let leftIndex = first.endIndex;
  for (let i = first.startIndex; i < first.endIndex; i++) {
    if (Math.abs(currentA[i]) < (1 - TRIFLE) * clipA) continue;
    atEnd++;
    leftIndex = i + 1;
  }
  if (atEnd < 0.5 * (first.endIndex - first.startIndex)) return motion;
  const runA = Math.abs(median(currentA.subarray(running.startIndex, running.endIndex)));
  let halfIndex = leftIndex;
  while (halfIndex < running.startIndex && Math.abs(currentA[halfIndex]) > (clipA + runA) / 2) halfIndex++;
  const halvings = (leftIndex - first.startIndex) / Math.max(1, halfIndex - leftIndex);
  // no motor runs at less than a twentieth of what it draws standing (maxon RE 65: 6.8 of 131 A)
  if (2 ** halvings * LITTLE > 1) return motion;
  return { ...motion, stalls: motion.stalls.slice(1), inrushEnd: running.startIndex };
}

/** A stall at the end of the range did not begin before the current had got there: until then it climbed as the motor slowed down. */
function fromTheEnd(stall: StallRange, currentA: Float32Array, clipA: number): StallRange {
  const { startIndex, endIndex } = stall;
  const atEnd = (i: number): boolean => Math.abs(currentA[i]) >= (1 - TRIFLE) * clipA;
  const middle = (startIndex + endIndex) >> 1;
  if (stall.at !== 'travel' || !atEnd(middle)) return stall;
  let from = startIndex;
  while (from < middle && !atEnd(from)) from++;
  return { ...stall, startIndex: from };
}
