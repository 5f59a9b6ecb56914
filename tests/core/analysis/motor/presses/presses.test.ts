import { describe, expect, it } from 'vitest';
import { findPresses, longestWhole, type Press } from '../../../../../src/core/analysis/motor/presses/presses.ts';
import { feedVoltage, type FeedVoltage } from '../../../../../src/core/analysis/motor/sensor/feed-voltage.ts';
import { describeSampling } from '../../../../../src/core/analysis/motor/sensor/sampling.ts';
import { noise } from '../traces.ts';
import { readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
const within = (i: number, from: number, to: number): boolean => i >= from && i < to;

interface Some {
  readonly feed?: FeedVoltage;
  readonly timeS?: Float64Array;
  readonly count?: number;
  readonly stepA?: number;
  readonly noiseA?: number;
}
/** Presses in readings a millisecond apart; without noise or steps nothing is known of what stands still. */
function find(at: (i: number) => number, { feed, count = 3000, timeS = Float64Array.from({ length: count }, (_value, i) => i / RATE_HZ), stepA = 0, noiseA = 0 }: Some = {}) {
  const currentA = Float32Array.from({ length: count }, (_value, i) => at(i));
  return findPresses({ timeS, currentA, voltageV: null, gaps: [] }, { ...readBy(currentA), noiseA, reachA: 0.003, stepA }, describeSampling(timeS, []), feed ?? null);
}
const told = ({ presses }: { presses: readonly Press[] }): unknown[] => presses.map(({ startIndex, endIndex, sign }) => [startIndex, endIndex, sign]);
/** From 12 A at the switch-on down to 4 A. */
const motor = (i: number, from: number, to: number, runA = 4): number => (within(i, from, to) ? runA + 8 * Math.exp(-(i - from) / 40) : 0);

describe('the longest part without a hole', () => {
  const sampling = { ...sampledAt(10, 10), holes: Int32Array.of(20, 50, 70) };
  const longest = (...ranges: [number, number][]): unknown => {
    const whole = longestWhole(ranges.map(([startIndex, endIndex]) => ({ startIndex, endIndex })), sampling);
    return whole === null ? null : [whole.startIndex, whole.endIndex];
  };
  it('is that of all stretches, the first of two alike', () => {
    expect([longest([0, 100]), longest([0, 15]), longest([40, 65]), longest([0, 10], [72, 100]), longest([0, 40]), longest()]).toEqual([[20, 50], [0, 15], [50, 65], [72, 100], [0, 20], null]);
    // a hole at the very beginning takes nothing away
    expect(longest([20, 50])).toEqual([20, 50]);
  });
});

describe('presses of a switch', () => {
  it('are told one by one with the sign of their current, and whether the motor was at rest before', () => {
    const two = (gap: number) => find((i) => motor(i, 500, 1000) - motor(i, 1000 + gap, 2000 + gap)).presses;
    expect(told(find((i) => motor(i, 500, 1000) - motor(i, 1500, 2500)))).toEqual([[500, 1000, 1], [1500, 2500, -1]]);
    // 0.4 s of rest
    expect([two(395), two(405)].map((presses) => presses.map(({ fromRest }) => fromRest))).toEqual([[true, false], [true, true]]);
  });

  it('are cut where the recording begins or ends within them, and midway behind a hole too', () => {
    const cuts = (at: (i: number) => number, some?: Some) => find(at, some).presses.map(({ cut, startsMidway, endsMidway }) => [cut, startsMidway, endsMidway]);
    expect([cuts((i) => (i < 500 ? 4 : 0)), cuts((i) => (i >= 2500 ? 4 : 0)), cuts(() => 4), cuts((i) => (within(i, 2, 2990) ? 4 : 0))]).toEqual([[['start', true, false]], [['end', false, true]], [['both', true, true]], [[null, false, false]]]);
    // half a second is missing before reading 500, where the current is there at once
    const missing = Float64Array.from({ length: 3000 }, (_value, i) => i / RATE_HZ + (i >= 500 ? 0.5 : 0));
    expect([cuts((i) => (within(i, 500, 1000) ? 4 : 0), { timeS: missing }), cuts((i) => (within(i, 200, 500) ? 4 : 0), { timeS: missing })]).toEqual([[[null, true, false]], [[null, false, true]]]);
  });

  it('last longer than the quickest rotor takes to turn, 12 ms, unless they are cut', () => {
    const lasts = (samples: number) => told(find((i) => (within(i, 500, 500 + samples) ? 4 : 0))).length;
    expect([lasts(11), lasts(13)]).toEqual([0, 1]);
    expect(told(find((i) => (i < 8 ? 4 : 0)))).toEqual([[0, 8, 1]]);
  });

  it('pass the smallest current that counts, 40 mA, by a tenth, or for 50 ms', () => {
    const faint = (levelA: number, samples: number) => told(find((i) => (within(i, 500, 500 + samples) ? levelA : 0))).length;
    expect([faint(0.042, 30), faint(0.046, 30), faint(0.042, 60), faint(0.039, 60)]).toEqual([0, 1, 1, 0]);
  });

  it('have the breaks of their current, of two readings or more, later than 40 ms after the switch-on', () => {
    const broken = (from: number, samples: number) => find((i) => (within(i, from, from + samples) ? 0 : motor(i, 500, 2000))).presses.flatMap(({ dropouts }) => dropouts.map(({ startIndex, endIndex }) => [startIndex, endIndex]));
    expect([broken(1200, 20), broken(1200, 100), broken(1200, 1), broken(535, 20), broken(545, 20)]).toEqual([[[1200, 1220]], [[1200, 1300]], [], [], [[545, 565]]]);
    expect(find((i) => (within(i, 1200, 1220) || within(i, 900, 930) ? 0 : motor(i, 500, 2000))).presses.map(({ dropouts }) => dropouts.map(({ startIndex }) => startIndex))).toEqual([[900, 1200]]);
  });

  it('lose no contact where a motor is set slower and coasts down to it, nor where its current comes back slowly', () => {
    // 4 A, nothing for 100 ms, then 2 A without a rush
    const slower = (afterA: number, rushA = 0) => find((i) => (within(i, 500, 1200) ? motor(i, 500, 2500) : within(i, 1300, 2500) ? afterA + rushA * Math.exp(-(i - 1300) / 40) : 0)).presses[0]!.dropouts.length;
    expect([slower(2), slower(3.1), slower(2, 3), slower(2, 1)]).toEqual([0, 1, 1, 0]);
    // gone at once, and up again with 30 ms: half of it after 21 ms
    const slowly = (riseMs: number) => find((i) => (within(i, 500, 1200) ? motor(i, 500, 2500) : within(i, 1220, 2500) ? 4 * (1 - Math.exp(-(i - 1219) / riseMs)) : 0)).presses[0]!.dropouts.length;
    expect([slowly(30), slowly(2)]).toEqual([0, 1]);
  });

  it('are without what is too short for one and comes away from them: a telephone\'s bursts', () => {
    const burst = (at: number) => told(find((i) => (within(i, at, at + 6) ? 3 : motor(i, 500, 1500))));
    expect([burst(440), burst(1560), burst(1400)]).toEqual([1, 2, 3].map(() => [[500, 1500, 1]]));
    // within 40 ms it is the chatter of the contact
    expect([burst(470), burst(1520)]).toEqual([[[470, 1500, 1]], [[500, 1526, 1]]]);
  });

  it('are not the braking after them, which is told apart', () => {
    const { presses, braking } = find((i) => motor(i, 500, 1500) - (i >= 1500 ? 5 * Math.exp(-(i - 1500) / 40) : 0));
    expect(told({ presses })).toEqual([[500, 1500, 1]]);
    expect(braking.map(({ startIndex }) => startIndex)).toEqual([1500]);
    // nor what a sinking load drives through the shorted motor then: it comes up slowly, without a rush
    const driven = find((i) => motor(i, 500, 1500) - (within(i, 1500, 1600) ? 5 * Math.exp(-(i - 1500) / 25) : 0) + (within(i, 1600, 2400) ? 1.2 * (1 - Math.exp(-(i - 1600) / 40)) : 0));
    expect(told(driven)).toEqual([[500, 1500, 1]]);
  });

  it('end with the feed at the motor, whatever a mechanism drives on without volts', () => {
    const feed = feedVoltage(Float32Array.from({ length: 3000 }, (_value, i) => (within(i, 500, 1500) ? 12 : 0)), 12);
    expect(told(find((i) => (within(i, 500, 1500) ? 4 : within(i, 1500, 1700) ? 3.5 : 0), { feed }))).toEqual([[500, 1500, 1]]);
    expect(told(find((i) => (within(i, 500, 1500) ? 4 : within(i, 1500, 1700) ? 3.5 : 0)))).toEqual([[500, 1700, 1]]);
  });

  it('go on where the logger lost a stretch: readings that stand still as no reading of this clamp does', () => {
    // noise of 0.1 A on steps of 10 mA: each reading is repeated by chance with p = 0.01/(0.1 sqrt(2 pi)) = 0.04, three of them with 0.00006
    const hiss = noise(0.1, 4);
    const raster = (valueA: number): number => Math.round(valueA / 0.01) * 0.01;
    const read = (leftA: (i: number) => number) => {
      const n = noise(0.1, 4);
      return find((i) => raster(within(i, 1000, 1020) ? leftA(i) : (within(i, 500, 2000) ? 4 : 0) + n()), { noiseA: 0.1, stepA: 0.01 }).presses.map(({ dropouts }) => dropouts.length);
    };
    expect([read(() => 0), read(() => hiss())]).toEqual([[0], [1]]);
  });
});
