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
