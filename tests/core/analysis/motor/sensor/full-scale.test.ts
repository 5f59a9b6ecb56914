import { describe, expect, it } from 'vitest';
import { markClipped, standsAtEnd, withoutClippedStarts } from '../../../../../src/core/analysis/motor/sensor/full-scale.ts';
import type { Motion, StallRange } from '../../../../../src/core/analysis/motor/types.ts';
import type { Envelope } from '../../../../../src/core/analysis/motor/signal/envelope.ts';
import { fitted, stall } from '../finding/readings.ts';

const CLIP_A = 10;
const amps = (count: number, at: (i: number) => number): Float32Array => Float32Array.from({ length: count }, (_value, i) => at(i));

describe('a level at the end of the range', () => {
  // cells of 5 ms
  const envelope = { cells: 100, stepS: 0.005 } as Envelope;
  const stands = (from: number, to: number, levelA: number, rippleVarianceA2: number): boolean => standsAtEnd({ from, to, levelA, rippleVarianceA2 }, envelope, CLIP_A, 4);

  it('stands stiller than a hundredth of the idle clamp, within a hundredth of the peak', () => {
    expect([stands(20, 99, 10, 3.9e-4), stands(20, 99, 10, 4e-4), stands(20, 99, 9.91, 0), stands(20, 99, 9.89, 0), stands(20, 99, 9.9, 0)]).toEqual([true, false, true, false, true]);
  });

  it('lasts for 0.2 s, up to less than a mains period before the end of the press', () => {
    expect([stands(59, 99, 10, 0), stands(60, 99, 10, 0), stands(20, 97, 10, 0), stands(20, 96, 10, 0)]).toEqual([true, false, true, false]);
  });
});

describe('what of a press is a lower bound only', () => {
  const range = (startIndex: number, endIndex: number) => ({ startIndex, endIndex });
  const press = { ...fitted(20), stalls: [stall(2, 3, 9), stall(3, 4, 9)] };
  const where = { inrush: range(0, 10), running: [range(10, 20), range(30, 60)], stalls: [range(60, 80), range(80, 100)] };
  const marked = (at: (i: number) => number, some: Partial<typeof where> | { inrush: null } = {}) => markClipped(press, { ...where, ...some }, amps(100, at), CLIP_A);

  it('is a peak of which one reading is within a hundredth of the end of the range', () => {
    const peak = (topA: number, index = 5) => marked((i) => (i === index ? topA : 5)).inrush;
    expect(peak(9.91)).toEqual({ ...press.inrush, peak_at_least: true, low_peak_a: 16, high_peak_a: null });
    expect([peak(-9.91)?.peak_at_least, peak(9.89)?.peak_at_least, peak(9.91, 10)?.peak_at_least, peak(9.91, 0)?.peak_at_least]).toEqual([true, undefined, undefined, true]);
    expect([marked(() => 10, { inrush: null }).inrush, markClipped({ ...press, inrush: null }, where, amps(100, () => 10), CLIP_A).inrush]).toEqual([press.inrush, null]);
  });

  it('is a run or a stall of whose readings more than a tenth are', () => {
    // 40 readings of the run in two stretches
    const run = (count: number) => marked((i) => (i >= 30 && i < 30 + count ? 10 : 5)).run?.at_least;
    expect([run(4), run(5)]).toEqual([undefined, true]);
    const stalls = (count: number) => marked((i) => (i >= 80 && i < 80 + count ? 10 : 5)).stalls.map((one) => one.at_least ?? false);
    expect([stalls(2), stalls(3)]).toEqual([[false, false], [false, true]]);
    expect(marked(() => 10, { running: [] }).run).toBe(press.run);
    expect(markClipped({ ...press, run: null }, where, amps(100, () => 10), CLIP_A).run).toBeNull();
  });

  it('is nothing else of it', () => {
    const { inrush, run, stalls, ...rest } = marked(() => 10);
    expect([run?.median_a, stalls.length, inrush?.peak_a, rest]).toEqual([4, 2, 16, { ...rest }]);
    expect(marked(() => 5)).toEqual(press);
  });
});

