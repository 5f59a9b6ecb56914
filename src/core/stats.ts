import { median as ssMedian, quantile as ssQuantile, mean as ssMean } from 'simple-statistics';

/**
 * The only door to simple-statistics. Its types ask for `number[]` while its code takes any array-like, so the cast happens once,
 * here; and its empty-input behaviour (it throws) is pinned by tests/core/stats.test.ts.
 */
type Numbers = ArrayLike<number>;

function asArray(values: Numbers): number[] {
  return values as unknown as number[];
}

/** Middle value, mean of the two middle ones for an even count. Throws on empty input. O(n) selection on a copy. */
export function median(values: Numbers): number {
  return ssMedian(asArray(values));
}

/** Quantile `p` in 0..1. Throws on empty input. */
export function quantile(values: Numbers, p: number): number {
  return ssQuantile(asArray(values), p);
}

/** Arithmetic mean with compensated summation. Throws on empty input. */
export function mean(values: Numbers): number {
  return ssMean(asArray(values));
}

/** Median absolute deviation to standard deviation for normal noise: 1 / Phi^-1(3/4), a constant of the normal distribution. */
export const MAD_TO_SIGMA = 1.482602218505602;

/** Robust standard deviation: MAD about the median times 1.4826. 0 for fewer than two values. */
export function robustSigma(values: Numbers): number {
  if (values.length < 2) return 0;
  const middle = median(values);
  const deviations = new Float64Array(values.length);
  for (let i = 0; i < values.length; i++) deviations[i] = Math.abs(values[i] - middle);
  return median(deviations) * MAD_TO_SIGMA;
}
