import { chiSquaredCdf, normalCdf, normalQuantile } from '../../uncertainty/distributions.ts';
import { mean } from '../../../stats.ts';

/**
 * Limits learnt from known-good traces: a range that holds, with a chosen confidence, at least a chosen share of all good ones.
 * Wider for few traces, because few traces say little: with 3 traces the normal factor is 9.9, with 30 it is 2.5.
 */
export interface ToleranceInterval {
  readonly low: number;
  readonly high: number;
  readonly count: number;
  readonly coverage: number;
  readonly confidence: number;
  /** normal: mean +- k s · range: smallest to largest, no assumption on the distribution */
  readonly method: 'normal' | 'range';
}

const DEFAULT_COVERAGE = 0.95;
const DEFAULT_CONFIDENCE = 0.95;

/**
 * Tolerance interval of a set of known-good values. Null for fewer than two values: one trace cannot say how much good ones differ.
 * With enough values for a distribution-free one (93 at 95 %/95 %) that is taken, else the normal one.
 */
export function toleranceInterval(values: readonly number[], coverage = DEFAULT_COVERAGE, confidence = DEFAULT_CONFIDENCE): ToleranceInterval | null {
  const count = values.length;
  if (count < 2) return null;
  if (rangeConfidence(count, coverage) >= confidence) {
    return { low: Math.min(...values), high: Math.max(...values), count, coverage, confidence, method: 'range' };
  }
  const middle = mean(values);
  const deviation = Math.sqrt(values.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (count - 1));
  const factor = normalToleranceFactor(count, coverage, confidence);
  return { low: middle - factor * deviation, high: middle + factor * deviation, count, coverage, confidence, method: 'normal' };
}

/** Confidence that smallest to largest of `count` values holds `coverage` of all (Wilks 1941): 1 - n p^(n-1) + (n-1) p^n. */
export function rangeConfidence(count: number, coverage: number): number {
  return 1 - count * coverage ** (count - 1) + (count - 1) * coverage ** count;
}

/**
 * Factor k of the two-sided normal tolerance interval mean +- k s, exact: the k for which
 * integral over z of P(chi2(n-1) > (n-1) r(z)^2 / k^2) times the normal density of z with variance 1/n equals the confidence,
 * where r(z) is the half-width around z that holds the coverage (ISO 16269-6:2014, annex; Odeh and Owen 1980).
 * Solved by bisection on Simpson's rule; agrees with the published table to four figures. `count` from 2.
 */
export function normalToleranceFactor(count: number, coverage: number, confidence: number): number {
  const degrees = count - 1;
  // half-widths do not depend on k, so they are found once
  const steps = 200;
  const zLimit = 6 / Math.sqrt(count);
  const halfWidths = Array.from({ length: steps + 1 }, (_, i) => halfWidthAround((i / steps) * zLimit, coverage));
  const reached = (factor: number): number => {
    let sum = 0;
    for (let i = 0; i <= steps; i++) {
      const z = (i / steps) * zLimit;
      const weight = i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2;
      const density = Math.sqrt(count / (2 * Math.PI)) * Math.exp((-count * z * z) / 2);
      sum += weight * density * (1 - chiSquaredCdf((degrees * halfWidths[i] ** 2) / factor ** 2, degrees));
    }
    return (2 * sum * zLimit) / steps / 3;
  };
  let low = normalQuantile((1 + coverage) / 2) / 2;
  let high = low;
  while (reached(high) < confidence) high *= 2;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (reached(middle) < confidence) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** r with Phi(z + r) - Phi(z - r) = coverage. */
function halfWidthAround(z: number, coverage: number): number {
  let low = 0;
  let high = z + 10;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (normalCdf(z + middle) - normalCdf(z - middle) < coverage) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
