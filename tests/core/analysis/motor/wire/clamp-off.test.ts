import { describe, expect, it } from 'vitest';
import { unseenLoads } from '../../../../../src/core/analysis/motor/wire/clamp-off.ts';
import { voltsElsewhere } from '../../../../../src/core/analysis/motor/wire/volts-elsewhere.ts';
import { fitted, press, stall } from '../finding/readings.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
const COUNT = 4000;
const within = (i: number, from: number, to: number): boolean => i >= from && i < to;
/** Stretches of four seconds in which the volts sag, as first and last reading. */
function unseen(voltAt: (i: number) => number, place: 'motor' | 'battery', held = [] as [number, number][], idle = Int32Array.of(0, 900)): number[][] {
  const voltageV = Float32Array.from({ length: COUNT }, (_value, i) => voltAt(i));
  const presses = held.map(([from, to]) => pressOf(from, to));
  return unseenLoads(voltageV, { topV: 12, place }, presses, readBy(new Float32Array(COUNT), idle), sampledAt(RATE_HZ, COUNT)).map(({ startIndex, endIndex }) => [startIndex, endIndex]);
}

describe('a load that the battery shows and the clamp does not', () => {
  const sag = (from: number, to: number, byV: number) => (i: number): number => 12 - (within(i, from, to) ? byV : 0);

  it('lasts as long as a hand holds a switch, 0.15 s, in blocks of a mains period', () => {
    expect([unseen(sag(1000, 2000, 0.3), 'battery'), unseen(sag(1000, 1160, 0.3), 'battery'), unseen(sag(1000, 1140, 0.3), 'battery')]).toEqual([[[1000, 2000]], [[1000, 1160]], []]);
    expect(unseen((i) => -sag(1000, 2000, 0.3)(i), 'battery')).toEqual([[1000, 2000]]);
  });

  it('begins and ends within the recording, at once', () => {
    expect([unseen(sag(0, 1000, 0.3), 'battery'), unseen(sag(3000, 4000, 0.3), 'battery')]).toEqual([[], []]);
    // a battery that sinks slowly is no load
    expect(unseen((i) => 12 - 0.2 * Math.max(0, 1 - Math.abs(i - 2000) / 1000), 'battery')).toEqual([]);
    expect(unseen((i) => sag(500, 1000, 0.3)(i) - (within(i, 2000, 2500) ? 0.4 : 0), 'battery')).toEqual([[500, 1000], [2000, 2500]]);
  });

  it('is none while a press is seen, and none where nothing is known to be idle', () => {
    const sags = sag(1000, 2000, 0.3);
    expect([unseen(sags, 'battery', [[1999, 2100]]), unseen(sags, 'battery', [[2000, 2100]]), unseen(sags, 'battery', [[900, 1000]]), unseen(sags, 'battery', [[900, 1001]])].map((ranges) => ranges.length)).toEqual([0, 1, 1, 0]);
    expect(unseen(sags, 'battery', [], new Int32Array(0))).toEqual([]);
  });
});

describe('a load that the feed of the motor shows and the clamp does not', () => {
  const up = (dipV: number, coastMs = 0) => (i: number): number => (within(i, 1000, 3000) ? 12 - dipV * Math.exp(-(i - 1000) / 40) : i >= 3000 && coastMs > 0 ? 11 * Math.exp(-(i - 3000) / coastMs) : 0);

  it('dips by half a percent as it comes up, 60 mV, or coasts as no dead motor does', () => {
    expect([unseen(up(0.4), 'motor'), unseen(up(0.05), 'motor'), unseen((i) => -up(0.4)(i), 'motor')].map((ranges) => ranges.length)).toEqual([1, 0, 1]);
    // from four fifths to 15 hundredths of 12 V in 1.7 time constants: longer than the quickest rotor, 12 ms
    expect([unseen(up(0, 100), 'motor').length, unseen(up(0, 9), 'motor').length, unseen(up(0, 5), 'motor').length]).toEqual([1, 1, 0]);
    // a lead that floats on to the end of the recording coasts to no rest
    expect(unseen((i) => (i < 1000 ? 0 : i < 3000 ? 12 : 5), 'motor')).toEqual([]);
  });
});

describe('volts of another point', () => {
  it('are next to none where the motor draws a third of what it does with its feed', () => {
    // below 3 V; of 12 A at 12 V 3/9 are 4 A
    const fed = fitted(20, { feed_v: 12, inrush: { peak_a: 12, at_s: 1, settle_s: 0.2, charge_c: 1, i2t_a2s: 10, fit: null } });
    const drawing = (peakA: number, feed_v?: number) => ({ ...press(feed_v === undefined ? {} : { feed_v }), run: null, stalls: [stall(1, 2, peakA)] });
    const foreign = (peakA: number, feedV?: number): number => voltsElsewhere([fed, drawing(peakA, feedV)], 'motor', 12).size;
    expect([foreign(4.1, 0.5), foreign(3.9, 0.5), foreign(4.1, 3), foreign(4.1, 2.9), foreign(4.1)]).toEqual([1, 0, 0, 1, 0]);
    // at the battery whatever flows; without a press that was fed nothing is known
    expect([voltsElsewhere([drawing(1, 0.5)], 'battery', 12).size, voltsElsewhere([drawing(9, 0.5)], 'motor', 12).size]).toEqual([1, 0]);
    // in a vehicle of 24 V a feed has 18 V
    expect([voltsElsewhere([{ ...fed, feed_v: 17.9 }, drawing(9, 0.5)], 'motor', 24).size, voltsElsewhere([{ ...fed, feed_v: 18 }, drawing(9, 0.5)], 'motor', 24).size]).toEqual([0, 1]);
  });
});
