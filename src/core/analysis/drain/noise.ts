import { quantile } from '../../stats.ts';

/** |difference| of two equal normal values: its 35 % point over the standard deviation of one value, sqrt(2) * Phi^-1(0.675). */
const LOW_POINT = 0.35;
const LOW_POINT_OF_DIFFERENCE = 0.64172;

/** Groups up to this many blocks are compared; noise that hangs together for longer is taken for real change. */
const LONGEST_GROUP = 64;
const LONGEST_GROUP_S = 64;
const FEWEST_GROUPS = 24;

/**
 * Long-run variance of a series of block means, per block: what the variance of a mean of n blocks tends to, times n. For noise
 * without memory it is the variance itself; for noise that hangs together it is larger, and using it as the price of a change keeps
 * slow swings from being cut into levels. Means of 1, 2, 4 ... 64 blocks are compared with their neighbours; the low quantile of the
 * differences does not see real steps as long as they are rarer than two in three.
 */
export function longRunVariance(values: Float64Array, widthS: number): number {
  let largest = 0;
  for (let group = 1; group <= LONGEST_GROUP && group * widthS <= LONGEST_GROUP_S; group *= 2) {
    const groups = Math.floor(values.length / group);
    if (groups < FEWEST_GROUPS && group > 1) break;
    if (groups < 2) break;
    const differences = new Float64Array(groups - 1);
    let before = groupMean(values, 0, group);
    for (let k = 1; k < groups; k++) {
      const now = groupMean(values, k * group, group);
      differences[k - 1] = Math.abs(now - before);
      before = now;
    }
    const deviation = quantile(differences, LOW_POINT) / LOW_POINT_OF_DIFFERENCE;
    largest = Math.max(largest, deviation * deviation * group);
  }
  return largest;
}

function groupMean(values: Float64Array, startIndex: number, count: number): number {
  let sum = 0;
  for (let i = startIndex; i < startIndex + count; i++) sum += values[i];
  return sum / count;
}

/**
 * Smallest step between readings, A: 0 when values do not lie on a raster. Looks at a sorted copy of a few thousand raw values;
 * a raster shows as few distinct values, all a whole number of steps apart.
 */
export function readingStepA(values: Float32Array): number {
  if (values.length < 16) return 0;
  const sorted = Float32Array.from(values).sort();
  let distinct = 1;
  let step = Infinity;
  for (let i = 1; i < sorted.length; i++) {
    const apart = sorted[i] - sorted[i - 1];
    if (apart <= 1e-7 * Math.max(1, Math.abs(sorted[i]))) continue;
    distinct++;
    if (apart < step) step = apart;
  }
  if (distinct < 2 || distinct > values.length / 3) return 0;
  let onRaster = 0;
  for (let i = 0; i < sorted.length; i++) {
    const steps = (sorted[i] - sorted[0]) / step;
    if (Math.abs(steps - Math.round(steps)) < 0.15) onRaster++;
  }
  return onRaster >= 0.98 * sorted.length ? step : 0;
}
