import { LEAST_AWAKE_A } from '../../../reference/time-outs.ts';
import { UPPER_95, normalQuantile } from '../../uncertainty/distributions.ts';
import { FEW, LEAST_A, LOW_POINT, MANY_BLOCKS, PATTERN, SAME_SHARE, TRIFLE_SHARE } from '../settings.ts';
import { quantile } from '../../../stats.ts';

/** Standard deviation of one value, from the sizes of differences of two: their low point over that of the normal distribution. */
function deviationOf(differences: ArrayLike<number>): number {
  return quantile(differences, LOW_POINT) / (Math.SQRT2 * normalQuantile((1 + LOW_POINT) / 2));
}

/**
 * Variance of single block means, for each block, from the differences of neighbours within its chunk. The low quantile does not see
 * real steps as long as they are rarer than two in three. `floorA2` is the least it can be (half a step of the reading, rounding);
 * `reading` tells how the readings are rounded.
 */
export function localVariance(values: Float64Array, floorA2: number, reading: Rounding = UNROUNDED): Float64Array {
  const variance = chunkVariance(values, floorA2, reading);
  for (let i = 0; i < values.length; i++) {
    const ownA = OWN_SHARE * Math.max(0, Math.abs(values[i]) - LEAST_AWAKE_A);
    variance[i] += ownA * ownA;
  }
  return variance;
}

/** Modules that are awake never draw a constant current: past this level, by about this share of it (generated and open traces alike). */
const OWN_SHARE = 0.006;

/** How readings are rounded: to whole steps, so many readings in a block mean. */
export interface Rounding {
  /** A; 0 when no step shows */
  readonly stepA: number;
  readonly samplesPerBlock: number;
}

const UNROUNDED: Rounding = { stepA: 0, samplesPerBlock: 1 };

/**
 * True when the noise is too small or too slow to spread the readings over the steps, so that they dwell on one: a hop to the next step
 * then says little of the current, and half a step is the least deviation of a block, however many readings it holds.
 */
function sticks(values: Float64Array, startIndex: number, endIndex: number, reading: Rounding): boolean {
  const { stepA, samplesPerBlock } = reading;
  if (stepA === 0) return false;
  // with more readings in a block, noise that spreads them over the steps hardly ever leaves all of them on one
  const few = samplesPerBlock < FEW;
  let standing = 0;
  for (let i = startIndex + 1; i < endIndex; i++) {
    const steps = few ? (values[i] - values[i - 1]) / stepA : values[i] / stepA - Math.round(values[i] / stepA);
    if (Math.abs(steps) < TRIFLE_SHARE) standing++;
  }
  return standing > (few ? 1 - SAME_SHARE : SAME_SHARE) * (endIndex - startIndex - 1);
}

/** Spreads a difference evenly over the raster it was rounded to, by steps of an irrational share of it: a quantile of grouped values is taken inside its group, not at its edge. */
function spread(difference: number, i: number, rasterA: number): number {
  return difference + rasterA * (((i * Math.SQRT2) % 1) - 0.5);
}

function chunkVariance(values: Float64Array, floorA2: number, reading: Rounding): Float64Array {
  const rasterA = reading.stepA / reading.samplesPerBlock;
  const count = values.length;
  const variance = new Float64Array(count);
  const chunks = Math.max(1, Math.round(count / MANY_BLOCKS));
  const perChunk: number[] = [];
  for (let k = 0; k < chunks; k++) {
    const startIndex = Math.floor((k * count) / chunks);
    const endIndex = Math.floor(((k + 1) * count) / chunks);
    if (endIndex - startIndex < 2) {
      perChunk.push(floorA2);
      continue;
    }
    const differences = new Float64Array(endIndex - startIndex - 1);
    for (let i = startIndex + 1; i < endIndex; i++) differences[i - startIndex - 1] = Math.abs(spread(values[i] - values[i - 1], i, rasterA));
    const deviation = deviationOf(differences);
    const leastA2 = sticks(values, startIndex, endIndex, reading) ? (reading.stepA / 2) ** 2 : floorA2;
    perChunk.push(Math.max(leastA2, deviation * deviation));
  }
  // no stretch is quieter than this share of a quiet one: its few differences were alike by chance
  const least = SAME_SHARE * quantile(perChunk, LOW_POINT);
  for (let k = 0; k < chunks; k++) variance.fill(Math.max(least, perChunk[k]), Math.floor((k * count) / chunks), Math.floor(((k + 1) * count) / chunks));
  return variance;
}

