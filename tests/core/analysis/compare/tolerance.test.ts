import { describe, expect, it } from 'vitest';
import { normalToleranceFactor, rangeConfidence, toleranceInterval } from '../../../../src/core/analysis/compare/known-good/tolerance.ts';
import golden from '../../../golden/golden.json';

describe('limits learnt from known-good traces', () => {
  // Berthouex and Brown, Statistics for Environmental Engineers, 2nd ed. 2002, table 21.1: two-sided tolerance intervals, 95 % confidence
  const table = [
    [4, 5.37, 6.34, 8.22], [5, 4.29, 5.08, 6.6], [6, 3.73, 4.42, 5.76], [8, 3.16, 3.75, 4.89],
    [10, 2.86, 3.39, 4.44], [15, 2.49, 2.96, 3.89], [20, 2.32, 2.76, 3.62], [30, 2.15, 2.55, 3.35],
  ] as const;
  it.each(table)('have the published factors for %i traces', (count, k90, k95, k99) => {
    expect(Math.abs(normalToleranceFactor(count, 0.9, 0.95) - k90)).toBeLessThan(0.0101);
    expect(Math.abs(normalToleranceFactor(count, 0.95, 0.95) - k95)).toBeLessThan(0.0101);
    expect(Math.abs(normalToleranceFactor(count, 0.99, 0.95) - k99)).toBeLessThan(0.0101);
  });

  it('agree with an independent numerical solution by SciPy to four figures', () => {
    for (const [count, coverage, confidence, factor] of golden.tolerance as [number, number, number, number][]) {
      expect(normalToleranceFactor(count, coverage, confidence) / factor).toBeCloseTo(1, 4);
    }
  });

  it('need 93 values before the plain range will do at 95 %/95 % (Wilks 1941)', () => {
    expect(rangeConfidence(92, 0.95)).toBeLessThan(0.95);
    expect(rangeConfidence(93, 0.95)).toBeGreaterThan(0.95);
    const values = Array.from({ length: 93 }, (_, i) => i);
    expect(toleranceInterval(values)).toMatchObject({ method: 'range', low: 0, high: 92, count: 93 });
    expect(toleranceInterval(values.slice(1))).toMatchObject({ method: 'normal' });
  });

  it('lie so many deviations to either side of the mean as that table says', () => {
    // 9 and 11 A three times each: deviation sqrt(6/5) A, factor 4.42
    const { low, high, method } = toleranceInterval([9, 9, 9, 11, 11, 11])!;
    expect([Math.abs(low - (10 - 4.42 * Math.sqrt(1.2))), Math.abs(high - (10 + 4.42 * Math.sqrt(1.2)))].every((off) => off < 0.012)).toBe(true);
    expect(method).toBe('normal');
  });

  it('are never made from a single trace', () => {
    expect(toleranceInterval([])).toBeNull();
    expect(toleranceInterval([4.2])).toBeNull();
    expect(toleranceInterval([4, 4.2])).not.toBeNull();
  });
});
