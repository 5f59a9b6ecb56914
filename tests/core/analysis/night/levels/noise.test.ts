import { describe, expect, it } from 'vitest';
import { localVariance, longRunFactor, memoryFactor } from '../../../../../src/core/analysis/night/levels/noise.ts';

/**
 * Differences that are all 1 stand for this variance of a value: the 35 % point of the size of a normal deviate is Phi^-1(0.675) = 0.453762 (NIST/SEMATECH e-Handbook, 1.3.6.7.1, between 0.67 and 0.68), and
 * a difference of two has twice the variance: 1 / (2 x 0.453762^2).
 */
const OF_ONE = 2.42837;
const made = (length: number, value: (i: number) => number): Float64Array => Float64Array.from({ length }, (_, i) => value(i));
const swinging = (length: number, sizeA: number, fromA = 0): Float64Array => made(length, (i) => fromA + sizeA * (i % 2));
const flat = (length: number, value = 1): Float64Array => new Float64Array(length).fill(value);

describe('the variance of block means', () => {
  it('is that of normal noise whose neighbours differ as much', () => {
    expect(localVariance(swinging(64, 0.1), 1e-12)[30]! / 0.01).toBeCloseTo(OF_ONE, 4);
  });

  it('does not depend on the level at rest, nor on the direction, and goes with the square of the size', () => {
    const once = localVariance(swinging(64, 0.01), 1e-12);
    expect(localVariance(swinging(64, 0.01, 0.05), 1e-12)[0]).toBeCloseTo(once[0]!, 12);
    expect(localVariance(swinging(64, -0.01), 1e-12)).toEqual(once);
    expect(localVariance(swinging(64, 0.03), 1e-12)[0]).toBeCloseTo(9 * once[0]!, 10);
  });

  it('is no less than rounding leaves, also where one block is all there is', () => {
    expect([localVariance(flat(64, 0), 1e-6)[0], localVariance(flat(1, 0), 1e-6)[0], localVariance(flat(2, 0), 1e-6)[1]]).toEqual([1e-6, 1e-6, 1e-6]);
    expect(localVariance(Float64Array.of(0, 0.1), 1e-6)[0]! / 0.01).toBeCloseTo(OF_ONE, 4);
  });

  it('is told apart every 64 blocks, none quieter than a fifth of a quiet one', () => {
    const found = localVariance(made(128, (i) => (i < 64 ? 0.001 : 0.01) * (i % 2)), 1e-12);
    // 1 and 100 of the smaller: their 35 % point is 1 + 0.35 x 99 = 35.65, a fifth of it 7.13
    expect([found[0]! / 1e-6, found[63]! / 1e-6, found[64]! / 1e-6, found[127]! / 1e-6].map((ratio) => ratio / OF_ONE)).toEqual([7.13, 7.13, 100, 100].map((ratio) => expect.closeTo(ratio, 3)));
    // 95 blocks are one part, 96 are two
    const parts = (count: number): number => new Set(localVariance(made(count, (i) => (i < 48 ? 0.001 : 0.01) * (i % 2)), 1e-12)).size;
    expect([parts(95), parts(96)]).toEqual([1, 2]);
  });

  it('does not see steps in fewer than half of the places', () => {
    expect(localVariance(made(64, (i) => (i % 2) * 0.001 + (i > 20 ? 0.05 : 0) + (i > 40 ? 0.02 : 0)), 1e-12)[0]! / 1e-6).toBeCloseTo(OF_ONE, 4);
  });

  it('is half a step of readings that dwell on one', () => {
    const reading = { stepA: 0.001, samplesPerBlock: 1 };
    expect(localVariance(flat(64, 0.005), 1e-12, reading)[0]).toBeCloseTo(0.25e-6, 15);
    // many readings in a block, whole steps in more than a fifth of them
    const blocks = (every: number): number => localVariance(made(61, (i) => (i % every === 0 ? 0.005 : 0.0053)), 1e-12, { stepA: 0.001, samplesPerBlock: 1000 })[0]!;
    // neighbours of blocks on a step differ by 0.3 mA: 0.09e-6 x 2.428 = 0.219e-6 would be less than half a step squared
    expect(blocks(2)).toBeCloseTo(0.25e-6, 12);
    expect(blocks(7)).toBeLessThan(0.2e-6);
  });
});

