import { quantile } from '../../../stats.ts';
import { normalQuantile } from '../../uncertainty/distributions.ts';
import { CLEAR_PART } from './decision-levels.ts';
/** Highest value along `sign` in the range, at least 0. */
export function topOf(deviationA: Float32Array, startIndex: number, endIndex: number, sign: number): number {
  let topA = 0;
  for (let i = startIndex; i < endIndex; i++) topA = Math.max(topA, deviationA[i] * sign);
  return topA;
}

/** Mean of the range; Infinity for an empty one. */
export function meanOf(deviationA: Float32Array, startIndex: number, endIndex: number): number {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += deviationA[i];
  return endIndex > startIndex ? sum / (endIndex - startIndex) : Infinity;
}

/** Mean of the `width` readings about each of `[startIndex, endIndex)`, fewer at the ends, along `sign`. O(n). */
export function smoothed(deviationA: Float32Array, startIndex: number, endIndex: number, sign: number, width: number): Float64Array {
  const count = Math.max(0, endIndex - startIndex);
  const sums = new Float64Array(count + 1);
  for (let i = 0; i < count; i++) sums[i + 1] = sums[i] + deviationA[startIndex + i] * sign;
  const half = width >> 1;
  return new Float64Array(count).map((_value, i) => {
    const from = Math.max(0, i - half);
    const to = Math.min(count, i - half + width);
    return (sums[to] - sums[from]) / (to - from);
  });
}

/**
 * Of the level before a change; between these a fall, or the rest of a rise, is read: nearer to either level noise and ripple hide where it begins and ends.
 * A first-order fall takes ln(0.8/0.15), 1.7 time constants, for it.
 */
export const EDGE = { from: 0.8, to: 0.15 } as const;

/** Standard deviation of readings about a level that they keep for a part of the time, by the lowest quarter of their steps: a motor may run through most of a test. */
export function quietScatter(values: Float64Array): number {
  if (values.length < 2) return 0;
  const steps = new Float64Array(values.length - 1).map((_step, i) => Math.abs(values[i + 1] - values[i]));
  return quantile(steps, CLEAR_PART) / (normalQuantile((1 + CLEAR_PART) / 2) * Math.SQRT2);
}
