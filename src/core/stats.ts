import { quantile as ssQuantile, mean as ssMean } from 'simple-statistics';
import { select } from './select.ts';

/**
 * The only door to simple-statistics. Its types ask for `number[]` while its code takes any array-like, so the cast happens once,
 * here; and its empty-input behaviour (it throws) is pinned by tests/core/stats.test.ts.
 */
type Numbers = ArrayLike<number>;

function asArray(values: Numbers): number[] {
  return values as unknown as number[];
}

/** Quantiles of a few dozen values up to those of a run thinned to some 20,000 are found in memory that is there already. */
const room = new Float64Array(32_768);

/** Middle value, mean of the two middle ones for an even count. Throws on empty input. O(n) selection on a copy. */
export function median(values: Numbers): number {
  return quantile(values, 0.5);
}

/** Quantile `p` in 0..1, between two values in proportion (type 7 of Hyndman and Fan 1996). Throws on empty input. */
export function quantile(values: Numbers, p: number): number {
  const count = values.length;
  if (count === 0 || count > room.length || !(p >= 0 && p <= 1)) return ssQuantile(asArray(values), p);
  room.set(values);
  const at = (count - 1) * p;
  const lower = Math.floor(at);
  select(room, lower, 0, count - 1);
  if (at === lower) return room[lower];
  let above = room[lower + 1];
  for (let i = lower + 2; i < count; i++) if (room[i] < above) above = room[i];
  return room[lower] + (at - lower) * (above - room[lower]);
}

/** Arithmetic mean with compensated summation. Throws on empty input. */
export function mean(values: Numbers): number {
  return ssMean(asArray(values));
}

/**
 * Standard deviation, denominator n - 1, in two passes with the mean's own rounding taken back out (Chan, Golub, LeVeque 1983). 0 for fewer
 * than two values.
 */
export function sampleDeviation(values: Numbers): number {
  const count = values.length;
  if (count < 2) return 0;
  const middle = mean(values);
  let squares = 0;
  let left = 0;
  for (let i = 0; i < count; i++) {
    const off = values[i] - middle;
    squares += off * off;
    left += off;
  }
  return Math.sqrt((squares - (left * left) / count) / (count - 1));
}

/** Slope of the least-squares line through the points; 0 where all have one x. */
export function slopeOf(x: Numbers, y: Numbers): number {
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < x.length; i++) {
    meanX += x[i];
    meanY += y[i];
  }
  meanX /= x.length;
  meanY /= x.length;
  let across = 0;
  let along = 0;
  for (let i = 0; i < x.length; i++) {
    across += (x[i] - meanX) * (y[i] - meanY);
    along += (x[i] - meanX) ** 2;
  }
  return along > 0 ? across / along : 0;
}

/** Autocorrelation at a lag of one value, as in NIST StRD: products of neighbours over the sum of squares. 0 where nothing varies. */
export function lagOne(values: Numbers): number {
  if (values.length < 2) return 0;
  const middle = mean(values);
  let squares = 0;
  let products = 0;
  for (let i = 0; i < values.length; i++) {
    const off = values[i] - middle;
    squares += off * off;
    if (i > 0) products += off * (values[i - 1] - middle);
  }
  return squares > 0 ? products / squares : 0;
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
