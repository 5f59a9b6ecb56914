import type { Run } from '../results.ts';
import { median, robustSigma } from '../../stats.ts';
import type { Baseline } from './baseline.ts';
import type { IndexRange, Press } from './presses.ts';

/** Fewer batches than this give no bounds worth the name; more would be shorter than the load's own waves. */
const MOST_BATCHES = 24;
/** two-sided 95 % points of Student's t for 1 to 23 degrees of freedom (any statistics handbook; checked in the tests against its density) */
const STUDENT_95 = [
  12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.16, 2.145, 2.131, 2.12, 2.11, 2.101, 2.093, 2.086, 2.08, 2.074, 2.069,
];
const MOST_SAMPLES = 60_000;

/** Two-sided 95 % factor for a mean of `count` independent values. */
export function student95(count: number): number {
  if (count < 2) return Infinity;
  return STUDENT_95[count - 2] ?? 1.96;
}

/**
 * The running current: median over the stretches in which the motor turned and had settled.
 *
 * Neighbouring samples are not independent (ripple, hum, the mechanism's own waves), so the bounds come from batch medians: the run is
 * cut into equal batches that are long against those waves, and the scatter of the batches' medians gives the standard error
 * (method of batch means, Student's t; 95 %). O(n) selection on at most 60,000 samples.
 */
export function runFields(press: Press, ranges: readonly IndexRange[], timeS: Float64Array, baseline: Baseline): Run | null {
  let total = 0;
  for (const range of ranges) total += range.endIndex - range.startIndex;
  if (total < 3) return null;
  const stride = Math.max(1, Math.ceil(total / MOST_SAMPLES));
  const values = new Float64Array(Math.ceil(total / stride) + ranges.length);
  const times = new Float64Array(values.length);
  let count = 0;
  for (const range of ranges) {
    for (let i = range.startIndex; i < range.endIndex; i += stride) {
      values[count] = baseline.deviationA[i] * press.sign;
      times[count++] = timeS[i];
    }
  }
  const used = values.subarray(0, count);
  const medianA = median(used);
  const errorA = batchError(used);
  return {
    start_s: timeS[ranges[0].startIndex],
    end_s: timeS[ranges[ranges.length - 1].endIndex - 1],
    median_a: medianA,
    low_a: medianA - errorA,
    high_a: medianA + errorA,
    spread_a: robustSigma(used),
    slope_a_per_s: slopeOf(times.subarray(0, count), used),
  };
}

/** Half width of the 95 % interval of the median by batches. */
function batchError(values: Float64Array): number {
  const batches = Math.max(2, Math.min(MOST_BATCHES, Math.floor(values.length / 8)));
  const medians = new Float64Array(batches);
  for (let b = 0; b < batches; b++) {
    const from = Math.floor((values.length * b) / batches);
    medians[b] = median(values.subarray(from, Math.max(from + 1, Math.floor((values.length * (b + 1)) / batches))));
  }
  let sum = 0;
  for (const value of medians) sum += value;
  const meanA = sum / batches;
  let squares = 0;
  for (const value of medians) squares += (value - meanA) ** 2;
  return student95(batches) * Math.sqrt(squares / (batches - 1) / batches);
}

function slopeOf(timeS: Float64Array, values: Float64Array): number {
  let meanT = 0;
  let meanV = 0;
  for (let i = 0; i < values.length; i++) {
    meanT += timeS[i];
    meanV += values[i];
  }
  meanT /= values.length;
  meanV /= values.length;
  let across = 0;
  let along = 0;
  for (let i = 0; i < values.length; i++) {
    across += (timeS[i] - meanT) * (values[i] - meanV);
    along += (timeS[i] - meanT) ** 2;
  }
  return along > 0 ? across / along : 0;
}
