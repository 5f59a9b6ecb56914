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
/** probability that noise alone passes for what is reported: for a line somewhere in the bins that are looked at, for readings that stand still */
export const FALSE_ALARM = 0.001;
/** of a level; from here on a current that comes up to it is there: what ripple and rounding leave open */
export const CAME_UP = 0.97;
/** of several that should agree, as many as make most of them, and nearly all (common practice, no published source) */
export const MOST_OF = 0.6;
export const NEARLY_ALL = 0.85;

/** Standard deviations that the farthest of so many normal readings hardly ever passes: some sqrt(2 ln n) of them, and one more. */
export function farthestOf(count: number): number {
  return Math.sqrt(2 * Math.log(Math.max(1, count))) + 1;
}