describe('how much larger the long-run variance is', () => {
  /** Runs of so many equal values, up and down by 1 about 0. */
  const runs = (length: number, run: number): Float64Array => made(length, (i) => (Math.floor(i / run) % 2 === 0 ? 0.5 : -0.5));
  const factor = (values: Float64Array, longest = 64, levels = [0, values.length], variance = flat(values.length)): number => longRunFactor(values, variance, levels, longest);

  it('is the variance of means of two times two', () => {
    // all means of two are 1 apart from the next: 2.42837 x 2
    expect(factor(runs(200, 2))).toBeCloseTo(2 * OF_ONE, 4);
    expect(factor(runs(200, 4))).toBeCloseTo(4 * OF_ONE, 4);
    expect(factor(runs(200, 2), 64, [0, 200], flat(200, 2))).toBeCloseTo(OF_ONE, 4);
  });

  it('is 1 without memory, and 64 at most', () => {
    expect([factor(swinging(200, 1)), factor(made(2000, (i) => 100 * runs(2000, 2)[i]!))]).toEqual([1, 64]);
  });

  it('looks at groups up to the longest', () => {
    expect([3, 4].map((longest) => factor(runs(200, 4), longest))).toEqual([1, expect.closeTo(4 * OF_ONE, 4)]);
    expect([1, 2].map((longest) => factor(runs(200, 2), longest))).toEqual([1, expect.closeTo(2 * OF_ONE, 4)]);
  });

  it('asks for 24 differences', () => {
    expect([49, 50].map((length) => factor(runs(length, 2)))).toEqual([1, expect.closeTo(2 * OF_ONE, 4)]);
  });

  it('never compares across the edge of a level', () => {
    // two levels of 50 have 24 differences each; 25 levels of 4 have one each
    expect(factor(runs(100, 2), 2, Array.from({ length: 26 }, (_, i) => 4 * i))).toBeCloseTo(2 * OF_ONE, 4);
    expect(factor(runs(92, 2), 2, Array.from({ length: 24 }, (_, i) => 4 * i))).toBe(1);
    // levels far apart, each without memory
    expect(factor(made(100, (i) => 10 * Math.floor(i / 4) + (i % 2)), 2, Array.from({ length: 26 }, (_, i) => 4 * i))).toBe(1);
  });
});

describe('the same factor from the shape of the noise', () => {
  it('is held where the noise never comes back: nine tenths from block to block', () => {
    // a straight line: differences of 1, 2 and 4, so D1 = 2 x 2.42837 = 4.85674, D2 = 4 D1, D4 = 16 D1; (16 - 4) / (4 - 1) = 4 is past 0.9 x 1.9;
    // swing 3 D1 / (2 x 0.9 x 0.1) = 16.667 D1, nothing without memory, 16.667 D1 x 1.9 / 0.1 = 316.667 D1
    expect(memoryFactor(made(200, (i) => i), flat(200))).toBeCloseTo(316.667 * 2 * OF_ONE, 0);
    expect(memoryFactor(made(200, (i) => 5 - i), flat(200, 2))).toBeCloseTo((316.667 * 2 * OF_ONE) / 2, 0);
  });

  it('says nothing from fewer than 128 blocks, or where neighbours hardly differ', () => {
    expect([127, 128].map((length) => memoryFactor(made(length, (i) => i), flat(length)) > 1)).toEqual([false, true]);
    // D1 = 4.85674 over the variance: less than 1 is no noise
    expect([4.8, 4.9].map((variance) => memoryFactor(made(200, (i) => i), flat(200, variance)) > 1)).toEqual([true, false]);
  });

  it('is 1 where values only swing from block to block', () => {
    expect(memoryFactor(swinging(200, 3), flat(200))).toBe(1);
  });
});