/**
 * How much larger the long-run variance is than that of single blocks: the variance of a mean of n blocks times n, over `variance`.
 * 1 for noise without memory; more for noise that hangs together, and using it in the price of a change keeps slow swings from being
 * cut into levels. Means of 1, 2, 4 ... blocks are compared with their neighbours, never across the edges of `levels` (start indices
 * of levels already known, 0 included, and the length).
 */
export function longRunFactor(values: Float64Array, variance: Float64Array, levels: readonly number[], longestGroup: number): number {
  let largest = 1;
  for (let group = 2; group <= longestGroup; group *= 2) {
    const differences: number[] = [];
    for (let k = 0; k + 1 < levels.length; k++) {
      let before = NaN;
      for (let i = levels[k]; i + group <= levels[k + 1]; i += group) {
        const now = groupMean(values, i, group);
        if (i > levels[k]) differences.push(Math.abs(now - before) / Math.sqrt(variance[i]));
        before = now;
      }
    }
    if (differences.length < PATTERN) break;
    const deviation = deviationOf(differences);
    largest = Math.max(largest, deviation * deviation * group);
  }
  return Math.min(MANY_BLOCKS, largest);
}

/**
 * The same factor from the shape of the noise, for swings longer than the levels that a first guess leaves: noise is taken as a part
 * without memory and a part that dies away by `phi` a block (first-order autoregression). Mean squared differences at lags 1, 2, 4
 * then give phi (1 + phi) as the ratio of their increments. 1 when the noise has no such shape.
 */
export function memoryFactor(values: Float64Array, variance: Float64Array): number {
  if (values.length < 2 * MANY_BLOCKS) return 1;
  const first = lagged(values, variance, 1);
  const second = lagged(values, variance, 2);
  const fourth = lagged(values, variance, 4);
  const step = second - first;
  // neighbours mostly on the same step of the reading: the differences say nothing of the noise
  if (first < 1 || step < TRIFLE_SHARE * first) return 1;
  const ratio = (fourth - second) / step;
  const decay = Math.min(1 - TRIFLE_SHARE, Math.sqrt(Math.max(0, ratio) + 0.5 ** 2) - 0.5);
  // so little of a block in the next is noise without memory
  if (decay < SAME_SHARE) return 1;
  const swing = step / (2 * decay * (1 - decay));
  const white = Math.max(0, first / 2 - swing * (1 - decay));
  return Math.max(1, white + (swing * (1 + decay)) / (1 - decay));
}

/** Mean squared difference of standardised values so far apart, by the low quantile of their sizes. */
function lagged(values: Float64Array, variance: Float64Array, lag: number): number {
  const differences = new Float64Array(values.length - lag);
  for (let i = lag; i < values.length; i++) differences[i - lag] = Math.abs(values[i] - values[i - lag]) / Math.sqrt(variance[i]);
  const deviation = deviationOf(differences);
  return 2 * deviation * deviation;
}

function groupMean(values: Float64Array, startIndex: number, count: number): number {
  let sum = 0;
  for (let i = startIndex; i < startIndex + count; i++) sum += values[i];
  return sum / count;
}

/**
 * Smallest step between readings, A: 0 when values do not lie on a raster. Looks at the lower half of a few thousand raw values first,
 * for readings of an awake vehicle spread over thousands of steps, and at all of them when the vehicle at rest stays on one step.
 */
export function readingStepA(values: Float32Array): number {
  if (values.length < PATTERN) return 0;
  const sorted = Float32Array.from(values).sort();
  return rasterA(sorted.subarray(0, Math.ceil(sorted.length / 2))) ?? rasterA(sorted) ?? 0;
}

/** The raster of sorted values: few distinct ones, all a whole number of steps apart. 0: none; null: all values are equal. */
function rasterA(sorted: Float32Array): number | null {
  let distinct = 1;
  let step = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const apart = sorted[i] - sorted[i - 1];
    if (apart <= LEAST_A) continue;
    distinct++;
    if (apart < step) step = apart;
  }
  if (distinct < 2) return null;
  if (distinct > sorted.length / 2) return 0;
  let onRaster = 0;
  for (let i = 0; i < sorted.length; i++) {
    const steps = (sorted[i] - sorted[0]) / step;
    if (Math.abs(steps - Math.round(steps)) < TRIFLE_SHARE) onRaster++;
  }
  return onRaster >= UPPER_95 * sorted.length ? step : 0;
}
