import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { axisSpan, roundStep, timeLabel, timeTicks, valueLabel, valueTicks } from '../../../src/core/picture/axis.ts';

const near = (values: readonly number[]): number[] => values.map((value) => Number(value.toFixed(9)));

describe('the step of an axis', () => {
  it.each([
    [1, 1], [1.01, 2], [2, 2], [2.01, 5], [5, 5], [5.01, 10], [10, 10], [0.03, 0.05], [0.011, 0.02], [300, 500], [1000, 1000],
  ])('of at least %d is %d: 1, 2 or 5 of its power of ten', (rough, step) => {
    expect(roundStep(rough)).toBeCloseTo(step, 12);
  });

  it.each([
    [9, 9, 1], [9.1, 9, 2], [100, 7, 15], [105, 7, 15], [106, 7, 30], [420, 7, 60], [421, 7, 120], [3600, 4, 900], [3601, 4, 1800], [72_000, 4, 21_600], [8 * 86_400, 8, 86_400], [0.0009, 9, 1e-4],
  ])('of %d s in %d parts is one that clocks have: %d s', (spanS, wanted, step) => {
    expect(timeTicks(0, spanS, wanted).step).toBe(step);
  });

  it('of weeks is whole days', () => {
    // 30 days in 8: 3.75, so 4 days
    expect(timeTicks(0, 30 * 86_400, 8).step).toBe(4 * 86_400);
    expect(timeTicks(0, 7, 0)).toEqual({ values: [0], step: 10 });
  });
});

describe('the ticks of an axis', () => {
  it('are the multiples of the step from end to end, both ends among them', () => {
    expect(near(valueTicks(0, 0.3, 3).values)).toEqual([0, 0.1, 0.2, 0.3]);
    expect(near(valueTicks(0.1, 0.69, 6).values)).toEqual([0.1, 0.2, 0.3, 0.4, 0.5, 0.6]);
    expect(near(valueTicks(-7, 7, 3).values)).toEqual([-5, 0, 5]);
    expect(timeTicks(10, 19, 9).values).toEqual([10, 11, 12, 13, 14, 15, 16, 17, 18, 19]);
    expect(timeTicks(10.5, 19, 9).values[0]).toBe(11);
    // no minus zero
    expect(valueTicks(-0.3, 0.3, 6).values.some((value) => Object.is(value, -0))).toBe(false);
  });

  it('are one where there is no span, and never more than fifty', () => {
    expect(valueTicks(5, 5, 3)).toEqual({ values: [5], step: 1 });
    expect(valueTicks(5, 4, 3)).toEqual({ values: [5], step: 1 });
    expect(valueTicks(0, 4, 0)).toEqual({ values: [0], step: 5 });
    expect(valueTicks(0, 1000, 1000).values).toHaveLength(50);
  });

  it('are at most one more than wanted, and at least two fifths of that less one', () => {
    // the step is at least the rough one, and at most 2.5 times as long (from 2 to 5)
    fc.assert(fc.property(fc.double({ min: -1e4, max: 1e4, noNaN: true }), fc.double({ min: 1e-2, max: 1e4, noNaN: true }), fc.integer({ min: 3, max: 20 }), (low, width, wanted) => {
      const count = valueTicks(low, low + width, wanted).values.length;
      expect(count).toBeLessThanOrEqual(wanted + 1);
      expect(count).toBeGreaterThanOrEqual(Math.floor(wanted / 2.5) - 1);
    }));
  });
});

describe('the label of a tick', () => {
  it.each([
    [0, 60, '0'], [0, 7200, '0'], [0, 30, '0 s'], [0, 0.5, '0.0 s'], [90, 60, '1.5 min'], [3000, 600, '50 min'], [5400, 1800, '90 min'], [5400, 3600, '1.5 h'], [21_600, 21_600, '6 h'],
    [45, 15, '45 s'], [59, 1, '59 s'], [0.25, 0.05, '0.25 s'], [12.5, 0.5, '12.5 s'], [0.0003, 1e-4, '0.0003 s'], [-60, 60, '-1 min'],
  ])('at %d s in steps of %d s is "%s"', (atS, stepS, label) => {
    expect(timeLabel(atS, stepS)).toBe(label);
  });

  it.each([[1500, 500, '1500'], [0.3, 0.1, '0.3'], [2, 2, '2'], [10, 10, '10'], [0.02, 0.02, '0.02'], [-0.5, 0.5, '-0.5']])('of %d in steps of %d is %s', (value, step, label) => {
    expect(valueLabel(value, step)).toBe(label);
  });
});

describe('the span of an axis', () => {
  it.each([
    // 6 % of air; zero is there where the nearer end is less than half the farther one
    [0, 10, 0, 10.6], [5, 10, 4.7, 10.3], [4.9, 10, 0, 10.6], [-4, 10, -4.84, 10.84], [-10, -5, -10.3, -4.7], [-10, -4.9, -10.6, 0], [-10, 0, -10.6, 0], [5, 5, 4, 6], [0, 0, -1, 1],
  ])('of readings from %d to %d goes from %d to %d', (low, high, from, to) => {
    const span = axisSpan(low, high);
    expect(span.low).toBeCloseTo(from, 12);
    expect(span.high).toBeCloseTo(to, 12);
  });

  it('holds the readings, and is mirrored where they are', () => {
    const value = fc.double({ min: -1e3, max: 1e3, noNaN: true });
    fc.assert(fc.property(value, value, (one, other) => {
      const [low, high] = one < other ? [one, other] : [other, one];
      const span = axisSpan(low, high);
      expect(span.low <= low && high <= span.high).toBe(true);
      const mirrored = axisSpan(-high, -low);
      expect(mirrored.low).toBeCloseTo(-span.high, 9);
      expect(mirrored.high).toBeCloseTo(-span.low, 9);
    }));
  });
});
