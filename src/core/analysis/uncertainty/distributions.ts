import jstat from 'jstat';
import { NORMAL_95 } from './normal-95.ts';

/** The only door to jstat: quantiles and distribution functions, checked against SciPy in tests/core/distributions.test.ts. */
const { studentt, chisquare, normal } = jstat.jStat;

/** Quantile of Student's t; `degrees` may be a fraction (Welch). */
export function tQuantile(probability: number, degrees: number): number {
  return studentt.inv(probability, degrees);
}

/** of Student's t: from here on it is the normal distribution to a thousandth */
const MOST_DEGREES = 2000;

/** Half-width of a two-sided 95 % interval in standard uncertainties; `degrees` may be a fraction, or Infinity for a normal distribution. */
export function twoSided95(degrees: number): number {
  return degrees < MOST_DEGREES ? tQuantile(UPPER_95, degrees) : NORMAL_95;
}

/** Quantile of the standard normal distribution. */
export function normalQuantile(probability: number): number {
  return normal.inv(probability, 0, 1);
}

/** Probability that a standard normal value is at most `z`. */
export function normalCdf(z: number): number {
  return normal.cdf(z, 0, 1);
}

/** Probability that a chi-squared value with so many degrees of freedom is at most `value`. */
export function chiSquaredCdf(value: number, degrees: number): number {
  return chisquare.cdf(value, degrees);
}

/** Quantile of the chi-squared distribution. */
export function chiSquaredQuantile(probability: number, degrees: number): number {
  return chisquare.inv(probability, degrees);
}

/** Upper side of a two-sided interval of 95 %. */
export const UPPER_95 = 0.975;

const students = new Map<number, number>();

/** Two-sided 95 % factor for a mean of `count` independent values; Infinity for fewer than two. */
export function student95(count: number): number {
  if (count < 2) return Infinity;
  const known = students.get(count);
  if (known !== undefined) return known;
  const factor = tQuantile(UPPER_95, count - 1);
  students.set(count, factor);
  return factor;
}
