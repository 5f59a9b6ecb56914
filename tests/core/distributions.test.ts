import { describe, expect, it } from 'vitest';
import { chiSquaredCdf, normalCdf, normalQuantile, tQuantile } from '../../src/core/analysis/uncertainty/distributions.ts';
import { NORMAL_95 } from '../../src/core/analysis/uncertainty/normal-95.ts';
import golden from '../golden/golden.json';

// reference values: SciPy, by tests/golden/make_golden.py
describe('distributions', () => {
  it('agree with SciPy to seven figures', () => {
    for (const [p, degrees, value] of golden.t_quantile as [number, number, number][]) expect(tQuantile(p, degrees) / value).toBeCloseTo(1, 7);
    for (const [x, degrees, value] of golden.chi_squared_cdf as [number, number, number][]) expect(chiSquaredCdf(x, degrees)).toBeCloseTo(value, 7);
    for (const [p, value] of golden.normal as [number, number][]) {
      expect(normalQuantile(p)).toBeCloseTo(value, 7);
      expect(normalCdf(value)).toBeCloseTo(p, 7);
    }
  });

  it('give the factor for 95 % that is written out for the pages', () => {
    expect(NORMAL_95).toBeCloseTo(normalQuantile(0.975), 12);
  });
});
