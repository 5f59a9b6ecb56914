import { describe, expect, it } from 'vitest';
import type { Measured } from '../../../../src/core/analysis/compare/change.ts';
import { comparedPair, comparedShare } from '../../../../src/core/analysis/compare/pair.ts';
import type { SensorPair } from '../../../../src/core/analysis/compare/sensors.ts';

type Given = Parameters<typeof comparedPair>[0];
const one = (value: number, sigma: number | null = null, atLeast?: boolean): Measured[] => [{ value, sigma, ...(atLeast === undefined ? {} : { atLeast }) }];
const row = (before: Measured[], after: Measured[], some: Partial<Given> = {}) => comparedPair({ direction: 'forward', metric: 'run_a', before, after, tolerance: 0.1, floor: 0.2, ...some });

/** Two sensors, each good to a percent of the reading. */
const TWO: SensorPair = [{ id: 'a', gainUncertaintyPercent: 1 }, { id: 'b', gainUncertaintyPercent: 1 }];

describe('one row of a comparison', () => {
  it('has the bounds of the change, and what counts as none: a share of the value before, or the floor', () => {
    // 0.3 and 0.4 A are 0.5 A in squares; at 95 % 0.979982 A
    expect(row(one(10, 0.3), one(12, 0.4))).toEqual({
      direction: 'forward', metric: 'run_a', before: 10, after: 12, change: 2, low: expect.closeTo(1.020018, 6), high: expect.closeTo(2.979982, 6), judgement: 'higher', method: 'within', tolerance: 1, before_count: 1, after_count: 1,
    });
    expect([row(one(-10, 0.3), one(-12, 0.4))!.tolerance, row(one(1, 0.3), one(1, 0.4))!.tolerance]).toEqual([1, 0.2]);
  });

  it('is given and not judged where one side has the figure, and is none where neither has it', () => {
    const two = [...one(4, 0.1), ...one(5, 0.1)];
    expect(row(two, [])).toMatchObject({ before: 4.5, after: null, change: null, low: null, high: null, judgement: 'unsure', method: 'none', tolerance: 0.2, before_count: 2, after_count: 0 });
    expect(row([], two)).toMatchObject({ before: null, after: 4.5, before_count: 0, after_count: 2 });
    expect(row([], [])).toBeNull();
  });

  it('has the scales of both sensors in its bounds, in squares (JCGM 100:2008, 5.1.2)', () => {
    // 0.1 and 0.12 A beside 0.5 A: variance 0.25 + 0.0244; at 95 % 1.026692 A, of which the scales by themselves 0.306156 A
    expect(row(one(10, 0.3), one(12, 0.4), { sensors: TWO })).toMatchObject({ low: expect.closeTo(2 - 1.026692, 6), high: expect.closeTo(2 + 1.026692, 6), scales_half_width: expect.closeTo(0.306156, 6) });
    expect(row(one(10, 0.3), one(12, 0.4), { sensors: [TWO[0], TWO[0]] })).toMatchObject({ scales_half_width: expect.closeTo(1.959964 * 0.02, 6) });
    expect(row(one(10), one(12), { sensors: TWO })).toMatchObject({ low: null, high: null, scales_half_width: expect.closeTo(0.306156, 6) });
    // at 90 %, by which sameness is judged: 1.644854 x sqrt(0.25 + 0.02) = 0.854692 A
    const same = (floor: number) => row(one(10, 0.3), one(10, 0.4), { sensors: TWO, tolerance: 0, floor })!.judgement;
    expect([same(0.8546), same(0.8548)]).toEqual(['unsure', 'same']);
  });

  it('has what the model of a scaled side may be off by added on its own side', () => {
    const off = row(one(10, 0.3), one(10, 0.4), { modelUncertainty: [-1, 3] });
    expect(off).toMatchObject({ low: expect.closeTo(-1.979982, 6), high: expect.closeTo(3.979982, 6) });
    expect(row(one(10), one(12), { modelUncertainty: [-1, 3] })).toMatchObject({ low: null, high: null });
    // at 90 % 0.822427 A and one more, or three
    const same = (floor: number, modelUncertainty: [number, number]) => row(one(10, 0.3), one(10, 0.4), { modelUncertainty, tolerance: 0, floor })!.judgement;
    expect([same(3.82, [-1, 3]), same(3.83, [-1, 3]), same(3.82, [-3, 1]), same(3.83, [-3, 1])]).toEqual(['unsure', 'same', 'unsure', 'same']);
  });

  it('is open to the side on which a reading was at the end of the sensor\'s range', () => {
    const open = (before: Measured[], after: Measured[]) => {
      const { low, high, judgement } = row(before, after)!;
      return [low === null, high === null, judgement];
    };
    expect([open(one(10, 0.3, true), one(8, 0.4)), open(one(10, 0.3, true), one(12, 0.4))]).toEqual([[true, false, 'lower'], [true, false, 'unsure']]);
    expect([open(one(10, 0.3), one(12, 0.4, true)), open(one(10, 0.3), one(8, 0.4, true))]).toEqual([[false, true, 'higher'], [false, true, 'unsure']]);
    expect([open(one(10, 0.3, true), one(12, 0.4, true)), open(one(10, 0.3, false), one(12, 0.4, false))]).toEqual([[true, true, 'unsure'], [false, false, 'higher']]);
    // any of several
    expect(open([...one(10, 0.3, true), ...one(10, 0.3, false)], one(8, 0.4))[0]).toBe(true);
  });

  it('is not judged where somebody says that it must not be, but has its bounds', () => {
    expect(row(one(10, 0.3), one(12, 0.4), { unjudged: true })).toMatchObject({ judgement: 'unsure', low: expect.closeTo(1.020018, 6) });
  });
});

describe('a share of presses', () => {
  it('has the bounds of the difference of two (Newcombe 1998, Statistics in Medicine 17, method 10: 56 of 70 less 48 of 80)', () => {
    expect(comparedShare(null, 'faulty_share', { count: 48, of: 80 }, { count: 56, of: 70 }, 0.1)).toEqual({
      direction: null, metric: 'faulty_share', before: 0.6, after: 0.8, change: expect.closeTo(0.2, 12), low: expect.closeTo(0.0524, 4), high: expect.closeTo(0.3339, 4), judgement: 'higher', method: 'newcombe', tolerance: 0.1, before_count: 80, after_count: 70,
    });
  });

  it('is none where a side has no press', () => {
    expect([comparedShare(null, 'x', { count: 0, of: 0 }, { count: 1, of: 2 }, 0.1), comparedShare(null, 'x', { count: 1, of: 2 }, { count: 0, of: 0 }, 0.1)]).toEqual([null, null]);
  });
});
