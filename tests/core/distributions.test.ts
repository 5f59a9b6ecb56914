import { describe, expect, it } from 'vitest';
import { chiSquaredCdf, normalCdf, normalQuantile, student95, tQuantile, twoSided95 } from '../../src/core/analysis/uncertainty/distributions.ts';
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

describe('the factor of a 95 % interval', () => {
  // Student's t, two-sided 95 %, as in any table: 12.706, 4.303 and 2.228 for 1, 2 and 10 degrees of freedom; 1.96 for the normal distribution
  it('has one degree of freedom less than there are values, and none below two', () => {
    expect([student95(2), student95(3), student95(11)].map((factor) => Number(factor.toFixed(3)))).toEqual([12.706, 4.303, 2.228]);
    expect([student95(0), student95(1)]).toEqual([Infinity, Infinity]);
  });

  it('is that of the normal distribution from 2000 degrees on', () => {
    expect(twoSided95(10)).toBeCloseTo(2.228, 3);
    expect(twoSided95(1999)).toBeGreaterThan(1.961);
    expect([twoSided95(2000), twoSided95(Infinity)]).toEqual([NORMAL_95, NORMAL_95]);
    expect(NORMAL_95).toBeCloseTo(1.959964, 6);
  });
});
