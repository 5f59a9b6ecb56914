import { describe, expect, it } from 'vitest';
import { findSpikes, type Spikes } from '../../../../../src/core/analysis/motor/sensor/spikes.ts';
import { seededRandom } from '../../../../../src/core/random.ts';
import { sampledAt } from '../ripple/columns.ts';

/** Readings of a level that hiss by up to 10 mA, with these put in at these places. */
function readings(count: number, levelA: (i: number) => number, put: Record<number, number>): Float32Array {
  const unit = seededRandom(3);
  return Float32Array.from({ length: count }, (_value, i) => put[i] ?? levelA(i) + 0.02 * (unit() - 0.5));
}
const find = (readA: Float32Array, rateHz = 1000): Spikes => findSpikes(readA, sampledAt(rateHz, readA.length));
const at = (put: Record<number, number>, levelA: (i: number) => number = () => 4, count = 1000): number[] => [...find(readings(count, levelA, put)).indices];

describe('a reading by itself', () => {
  it('is found, either way, and gives way to the mean of its neighbours', () => {
    const readA = readings(1000, () => 4, { 200: 6, 700: 1 });
    const kept = readA.slice();
    const { indices, currentA } = find(readA);
    expect([...indices]).toEqual([200, 700]);
    for (const i of [200, 700]) expect(currentA[i]).toBe(Math.fround((readA[i - 1] + readA[i + 1]) / 2));
    expect(currentA.filter((value, i) => value !== readA[i])).toHaveLength(2);
    expect(readA).toEqual(kept);
  });

  it('is off by more than a quarter of the level about it, which is the same on both sides', () => {
    expect([at({ 500: 5.1 }), at({ 500: 4.9 }), at({ 500: 2.9 }), at({ 500: 3.1 })]).toEqual([[500], [], [500], []]);
    // a step by a tenth of how far it is off
    const step = (byA: number) => at({ 500: 7 }, (i) => (i < 500 ? 4 : 4 + byA));
    expect([step(0.2), step(0.4)]).toEqual([[500], []]);
  });

  it('is none where it is two, a step, the first or the last, or where its neighbours are half as uneven', () => {
    expect([at({ 500: 7, 501: 7 }), at({}, (i) => (i < 500 ? 0 : 4)), at({ 0: 9 }), at({ 999: 9 })]).toEqual([[], [], [], []]);
    expect([at({ 496: 5.4, 500: 7 }), at({ 496: 5.6, 500: 7 })]).toEqual([[500], []]);
    // six readings away it is none of its neighbours
    expect(at({ 494: 5.6, 500: 7 })).toEqual([494, 500]);
  });

  it('counts up to one in a hundred, or five: more are how the signal is', () => {
    const many = (count: number) => Object.fromEntries(Array.from({ length: count }, (_value, n) => [20 + 15 * n, 8]));
    expect([at(many(10)).length, at(many(11)).length]).toEqual([10, 0]);
    expect([at(many(5), () => 4, 400).length, at(many(6), () => 4, 400).length]).toEqual([5, 0]);
  });

  it('is not looked for in a slow or a short trace, nor where nothing hisses', () => {
    const readA = readings(1000, () => 4, { 500: 7 });
    // two readings in the 4 ms of a contact
    expect([500, 499].map((rateHz) => find(readA, rateHz).indices.length)).toEqual([1, 0]);
    const short = (count: number): number => find(readings(count, () => 4, { 5: 7 })).indices.length;
    expect([short(9), find(readA.slice(0, 9)).currentA.length]).toEqual([0, 9]);
    const flat = new Float32Array(1000).fill(4);
    flat[500] = 7;
    expect(find(flat)).toEqual({ indices: new Int32Array(0), currentA: flat });
    const none = readings(1000, () => 4, {});
    expect(find(none).currentA).toBe(none);
  });

  it('must stand out of what the livelier parts do: ripple is none', () => {
    const lively = (i: number): number => 4 + (i % 7 === 0 ? 1.5 : 0);
    expect(at({}, lively)).toEqual([]);
  });
});
