import { describe, expect, it } from 'vitest';
import { judge, meanChange, type Measured } from '../../../../src/core/analysis/compare/change.ts';
import { seededRandom } from '../../../../src/core/random.ts';
import golden from '../../../golden/golden.json';

const plain = (values: readonly number[]): Measured[] => values.map((value) => ({ value, sigma: null }));

function normalValues(random: () => number, count: number, mean: number, sigma: number): Measured[] {
  return plain(Array.from({ length: count }, () => mean + sigma * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())));
}

/** How often 95 % bounds hold the true change of 1 over so many draws. */
function coverage(count: number, draws: number): number {
  const random = seededRandom(count);
  let held = 0;
  for (let i = 0; i < draws; i++) {
    const { low, high } = meanChange(normalValues(random, count, 5, 0.3), normalValues(random, count, 6, 0.3));
    if (low! <= 1 && 1 <= high!) held++;
  }
  return held / draws;
}

describe('the change of a mean', () => {
  it('has the bounds of SciPy ttest_ind(equal_var=False).confidence_interval for few actuations', () => {
    for (const { before, after, welch } of golden.welch) {
      const change = meanChange(plain(before), plain(after));
      expect(change.method).toBe('welch');
      [change.low, change.high, change.low90, change.high90].forEach((bound, i) => expect(bound).toBeCloseTo(welch[i]!, 6));
    }
  });

  it('has the bounds of SciPy bootstrap(method="BCa") for many, to within the chance of resampling (5 % of their width)', () => {
    for (const { before, after, bca95 } of golden.bootstrap) {
      const change = meanChange(plain(before), plain(after));
      expect(change.method).toBe('bootstrap');
      const width = bca95[1]! - bca95[0]!;
      expect(Math.abs(change.low! - bca95[0]!)).toBeLessThan(0.05 * width);
      expect(Math.abs(change.high! - bca95[1]!)).toBeLessThan(0.05 * width);
    }
  });

  it('holds the true change in about 95 of 100 draws, for few and for many (binomial 99.9 % band)', () => {
    for (const [count, draws] of [[2, 1500], [5, 1500], [20, 300]] as const) {
      const band = 3.3 * Math.sqrt((0.95 * 0.05) / draws);
      expect(coverage(count, draws)).toBeGreaterThan(0.95 - band);
      // Welch's interval is known to be wide for two values a side; wider is honest, narrower would not be
      if (count > 2) expect(coverage(count, draws)).toBeLessThan(0.95 + band);
    }
  });

  it('rests on the uncertainty within single actuations when there is only one a side, and on nothing when they carry none', () => {
    const change = meanChange([{ value: 7, sigma: 0.03 }], [{ value: 5, sigma: 0.04 }]);
    expect(change.method).toBe('within');
    expect(change.high! - change.low!).toBeCloseTo(2 * 1.959964 * 0.05, 6);
    expect(meanChange(plain([7]), plain([5]))).toMatchObject({ method: 'none', low: null, high: null });
  });

  it('is never surer than the readings it is made of: equal quantised values keep the uncertainty of each', () => {
    const side = [{ value: 4, sigma: 0.1 }, { value: 4, sigma: 0.1 }];
    const change = meanChange(side, side);
    expect(change.high! - change.low!).toBeGreaterThan(0.3);
  });

  it('is exact where all readings of each side agree and none says how uncertain it is', () => {
    expect(meanChange(plain([4, 4]), plain([5, 5]))).toMatchObject({ change: 1, low: 1, high: 1, low90: 1, high90: 1 });
  });

  it('is as skewed as its values are', () => {
    // Twenty of nothing before; after it one of 20 and 19 of nothing: a resample holds the one k times, binomial of 20 at 1/20, for a change of k. Below 1 lie 0.358 and half of 0.377: bias 0.119.
    // Influences 1 and 19 times -1/19: acceleration 0.997/(6 x 1.0526^1.5) = 0.154. At 97.5 % 0.119 + 2.079/(1 - 0.154 x 2.079) = 3.17 deviations, 0.99925: between 0.9974 up to 4 and 0.9997 up to 5.
    // Without the acceleration 2.20 deviations, 0.986: 4
    const change = meanChange(plain(Array.from({ length: 20 }, () => 0)), plain(Array.from({ length: 20 }, (_, i) => (i === 0 ? 20 : 0))));
    expect(change).toMatchObject({ method: 'bootstrap', change: 1, low: 0, high: 5 });
    // turned over it has the same bounds, but for its draws
    expect(meanChange(plain(Array.from({ length: 20 }, (_, i) => (i === 0 ? 20 : 0))), plain(Array.from({ length: 20 }, () => 0)))).toMatchObject({ change: -1, low: -5, high: expect.closeTo(0, 9) });
  });

  it('gives the same bounds every time', () => {
    const { before, after } = golden.bootstrap[0]!;
    expect(meanChange(plain(before), plain(after))).toEqual(meanChange(plain(before), plain(after)));
  });
});

describe('the judgement', () => {
  const change = (low: number, high: number, low90: number, high90: number) =>
    ({ before: 0, after: 0, change: (low + high) / 2, low, high, low90, high90, method: 'welch' }) as const;

  it.each([
    ['higher when the 95 % bounds lie above zero', change(0.01, 2, 0.2, 1.8), 0.1, 'higher'],
    ['lower when they lie below zero', change(-2, -0.01, -1.8, -0.2), 0.1, 'lower'],
    ['unsure when they hold zero and pass the tolerance', change(-1, 2, -0.8, 1.8), 0.1, 'unsure'],
    ['same when the 90 % bounds are inside the tolerance (two one-sided tests, Schuirmann 1987)', change(-0.11, 0.11, -0.09, 0.09), 0.1, 'same'],
    ['same even when a tiny change is sure', change(0.01, 0.05, 0.012, 0.045), 0.1, 'same'],
    ['not same when the 90 % bounds touch the tolerance', change(-0.11, 0.11, -0.1, 0.1), 0.1, 'unsure'],
  ] as const)('is %s', (_, input, tolerance, judgement) => {
    expect(judge(input, tolerance)).toBe(judgement);
  });

  it('is unsure without bounds, however large the change', () => {
    expect(judge(meanChange(plain([1]), plain([100])), 0.1)).toBe('unsure');
  });
});
