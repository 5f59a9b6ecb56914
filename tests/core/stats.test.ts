import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { quantile as libraryQuantile } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { lagOne, MAD_TO_SIGMA, mean, median, quantile, robustSigma, sampleDeviation } from '../../src/core/stats.ts';

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

  it('gives the quantile that the library gives, to the last bit, of columns of any kind and length', () => {
    const value = fc.oneof(fc.integer({ min: -3, max: 3 }), fc.double({ noNaN: true, min: -1e6, max: 1e6 }));
    const column = fc.oneof(fc.array(value, { minLength: 1, maxLength: 60 }), fc.array(value, { minLength: 500, maxLength: 900 }));
    const kind = fc.constantFrom((values: number[]) => values, (values: number[]) => Float64Array.from(values), (values: number[]) => Float32Array.from(values));
    fc.assert(
      fc.property(column, kind, fc.oneof(fc.constantFrom(0, 0.05, 0.25, 0.5, 0.95, 1), fc.double({ min: 0, max: 1, noNaN: true })), (values, as, p) => {
        const given = as(values);
        expect(quantile(given, p)).toBe(libraryQuantile([...given], p));
      }),
      { numRuns: 1000 },
    );
    const many = Float64Array.from({ length: 40_000 }, (_, i) => (i * 7919) % 40_009);
    expect(quantile(many, 0.3)).toBe(libraryQuantile([...many], 0.3));
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

/**
 * NIST StRD univariate sets (files with their certified values in tests/reference/data). The binary doubles nearest to 10000000.1 and its
 * like are not the decimals of the file: the relative spacing of doubles at 1e7 (2e-16 x 1e7 against a deviation of 0.1) leaves 9 digits of
 * NumAcc3's and NumAcc4's deviation, whatever the method; a sum of squares in one pass gives 1.414 for NumAcc4.
 */
describe('statistics against the certified values of NIST StRD', () => {
  function load(name: string): { values: number[]; mean: number; deviation: number; lag: number } {
    const text = readFileSync(new URL(`../reference/data/nist-${name}.dat`, import.meta.url), 'utf8');
    const certified = (label: string): number => Number(new RegExp(`${label}.*?:\\s+(-?[\\d.]+)`).exec(text)?.[1]);
    const values = text.slice(text.search(/^-{5,}\s*$/m)).split(/\r?\n/).slice(1).map((line) => line.trim()).filter((line) => line !== '').map(Number);
    return { values, mean: certified('Sample Mean'), deviation: certified('Sample Standard Deviation'), lag: certified('Sample Autocorrelation') };
  }
  const digits = (value: number, certified: number): number => -Math.log10(Math.abs(value / certified - 1) || 1e-16);

  it.each([
    ['Michelso', 100, 15, 13, 12],
    ['NumAcc1', 3, 15, 15, 15],
    ['NumAcc2', 1001, 14, 14, 13],
    ['NumAcc3', 1001, 15, 9, 9],
    ['NumAcc4', 1001, 15, 8, 8],
  ])('gives the mean, deviation and autocorrelation of %s (%i values) to %i, %i and %i digits', (name, count, ofMean, ofDeviation, ofLag) => {
    const set = load(name);
    expect(set.values).toHaveLength(count);
    expect(digits(mean(set.values), set.mean)).toBeGreaterThanOrEqual(ofMean);
    expect(digits(sampleDeviation(set.values), set.deviation)).toBeGreaterThanOrEqual(ofDeviation);
    expect(digits(lagOne(set.values), set.lag)).toBeGreaterThanOrEqual(ofLag);
  });

  it('says nothing varies where nothing does', () => {
    expect(sampleDeviation([4])).toBe(0);
    expect(sampleDeviation([4, 4, 4])).toBe(0);
    expect(lagOne([4, 4, 4])).toBe(0);
  });
});
