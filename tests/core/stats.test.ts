import { describe, expect, it } from 'vitest';
import { MAD_TO_SIGMA, mean, median, quantile, robustSigma } from '../../src/core/stats.ts';

describe('statistics', () => {
  it('takes typed arrays, and the mean of the two middle values for an even count', () => {
    expect(median(Float32Array.of(4, 1, 3, 2))).toBe(2.5);
    expect(median(Float64Array.of(3, 1, 2))).toBe(2);
    expect(mean(Float32Array.of(1, 2, 4, 5))).toBe(3);
  });

  it('leaves its input as it was', () => {
    const values = Object.freeze([3, 1, 2]);
    median(values);
    quantile(values, 0.3);
    expect(values).toEqual([3, 1, 2]);
  });

  it('throws on empty input, where there is no answer', () => {
    expect(() => median([])).toThrow();
    expect(() => mean([])).toThrow();
    expect(() => quantile([], 0.5)).toThrow();
  });

  it('turns the median absolute deviation into a standard deviation by 1 / Phi^-1(3/4) (the quantile 0.6744897501960817, SciPy stats.norm.ppf)', () => {
    expect(MAD_TO_SIGMA).toBeCloseTo(1 / 0.6744897501960817, 12);
    expect(robustSigma([1, 1, 2, 2, 4, 6, 9])).toBeCloseTo(MAD_TO_SIGMA * 1, 12);
    expect(robustSigma([5])).toBe(0);
  });
});
