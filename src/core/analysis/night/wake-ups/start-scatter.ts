/** Starts of wake-ups, and what lies between them in whole sleeps. */
export interface Distances {
  readonly starts: readonly number[];
  /** sleeps in each distance: more than one where wake-ups were missed */
  readonly sleeps: readonly number[];
  readonly meanS: number;
}

/**
 * How well a scatter explains the starts: the logarithm of the likelihood of what is left when first start and mean are taken out (restricted
 * likelihood, Patterson 1971), so that all kinds have the same number of values. Each start lies `phaseS2` from its tick and each sleep
 * `ownS2` from the mean (variances, s^2): a distance of m sleeps has m ownS2 + 2 phaseS2, and neighbours share a start, -phaseS2. The
 * covariance is factored as it is gone through; cost: the number of distances.
 */
export function supportOf({ starts, sleeps, meanS }: Distances, phaseS2: number, ownS2: number): number {
  let [pivot, apart, number] = [Infinity, 0, 0];
  let [logs, squares, cross, weight] = [0, 0, 0, 0];
  for (let i = 0; i < sleeps.length; i++) {
    const carried = phaseS2 / pivot;
    pivot = ownS2 * sleeps[i] + 2 * phaseS2 - phaseS2 * carried;
    apart = starts[i + 1] - starts[i] - sleeps[i] * meanS + carried * apart;
    number = sleeps[i] + carried * number;
    logs += Math.log(pivot);
    squares += apart ** 2 / pivot;
    cross += (apart * number) / pivot;
    weight += number ** 2 / pivot;
  }
  return -0.5 * ((sleeps.length - 1) * Math.log(2 * Math.PI) + logs + Math.log(weight) + squares - cross ** 2 / weight);
}

/**
 * The same of sleeps that have each the length of the one before and a little. Three readings, the middle one twice, scatter each difference,
 * at the very least.
 */
export function supportOfDrift({ starts, sleeps }: Distances, readS2: number): number {
  const lengths = sleeps.map((count, i) => (starts[i + 1] - starts[i]) / count);
  const squares = lengths.reduce((sum, length, i) => (i === 0 ? 0 : sum + (length - lengths[i - 1]) ** 2), 0);
  const differences = sleeps.length - 1;
  const varianceS2 = Math.max(squares / differences, (1 + 2 ** 2 + 1) * readS2);
  // lengths of a sleep told in distances, as the others are
  const told = sleeps.reduce((sum, count) => sum + Math.log(count), 0);
  return -0.5 * (differences * Math.log(2 * Math.PI * varianceS2) + squares / varianceS2) - told;
}

/** The variance of a sleep's own length that explains the starts best, beside that of the readings, s^2. */
export function mostLikely(distances: Distances, phaseS2: number): number {
  const { starts, sleeps, meanS } = distances;
  const squares = sleeps.reduce((sum, count, i) => sum + (starts[i + 1] - starts[i] - count * meanS) ** 2 / count, 0);
  const support = (logS2: number): number => supportOf(distances, phaseS2, Math.exp(logS2));
  // less would not move the last start by a reading, more than all squares it cannot be
  let low = Math.log(phaseS2) - 2 * Math.log(starts.length);
  let high = Math.max(low, Math.log(squares + phaseS2));
  // no maximum is known better than to the root of the rounding
  while (high - low > Math.sqrt(Number.EPSILON)) {
    const quarter = (high - low) / 2 / 2;
    if (support(low + quarter) > support(high - quarter)) high -= quarter;
    else low += quarter;
  }
  return Math.exp((low + high) / 2);
}
