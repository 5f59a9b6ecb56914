import { describe, expect, it } from 'vitest';
import { findPulses } from '../../../../../src/core/analysis/night/wake-ups/pulses.ts';
import type { Pulses } from '../../../../../src/core/analysis/results.ts';
import type { Bins } from '../../../../../src/core/analysis/night/types.ts';

/** Bins of half a second, one reading each. */
const binsOf = (valuesA: readonly number[], count = 1): Bins => ({ length: valuesA.length, widthS: 0.5, key: Float64Array.from(valuesA, (_, i) => i), count: new Float64Array(valuesA.length).fill(count), sumA: Float64Array.from(valuesA, (valueA) => valueA * count), minA: new Float32Array(valuesA.length), maxA: new Float32Array(valuesA.length) });
/** So many beats of so many bins, the last two of each higher. */
const beats = (count: number, bins: number, heightA: number, floorA: (i: number) => number = () => 0.02): number[] => Array.from({ length: count * bins }, (_, i) => floorA(i) + (i % bins >= bins - 2 ? heightA : 0));
const found = (valuesA: readonly number[], startS = 0, endS = valuesA.length / 2): Pulses | null => findPulses(binsOf(valuesA), startS, endS);

describe('the pulses of a busy feed', () => {
  it('have floor, height, share of the time, mean and period', () => {
    // two bins of ten, 5 s: 20 mA + 100 mA / 5
    const expected = { floor_a: 0.02, pulse_a: expect.closeTo(0.1, 9), duty: 0.2, mean_a: expect.closeTo(0.04, 9), period_s: 5 };
    expect(found(beats(30, 10, 0.1))).toEqual(expected);
    expect(findPulses(binsOf(beats(30, 10, 0.1), 7), 0, 150)).toEqual(expected);
    // from the middle of the recording, or to it, all the same
    expect(found([...Array.from({ length: 100 }, () => 3), ...beats(30, 10, 0.1)], 50)).toEqual(expected);
    expect(found([...beats(30, 10, 0.1), ...Array.from({ length: 100 }, () => 3)], 0, 150)).toEqual(expected);
  });

  it('are 10 mA high at least', () => {
    expect([0.0099, 0.0101].map((heightA) => found(beats(30, 10, heightA)) !== null)).toEqual([false, true]);
  });

  it('stand out of the scatter of the floor by four deviations', () => {
    // floor 17 to 23 mA in steps of 3: the point at 35 % of all is 20 mA; below lie 17 and 20 mA as often, mirrored 20 and 23: apart from their middle by 3 mA or none, half of each.
    // their median 1.5 mA by a middle of two, or 3 mA: the deviation is 4.4478 mA at most, so 17.8 mA above 20 mA
    const scattered = (heightA: number): boolean => found(beats(40, 10, heightA, (i) => 0.017 + 0.003 * (i % 3))) !== null;
    expect([scattered(0.005), scattered(0.03)]).toEqual([false, true]);
  });

  it('are 24 at least, in more than half of the time, in 64 bins or more', () => {
    expect([23, 24].map((count) => found(beats(count, 10, 0.1)) !== null)).toEqual([false, true]);
    const quiet = (bins: number): boolean => found([...beats(24, 10, 0.1), ...Array.from({ length: bins }, () => 0.02)]) !== null;
    expect([quiet(120), quiet(300)]).toEqual([true, false]);
    const short = Array.from({ length: 64 }, (_, i) => (i % 2 === 0 ? 0.02 : 0.12));
    expect([found(short) !== null, found(short.slice(1))]).toEqual([true, null]);
  });

  it('come 30 s apart at most', () => {
    expect([60, 61].map((bins) => found(beats(30, bins, 0.1))?.period_s ?? null)).toEqual([30, null]);
  });

  it('have the height of their middle one, each by its highest bin', () => {
    const growing = beats(31, 10, 0).map((valueA, i) => valueA + (i % 10 === 8 ? 0.05 : 0) + (i % 10 === 9 ? 0.1 + 0.01 * Math.floor(i / 10) : 0));
    // the last one is not seen to end: of the others the middle two have 0.24 and 0.25 A, without it 30 of 0.1 to 0.39 A
    expect(found(growing)!.pulse_a).toBeCloseTo(0.245, 9);
  });

  it('grow and move with the current', () => {
    const own = found(beats(30, 10, 0.1))!;
    const times = found(beats(30, 10, 0.1).map((valueA) => 3 * valueA))!;
    const moved = found(beats(30, 10, 0.1).map((valueA) => valueA - 0.5))!;
    expect([times.floor_a, times.pulse_a, times.mean_a].map((valueA) => valueA / 3)).toEqual([own.floor_a, own.pulse_a, own.mean_a].map((valueA) => expect.closeTo(valueA, 9) as number));
    expect([moved.floor_a + 0.5, moved.pulse_a, moved.duty]).toEqual([own.floor_a, own.pulse_a, own.duty].map((value) => expect.closeTo(value, 9) as number));
  });
});
