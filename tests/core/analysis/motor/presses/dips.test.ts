import { describe, expect, it } from 'vitest';
import { clampFallOf, partialBreaks } from '../../../../../src/core/analysis/motor/presses/dips.ts';
import type { Pulse, Scanned } from '../../../../../src/core/analysis/motor/presses/pulses.ts';
import { readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
const COUNT = 2000;
const HELD = { startIndex: 100, endIndex: 1500, sign: 1 as const };

/** A press of 5 A from reading 100 to 1500, a reading a millisecond, with these readings put in. */
function scanned(at: (i: number) => number, some: Partial<Scanned> = {}, sign = 1): Scanned {
  const deviationA = Float32Array.from({ length: COUNT }, (_value, i) => (i < 100 || i >= 1500 ? 0 : sign * at(i)));
  return { timeS: Float64Array.from({ length: COUNT }, (_value, i) => i / RATE_HZ), deviationA, sampling: sampledAt(RATE_HZ, COUNT), thresholdA: 0.1, feed: null, isFrozen: () => false, ...some };
}
/** A clamp of this time constant, ms, that a contact which opens at `from` and closes at `to` takes the current from: down to `leftA`, and up again. */
const broken = (from: number, to: number, fallMs: number) => (i: number): number => {
  const leftA = 5 * Math.exp(-(to - from) / fallMs);
  return i < from ? 5 : i < to ? 5 * Math.exp(-(i - from) / fallMs) : 5 - (5 - leftA) * Math.exp(-(i - to) / fallMs);
};
const found = (at: (i: number) => number, fall = 10, some: Partial<Scanned> = {}): number[][] => partialBreaks(HELD, [], fall, scanned(at, some)).map(({ startIndex, endIndex }) => [startIndex, endIndex]);

describe('a break that a slow clamp shows as a dip', () => {
  // two fifths of 5 A are 2 A; below it from 10 ms x ln 2.5 = 9.2 ms after the opening on
  it('is from where the current falls below two fifths of the run to where it comes back above', () => {
    const [[from, to], ...more] = found(broken(600, 620, 10)) as [[number, number]];
    // up again from 0.68 A: (5 - 0.68) e^(-t/10 ms) = 3 A after 3.6 ms
    expect([from, to, more]).toEqual([610, 624, []]);
    const turned = partialBreaks({ ...HELD, sign: -1 }, [], 10, scanned(broken(600, 620, 10), {}, -1));
    expect(turned).toEqual([{ startIndex: 610, endIndex: 624 }]);
  });

  it('comes down to less than three tenths of the level, for 4 ms at the least', () => {
    const low = (levelA: number, samples: number): number => found((i) => (i >= 600 && i < 600 + samples ? levelA : 5)).length;
    expect([low(1.4, 10), low(1.6, 10), low(1.4, 4), low(1.4, 3)]).toEqual([1, 0, 1, 0]);
  });

  it('is low no longer than the clamp takes to fall to the threshold, and the readings that show nothing', () => {
    // 10 ms x ln(5/0.1) = 39.1 readings and one
    const low = (samples: number, levelA = 1): number => found((i) => (i >= 600 && i < 600 + samples ? levelA : 5)).length;
    expect([low(40), low(41), low(60, 0.05), low(60, 0.2)]).toEqual([1, 0, 1, 0]);
    expect(found((i) => (i >= 600 && i < 645 ? (i < 605 ? 0.05 : 1) : 5)).length).toBe(1);
  });

  it('is shorter than a hand takes, 0.15 s, and no sooner than 40 ms after the switch-on, or before the end', () => {
    const gone = (from: number, samples: number): number => found((i) => (i >= from && i < from + samples ? 0.05 : 5)).length;
    expect([gone(600, 149), gone(600, 152), gone(141, 10), gone(138, 10), gone(1440, 10), gone(1455, 10)]).toEqual([1, 0, 1, 0, 1, 0]);
  });

  it('is none that is known already, that stands still, or that lies below what counts as current', () => {
    const dip = (i: number): number => (i >= 600 && i < 620 ? 1 : 5);
    const beside = (startIndex: number, endIndex: number): number => partialBreaks(HELD, [{ startIndex, endIndex }], 10, scanned(dip)).length;
    // within 40 ms of another
    expect([beside(605, 610), beside(659, 670), beside(660, 670), beside(550, 561), beside(550, 560)]).toEqual([0, 0, 1, 0, 1]);
    const asked: number[][] = [];
    expect([found(dip, 10, { isFrozen: (from, to) => asked.push([from, to]) > 0 }), asked]).toEqual([[], [[601, 619]]]);
    expect([found(dip, 10, { thresholdA: 2.1 }), found(dip, 10, { thresholdA: 1.9 }).length]).toEqual([[], 1]);
  });

  it('is not looked for in a press of fewer than twenty readings', () => {
    const short = (count: number): number => partialBreaks({ startIndex: 0, endIndex: count, sign: 1 }, [], 10, { ...scanned(() => 5), sampling: { ...sampledAt(50, 10), rateHz: 50 }, timeS: Float64Array.from({ length: COUNT }, (_value, i) => i / 50), deviationA: Float32Array.from({ length: COUNT }, (_value, i) => (i === 8 || i === 9 ? 0.05 : 5)) }).length;
    expect([short(19), short(20)]).toEqual([0, 1]);
  });
});

describe('how fast a clamp falls', () => {
  it('is the median of what its presses show at their ends, in readings; without limit where none does', () => {
    const press = (startIndex: number, endIndex: number): Pulse => ({ startIndex, endIndex, sign: 1, tailIndex: endIndex });
    const ends = [[100, 300, 5], [700, 900, 8], [1300, 1500, 20]] as const;
    const deviationA = Float32Array.from({ length: COUNT }, (_value, i) => ends.reduce((sum, [from, to, fall]) => sum + (i < from ? 0 : i < to ? 5 : 5 * Math.exp(-(i - to + 1) / fall)), 0));
    const fall = (...groups: Pulse[][]): number => clampFallOf(groups, { ...readBy(deviationA), noiseA: 0.001 }, sampledAt(RATE_HZ, COUNT));
    const [first, second, third] = ends.map(([from, to]) => press(from, to));
    expect([fall([first!], [second!], [third!]), fall([first!, third!], [second!]), fall([first!])]).toEqual([8, 14, 5].map((readings) => expect.closeTo(readings, 1)));
    expect([fall(), fall([press(100, 105)])]).toEqual([Infinity, Infinity]);
  });
});