describe('a level at the end of the range at the switch-on', () => {
  const stood = (startIndex: number, endIndex: number, some: Partial<StallRange> = {}): StallRange => ({ startIndex, endIndex, approachIndex: startIndex, levelA: CLIP_A, at: 'start', ...some });
  const motion = (stalls: StallRange[], some: Partial<Motion> = {}): Motion => ({ stalls, running: [{ startIndex: 600, endIndex: 900 }], inrushEnd: null, turned: true, certain: true, ...some });
  /** At the end for so many readings from the hundredth on, then down to a run of 4 A; what is above the run halves every `half` readings. */
  const cut = (count: number, half: number) => amps(1000, (i) => (i < 100 ? 0 : Math.min(CLIP_A, 4 + 6 * 2 ** ((100 + count - i) / half))));
  const peaks = (count: number, half: number): boolean => withoutClippedStarts(motion([stood(100, 100 + count)]), cut(count, half), CLIP_A).stalls.length === 0;

  it('is the peak of a motor that ran then, which the run ends', () => {
    const { stalls, inrushEnd, running } = withoutClippedStarts(motion([stood(100, 140), stood(800, 900, { at: 'travel' })]), cut(40, 20), CLIP_A);
    expect([stalls.map(({ startIndex }) => startIndex), inrushEnd, running]).toEqual([[800], 600, [{ startIndex: 600, endIndex: 900 }]]);
    expect(withoutClippedStarts(motion([stood(100, 140)]), cut(40, 20).map((value) => -value), CLIP_A).inrushEnd).toBe(600);
  });

  // two to the fourth are 16, to the fifth 32: a motor runs at no less than a twentieth of what it draws standing
  it('is none where the fall would have begun at more than twenty times as much', () => {
    expect([peaks(80, 20), peaks(84, 20), peaks(90, 20), peaks(100, 20)]).toEqual([true, true, false, false]);
  });

  it('is one to which half of its readings, those within a hundredth of the end, belong', () => {
    const slow = (count: number): number => withoutClippedStarts(motion([stood(100, 180)]), amps(1000, (i) => (i < 100 ? 0 : i < 100 + count ? 9.91 : 4 + 5.8 * 2 ** ((100 + count - i) / 30))), CLIP_A).stalls.length;
    expect([slow(39), slow(40)]).toEqual([1, 0]);
    expect(withoutClippedStarts(motion([stood(100, 180)]), amps(1000, (i) => (i < 100 ? 0 : i < 140 ? 9.89 : 4 + 5.8 * 2 ** ((140 - i) / 30))), CLIP_A).stalls).toHaveLength(1);
  });

  it('stays where no run comes after it, or it stood later', () => {
    const kept = (some: Partial<StallRange>, more: Partial<Motion> = {}): number => withoutClippedStarts(motion([stood(100, 140, some)], more), cut(40, 20), CLIP_A).stalls.length;
    expect([kept({ at: 'travel' }), kept({}, { running: [] }), kept({})]).toEqual([1, 1, 0]);
    // a run that begins as the stall ends, and not before
    expect([180, 179].map((startIndex) => kept({ endIndex: 180 }, { running: [{ startIndex, endIndex: 900 }] }))).toEqual([0, 1]);
    expect(withoutClippedStarts(motion([]), cut(40, 20), CLIP_A)).toEqual(motion([]));
  });

  it('on the way began no sooner than the current had got there', () => {
    const stopped = (levelA: number, at: 'start' | 'travel' = 'travel', sign = 1): number => {
      const readings = amps(1000, (i) => sign * Math.min(levelA, i < 500 ? 4 : 4 + 0.125 * (i - 500)));
      return withoutClippedStarts(motion([stood(500, 700, { at })], { running: [{ startIndex: 200, endIndex: 500 }] }), readings, CLIP_A).stalls[0]!.startIndex;
    };
    // 9.9 A after 48 readings
    expect([stopped(10), stopped(9.95), stopped(9.8), stopped(10, 'travel', -1)]).toEqual([548, 548, 500, 548]);
    expect(stopped(10, 'start')).toBe(500);
  });
});
