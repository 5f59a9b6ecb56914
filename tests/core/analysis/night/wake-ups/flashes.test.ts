import { describe, expect, it } from 'vitest';
import { blocksOf, blocksTouched, findFlashes, isFlashing, isOneOfMany } from '../../../../../src/core/analysis/night/wake-ups/flashes.ts';
import type { Excursion } from '../../../../../src/core/analysis/night/types.ts';
import { drawn } from '../drawn.ts';

const run = (startS: number, endS: number): Excursion => ({ startS, endS, restA: 0 });
/** One of a second every ten seconds. */
const runs = (count: number, lengthS = 1): Excursion[] => Array.from({ length: count }, (_, i) => run(10 * i, 10 * i + lengthS));

describe('flashes', () => {
  it('are 24 excursions of less than 1.5 s that go on throughout, by their height', () => {
    const count = (many: number, lengthS: number, toS = 10 * many): number => findFlashes(runs(many, lengthS), 0, toS, () => 1).peakASorted.length;
    expect([count(23, 1), count(24, 1), count(24, 1.49), count(24, 1.5)]).toEqual([0, 24, 24, 0]);
    // 24 in a fifth of the time lie in five of 24 parts
    expect(count(24, 1, 1200)).toBe(0);
    expect(findFlashes(runs(24), 0, 240, ({ startS }) => 240 - startS).peakASorted).toEqual(Array.from({ length: 24 }, (_, i) => 10 * (i + 1)));
  });

  it('are a lamp where 24 are as high within a fifth', () => {
    const lamp = findFlashes(runs(24), 0, 240, () => 1);
    // from 1/1.2 to 1/0.8 A
    expect([0.83, 0.84, 1.249, 1.251].map((peakA) => isFlashing(lamp, peakA))).toEqual([false, true, true, false]);
    const oneApart = findFlashes(runs(24), 0, 240, ({ startS }) => (startS === 0 ? 5 : 1));
    expect([isFlashing(oneApart, 1), isFlashing({ peakASorted: [] }, 1)]).toEqual([false, false]);
  });

  it('hold a short excursion of any height', () => {
    const lamp = findFlashes(runs(24), 0, 240, () => 1);
    expect([isOneOfMany(lamp, run(0, 1.49)), isOneOfMany(lamp, run(0, 1.5)), isOneOfMany({ peakASorted: [] }, run(0, 1))]).toEqual([true, false, false]);
  });
});

describe('the blocks of a stretch', () => {
  // blocks of a second from 0 to 10 s and from 20 to 30 s
  const readings = drawn([[0.1, 10], [0.1, 10, 10]]);
  const touched = (startS: number, endS: number): number[] => Object.values(blocksTouched(readings, run(startS, endS)));
  const nearest = (startS: number, endS: number): number[] => Object.values(blocksOf(readings, run(startS, endS)));

  it('that hold some of it', () => {
    expect([touched(2, 5), touched(2.5, 5.5), touched(0, 1), touched(9.5, 9.7), touched(12, 15), touched(9.5, 20.5), touched(50, 60)]).toEqual([[2, 5], [2, 6], [0, 1], [9, 10], [10, 10], [9, 11], [20, 20]]);
  });

  it('whose edges are nearest to its own', () => {
    expect([nearest(2.4, 5.4), nearest(2.6, 5.6), nearest(2, 5), nearest(3.6, 3.7), nearest(12, 15), nearest(50, 60)]).toEqual([[2, 5], [3, 6], [2, 5], [4, 4], [10, 10], [20, 20]]);
  });
});
