import { describe, expect, it } from 'vitest';
import { describeSampling, isHole } from '../../../../../src/core/analysis/motor/sensor/sampling.ts';
import { noise } from '../traces.ts';

/** Samples so many seconds apart, from 0 s on. */
const apart = (...stepsS: number[]): Float64Array => {
  let atS = 0;
  return Float64Array.of(0, ...stepsS.map((stepS) => (atS += stepS)));
};
const ones = (count: number): number[] => new Array<number>(count).fill(1);

describe('the rate of a trace', () => {
  it('is that of its intervals, without the holes between them', () => {
    expect(describeSampling(apart(0.5, 0.5, 0.5), [])).toMatchObject({ rateHz: 2, periodS: 0.5, jitterShare: 0, gaps: [] });
    // 1 + 1 + 1.5 + 0.5 in four intervals; the fifth is none
    expect(describeSampling(apart(1, 1, 1.5, 0.5, 100), [])).toMatchObject({ rateHz: 1, periodS: 1, holes: Int32Array.of(5) });
    expect(describeSampling(apart(2), [])).toMatchObject({ rateHz: 0.5, periodS: 2 });
  });

  it('is none of fewer than two samples, whose gaps are kept', () => {
    const gaps = [{ startS: 1, endS: 2 }];
    for (const count of [0, 1]) expect(describeSampling(new Float64Array(count), gaps)).toEqual({ rateHz: 0, periodS: 0, jitterShare: 0, isSteady: true, holes: new Int32Array(0), gaps });
  });

  it('is uneven by the share of the intervals that are off the usual one by more than a quarter', () => {
    const share = (offS: number): number => describeSampling(apart(...ones(9), 1 + offS), []).jitterShare;
    expect([share(0.25), share(0.375), share(-0.25), share(-0.375)]).toEqual([0, 0.1, 0, 0.1]);
    // a hole is no interval
    expect(describeSampling(apart(...ones(8), 1.5, 50), []).jitterShare).toBeCloseTo(1 / 9, 12);
  });
});

describe('time that is missing', () => {
  it('is where an interval is longer than five usual ones', () => {
    expect([...describeSampling(apart(1, 1, 5, 1, 1), []).holes]).toEqual([]);
    const { holes, gaps } = describeSampling(apart(1, 1, 5.5, 1, 1, 9, 1), []);
    expect([[...holes], gaps]).toEqual([[3, 6], [{ startS: 2, endS: 7.5 }, { startS: 9.5, endS: 18.5 }]]);
  });

  it('is told once, in order, whether it was reported, seen or both', () => {
    const seen = apart(1, 1, 8, 1, 1);
    const told = (...gaps: [number, number][]) => describeSampling(seen, gaps.map(([startS, endS]) => ({ startS, endS }))).gaps.map(({ startS, endS }) => [startS, endS]);
    expect(told([2.5, 6])).toEqual([[2, 10]]);
    expect(told([1.5, 6])).toEqual([[1.5, 10]]);
    expect(told([3, 11])).toEqual([[2, 11]]);
    // one that ends where the next begins is another
    expect(told([11, 12], [0, 2])).toEqual([[0, 2], [2, 10], [11, 12]]);
    expect(told([10, 10.5])).toEqual([[2, 10], [10, 10.5]]);
  });

  it('is asked for by the sample that comes after it', () => {
    const sampling = describeSampling(apart(1, 1, 9, 1, 1, 9, 1, 9, 1), []);
    expect(Array.from({ length: 11 }, (_value, i) => i).filter((i) => isHole(sampling, i))).toEqual([3, 6, 8]);
    expect(isHole(describeSampling(apart(1, 1), []), 1)).toBe(false);
  });
});

/** Times of so many readings by their intervals, s. */
function timesOf(count: number, intervalS: (i: number) => number): Float64Array {
  const timeS = new Float64Array(count);
  for (let i = 1; i < count; i++) timeS[i] = (timeS[i - 1] ?? 0) + intervalS(i);
  return timeS;
}

const isSteady = (intervalS: (i: number) => number): boolean => describeSampling(timesOf(5000, intervalS), []).isSteady;

describe('a rate that stays the same', () => {
  it('is one of even readings, of jittery ones, and of such that have a hole', () => {
    const jitter = noise(0.2, 5);
    expect(isSteady(() => 0.001)).toBe(true);
    expect(isSteady(() => 0.001 * (1 + jitter()))).toBe(true);
    expect(isSteady((i) => (i === 2000 ? 0.5 : 0.001))).toBe(true);
    expect(describeSampling(new Float64Array(1), []).isSteady).toBe(true);
  });

  // four intervals are less than the five from which on one is a hole
  it('is none of a logger that falls back to a quarter of its rate', () => {
    expect(isSteady((i) => (i < 4000 ? 0.001 : 0.004))).toBe(false);
  });

  // the last of five parts slower by 15 % is 11 % slower than their mean, by 10 % it is 8 % slower
  it('may change by a tenth', () => {
    expect(isSteady((i) => (i < 4000 ? 0.001 : 0.00115))).toBe(false);
    expect(isSteady((i) => (i < 4000 ? 0.001 : 0.0011))).toBe(true);
  });
});
