import { describe, expect, it } from 'vitest';
import { findPulses, type Pulse } from '../../../../../src/core/analysis/motor/presses/pulses.ts';
import { readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 1000;
/** A second of readings a millisecond apart. */
const find = (at: (i: number) => number, { leastA = 0.04, reachA = 0, count = 1000 } = {}) => {
  const deviationA = Float32Array.from({ length: count }, (_value, i) => at(i));
  return findPulses({ ...readBy(deviationA), reachA }, sampledAt(RATE_HZ, count), leastA);
};
const told = (pulses: readonly Pulse[]): number[][] => pulses.map(({ startIndex, endIndex, tailIndex, sign }) => [startIndex, endIndex, tailIndex, sign]);
const within = (i: number, from: number, to: number): boolean => i >= from && i < to;

describe('pulses of current', () => {
  it('go from the sample at which the current came to the one at which it had gone, either way', () => {
    expect(told(find((i) => (within(i, 200, 600) ? 5 : 0)).pulses)).toEqual([[200, 600, 600, 1]]);
    expect(told(find((i) => (within(i, 200, 600) ? -5 : 0)).pulses)).toEqual([[200, 600, 600, -1]]);
    expect(told(find((i) => (within(i, 200, 400) ? 5 : within(i, 400, 700) ? -3 : 0)).pulses)).toEqual([[200, 400, 400, 1], [400, 700, 700, -1]]);
    expect(told(find((i) => (i < 300 || i >= 800 ? 5 : 0)).pulses)).toEqual([[0, 300, 300, 1], [800, 1000, 1000, 1]]);
    expect(find(() => 0)).toEqual({ pulses: [], thresholdA: 0.04 });
  });

  it('begin where the current first had half of what counts, up to six readings before it passes that', () => {
    // 40 mA are passed at the fourth and the fourteenth step, 20 mA at the second and the seventh
    const climbing = (stepA: number): number => find((i) => (within(i, 200, 600) ? Math.min(5, stepA * (i - 199)) : 0)).pulses[0]!.startIndex - 199;
    expect([climbing(0.0125), climbing(0.0031)]).toEqual([2, 7]);
    expect(climbing(0.0021)).toBe(20 - 6);
  });

  it('hold together over what is shorter than half of what a contact takes', () => {
    const gone = (samples: number) => find((i) => (within(i, 200, 600) && !within(i, 400, 400 + samples) ? 5 : 0)).pulses.length;
    expect([gone(1), gone(2)]).toEqual([1, 2]);
  });

  it('pass a threshold that the noise of a trace this long does not: by what 99 of 100 idle readings keep to', () => {
    // 2.5758 deviations hold 99 %, 4.8916 of them are passed by one of a thousand readings once in a thousand times (Python, statistics.NormalDist)
    expect(find(() => 0, { reachA: 0.1 }).thresholdA).toBeCloseTo(0.1 * (4.891638 / 2.575829), 6);
    expect(find(() => 0, { reachA: 0.01 }).thresholdA).toBe(0.04);
    const { pulses } = find((i) => (within(i, 200, 400) ? 0.18 : within(i, 500, 600) ? 0.2 : 0), { reachA: 0.1 });
    expect(told(pulses)).toEqual([[500, 600, 600, 1]]);
  });

  it('of large motors pass a hundredth of their usual current', () => {
    // half of the readings that pass 40 mA are at 30 A: 0.3 A
    expect(find((i) => (within(i, 200, 600) ? 30 : 0)).thresholdA).toBeCloseTo(0.3, 6);
    const both = find((i) => (within(i, 200, 600) ? 30 : within(i, 700, 800) ? 0.29 : within(i, 850, 950) ? -0.31 : 0));
    expect(told(both.pulses)).toEqual([[200, 600, 600, 1], [850, 950, 950, -1]]);
  });

  it('end where the fall of a slow clamp began, and keep its tail', () => {
    // 5 A that fall with 10 ms: at four fifths they are after 2.2 ms, at 24 mA after 53 ms
    const [pulse, ...more] = find((i) => (i < 200 ? 0 : i < 600 ? 5 : 5 * Math.exp(-(i - 600) / 10))).pulses;
    expect(more).toEqual([]);
    expect([pulse!.startIndex, pulse!.tailIndex]).toEqual([200, 600 + Math.ceil(10 * Math.log(5 / 0.03))]);
    expect(Math.abs(pulse!.endIndex - 603)).toBeLessThanOrEqual(1);
  });

  it('end at the sharp cut before a mechanism springs back from its stop', () => {
    // 8 A cut off, then 1.5 A that the shorted motor drives as its load springs back, for 100 ms
    const [pulse] = find((i) => (within(i, 200, 600) ? 8 : within(i, 600, 700) ? 1.5 * Math.cos((Math.PI * (i - 600)) / 200) : 0)).pulses;
    expect(pulse!.endIndex).toBe(600);
    expect(pulse!.tailIndex).toBeGreaterThan(690);
    // more than two fifths of the level is no rebound
    const [driven] = find((i) => (within(i, 200, 600) ? 8 : within(i, 600, 700) ? 3.4 : 0)).pulses;
    expect(driven!.endIndex).toBe(700);
  });
});

describe('pulses of one recording read another way', () => {
  const shape = (i: number): number => (within(i, 150, 400) ? 4 + 8 * Math.exp(-(i - 150) / 30) : within(i, 500, 800) ? -3 * (1 - Math.exp(-(i - 499) / 8)) : 0);
  const plain = (): number[][] => told(find(shape).pulses);

  it('are the same of a motor of twice or ten times the current', () => {
    for (const times of [2, 10]) expect(told(find((i) => times * shape(i)).pulses).map(([start]) => start)).toEqual(plain().map(([start]) => start));
  });

  it('swap their signs where the clamp is turned round, and move with the clock', () => {
    expect(told(find((i) => -shape(i)).pulses)).toEqual(plain().map(([start, end, tail, sign]) => [start, end, tail, -sign!]));
    expect(told(find((i) => shape(i - 100)).pulses)).toEqual(plain().map(([start, end, tail, sign]) => [start! + 100, end! + 100, tail! + 100, sign]));
  });
});
