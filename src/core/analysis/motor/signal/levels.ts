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
