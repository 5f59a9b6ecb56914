import { describe, expect, it } from 'vitest';
import { groupPulses, isNoBreak } from '../../../../../src/core/analysis/motor/presses/same-press.ts';
import type { Pulse, Scanned } from '../../../../../src/core/analysis/motor/presses/pulses.ts';
import { feedVoltage } from '../../../../../src/core/analysis/motor/sensor/feed-voltage.ts';
import { noise } from '../traces.ts';
import { sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
const pulse = (startIndex: number, endIndex: number, sign: 1 | -1 = 1): Pulse => ({ startIndex, endIndex, sign, tailIndex: endIndex });

/** Pulses at `amps` each, with nothing between them, and how they are read. */
function scanned(pulses: readonly Pulse[], amps: (pulse: number, i: number) => number = () => 4, some: Partial<Scanned> = {}): Scanned {
  const count = pulses.at(-1)!.endIndex + 500;
  const deviationA = new Float32Array(count);
  for (const [p, { startIndex, endIndex, sign }] of pulses.entries()) for (let i = startIndex; i < endIndex; i++) deviationA[i] = sign * amps(p, i - startIndex);
  return { timeS: Float64Array.from({ length: count }, (_value, i) => i / RATE_HZ), deviationA, sampling: sampledAt(RATE_HZ, count), thresholdA: 0.05, feed: null, isFrozen: () => false, ...some };
}
const sizes = (pulses: readonly Pulse[], read: Scanned = scanned(pulses), braking: readonly Pulse[] = []): number[] => groupPulses(pulses, braking, read).map((group) => group.length);
/** Pulses so long, with breaks between them, s x 1000. */
const row = (lengths: readonly number[], breaks: readonly number[]): Pulse[] => {
  let at = 500;
  return lengths.map((length, p) => {
    const one = pulse(at, at + length);
    at += length + (breaks[p] ?? 0);
    return one;
  });
};

describe('pulses of one press', () => {
  it('are those with no break between them that a hand could make, 0.15 s', () => {
    // from the last reading before to the first one after it
    expect([sizes(row([800, 800], [148])), sizes(row([800, 800], [151]))]).toEqual([[2], [1, 1]]);
    expect(sizes([pulse(500, 1300), pulse(1350, 2000, -1)])).toEqual([1, 1]);
    expect(groupPulses([], [], scanned([pulse(0, 1)]))).toEqual([]);
  });

  it('take in a break as short as a hand hardly makes, 0.25 s, where another one proves a bad contact', () => {
    expect([sizes(row([800, 800, 800], [100, 240])), sizes(row([800, 800, 800], [100, 260])), sizes(row([800, 800, 800], [240, 240]))]).toEqual([[3], [2, 1], [1, 1, 1]]);
    // the chatter of a contact as it closes, or opens, proves none: within 40 ms of either end
    expect([sizes(row([35, 800, 800], [100, 240])), sizes(row([800, 35], [100]).concat(pulse(1800, 2500)))]).toEqual([[2, 1], [2, 1]]);
  });

  it('are those between which the feed stayed up', () => {
    const two = row([800, 800], [1000]);
    const held = (levelV: number): number[] => sizes(two, scanned(two, () => 4, { feed: feedVoltage(new Float32Array(4000).fill(levelV), 12) }));
    expect([held(9.1), held(8.9), held(0)]).toEqual([[2], [1, 1], [1, 1]]);
  });

  it('are not those between which the motor was braked', () => {
    const two = row([800, 800], [240]);
    const bad = row([800, 800, 800], [100, 240]);
    expect(sizes(bad, scanned(bad), [pulse(bad[1]!.endIndex, bad[1]!.endIndex + 60, -1)])).toEqual([2, 1]);
    expect(sizes(two, scanned(two), [pulse(1400, 1450, -1)])).toEqual([1, 1]);
  });

  it('are those after which the motor came back at speed, below four fifths of its switch-on, within 0.4 s', () => {
    const again = (breakMs: number, againA: number): number[] => {
      const two = row([800, 800], [breakMs]);
      return sizes(two, scanned(two, (p, i) => 4 + (p === 0 ? 8 : againA - 4) * Math.exp(-i / 30)));
    };
    // 12 A from rest
    expect([again(300, 9.5), again(300, 9.7), again(398, 9.5), again(402, 9.5)]).toEqual([[2], [1, 1], [2], [1, 1]]);
  });

  it('are none of what something switches by the clock: five or more, on for as long and off for as long', () => {
    const held = (pulses: readonly Pulse[]): number[] => sizes(pulses, scanned(pulses, () => 4, { feed: feedVoltage(new Float32Array(20_000).fill(12), 12) }));
    expect(held(row(new Array<number>(6).fill(400), new Array<number>(5).fill(300)))).toEqual([1, 1, 1, 1, 1, 1]);
    expect(held(row(new Array<number>(5).fill(400), new Array<number>(4).fill(300)))).toEqual([1, 1, 1, 1, 1]);
    expect(held(row(new Array<number>(4).fill(400), new Array<number>(3).fill(300)))).toEqual([4]);
    // one in twenty longer is as even as that, one in ten is not
    expect(held(row([400, 420, 400, 410, 400, 400], new Array<number>(5).fill(300)))).toHaveLength(6);
    expect([held(row([400, 480, 400, 400, 400, 400], new Array<number>(5).fill(300))), held(row(new Array<number>(6).fill(400), [300, 330, 300, 300, 300]))]).toEqual([[6], [6]]);
    // breaks too short for a hand are a bad contact's
    expect(held(row(new Array<number>(6).fill(400), new Array<number>(5).fill(100)))).toEqual([6]);
  });
});

describe('a thermal cut-out', () => {
  /** Ran at 4 A for two seconds, stood at 10 A for 3 s, went for `openMs` and came back at `backA` with a switch-on of so much. */
  const cut = ({ stoodMs = 3000, openMs = 5000, backA = 10, rushA = 0, ranA = 4, slope = 0 } = {}): number[] => {
    const two = row([2000 + stoodMs, 1000], [openMs]);
    return sizes(two, scanned(two, (p, i) => (p === 1 ? backA + rushA * Math.exp(-i / 30) : i < 2000 ? ranA + 8 * Math.exp(-i / 30) : 10 + slope * ((i - 2000) / stoodMs))));
  };

  it('opens a stall of 2.5 s or more and closes again at its level within 30 s', () => {
    expect([cut(), cut({ stoodMs: 2100 }), cut({ openMs: 29_900 }), cut({ openMs: 30_100 })]).toEqual([[2], [1, 1], [2], [1, 1]]);
    // back at 85 to 130 hundredths of it: hot it draws less, cooled down more
    expect([cut({ backA: 8.6 }), cut({ backA: 8.4 }), cut({ backA: 11.9 }), cut({ backA: 13.5 })]).toEqual([[2], [1, 1], [2], [1, 1]]);
  });

  it('is none where the motor starts again, never ran before, or was not level', () => {
    expect([cut({ rushA: 4 }), cut({ ranA: 9 }), cut({ slope: 2 }), cut({ slope: 0.4 })]).toEqual([[1, 1], [1, 1], [1, 1], [2]]);
  });
});

describe('what is no break', () => {
  const level = (leftA: number, width: number, hissA = 0): boolean => {
    const [before, after] = [pulse(500, 1000), pulse(1000 + width, 1500)];
    const hiss = noise(hissA);
    const read = scanned([before, after], () => 4 + hiss());
    read.deviationA.fill(leftA, 1000, 1000 + width);
    return isNoBreak([before], before, after, read);
  };

  it('is a dip that leaves more than 35 hundredths of the current on either side', () => {
    expect([level(1.39, 50), level(1.41, 50), level(0, 50), level(-1, 50)]).toEqual([false, true, false, false]);
    const [before, after] = [pulse(500, 1000), pulse(1050, 1500)];
    const read = scanned([before, after], (p) => (p === 0 ? 4 : 3));
    read.deviationA.fill(1.1, 1000, 1050);
    // 35 hundredths of 20 A are 7 A, no more
    const large = scanned([before, after], () => 20);
    large.deviationA.fill(7, 1000, 1050);
    expect(isNoBreak([before], before, after, large)).toBe(false);
    // of the lower of the two
    expect(isNoBreak([before], before, after, read)).toBe(true);
  });

  it('is one that the noise of so small a current makes by itself, up to twice what a contact takes', () => {
    // the mean of two readings scatters by 1/sqrt(2) of 1.2 A, 3.9 of that are 3.3 A; ten readings are no dip
    expect([level(1, 2, 1.2), level(0, 2, 0.05), level(1, 10, 1.2)]).toEqual([true, false, false]);
  });

  it('is a stretch that stands still as no reading of this clamp does', () => {
    const [before, after] = [pulse(500, 1000), pulse(1050, 1500)];
    const asked: number[][] = [];
    const frozen = scanned([before, after], () => 4, { isFrozen: (from, to) => asked.push([from, to]) > 0 });
    expect([isNoBreak([before], before, after, frozen), asked]).toEqual([true, [[1001, 1049]]]);
  });
});
