import { describe, expect, it } from 'vitest';
import { fuseDips, heldS } from '../../../../../src/core/analysis/night/levels/dips.ts';
import { drawn, type Drawn } from '../drawn.ts';

/** First and last level of each dip. */
const placesOf = (levels: readonly Drawn[]): number[][] => fuseDips(drawn(levels)).map(({ first, last }) => [first, last]);
const ONE = [[1, 1]];

describe('a fuse that was out for a while', () => {
  it('is a fall and a return of one size, with the noise of its three levels', () => {
    const readings = drawn([[0.1, 300], [0.06, 60], [0.1, 300]], { stepA: 0.002 });
    const noisy = { ...readings, segments: readings.segments.map((segment) => ({ ...segment, varianceA2: 1e-6 })) };
    const [dip] = fuseDips(noisy);
    expect(dip).toMatchObject({ first: 1, last: 1 });
    expect([dip!.beforeA, dip!.levelA, dip!.changeA]).toEqual([expect.closeTo(0.1, 9), expect.closeTo(0.06, 9), expect.closeTo(-0.04, 9)]);
    // 1 mA a block; 118 blocks beside it on either side (two minutes less one block at either end) and 60 inside:
    // 1.959964 mA x sqrt(2 / 118 + 1 / 60) = 0.359352 mA, and half a step of 2 mA
    expect(dip!.halfWidthA).toBeCloseTo(0.001359352, 8);
  });

  it('is out for as long as a hand takes at least, and for a quarter of an hour at most', () => {
    const out = (lengthS: number): number[][] => placesOf([[0.1, 2000], [0.06, lengthS], [0.1, 2000]]);
    expect([3, 4, 900, 901].map(out)).toEqual([[], ONE, ONE, []]);
  });

  it('is a step worth asking about: 10 mA', () => {
    const deep = (levelA: number): number[][] => placesOf([[0.1, 300], [levelA, 60], [0.1, 300]]);
    expect([0.0905, 0.0895].map(deep)).toEqual([[], ONE]);
  });

  it('comes back by what it fell, within a fifth', () => {
    // 40 mA down: 8 mA either way
    const back = (levelA: number): number[][] => placesOf([[0.1, 300], [0.06, 60], [levelA, 300]]);
    expect([0.091, 0.0965, 0.107, 0.109].map(back)).toEqual([[], ONE, ONE, []]);
  });

  it('is not clear where four standard errors hide it', () => {
    // 40 mA; sqrt(2 / 118 + 1 / 60) of a block's deviation = 0.183346: four of them are 40 mA at 54.5 mA a block
    const found = [0.054, 0.055].map((sigmaA) => {
      const readings = drawn([[0.1, 300], [0.06, 60], [0.1, 300]]);
      return fuseDips({ ...readings, segments: readings.segments.map((segment) => ({ ...segment, varianceA2: sigmaA ** 2 })) }).length;
    });
    expect(found).toEqual([1, 0]);
  });

  it('lies between levels that last', () => {
    expect(placesOf([[0.2, 300], [0.1, 3], [0.06, 60], [0.1, 300]])).toEqual([]);
    expect(placesOf([[0.2, 300], [0.1, 4], [0.06, 60], [0.1, 300]])).toEqual([[2, 2]]);
    expect([3, 4].map((lengthS) => placesOf([[0.1, 300], [0.06, 60], [0.1, lengthS], [0.5, 300]]).length)).toEqual([0, 1]);
    expect(placesOf([[0.1, 300], [0.06, 60]])).toEqual([]);
  });

  it('looks for the return past a start or a blip that hides it, two minutes at most', () => {
    const hidden = (levelA: number, lengthS: number): number => fuseDips(drawn([[0.1, 300], [0.06, 60], [levelA, lengthS], [0.1, 300]])).length;
    expect([hidden(0.3, 119), hidden(0.3, 120)]).toEqual([1, 0]);
    // 8.5 mA too high is no return (8 mA), and is a blip up to 4 s
    expect([hidden(0.1085, 3), hidden(0.1085, 4)]).toEqual([1, 0]);
    // a start is 10 mA above what was before
    expect([hidden(0.109, 60), hidden(0.111, 60)]).toEqual([0, 1]);
  });

  it('takes a level within a fifth of the fall for the return itself', () => {
    // 0.2 A, 0.1 A, 0.215 A: (100 + 115) / 2 mA
    expect(fuseDips(drawn([[0.2, 300], [0.1, 60], [0.215, 60], [0.2, 300]]))[0]!.changeA).toBeCloseTo(-0.1075, 9);
    // past it, 0.225 A is a start, and the level after it is the return
    expect(fuseDips(drawn([[0.2, 300], [0.1, 60], [0.225, 60], [0.2, 300]]))[0]!.changeA).toBeCloseTo(-0.1, 9);
  });

  it('has the level that lasts longest, the first of equal ones', () => {
    const level = (firstS: number, secondS: number): unknown => fuseDips(drawn([[0.1, 300], [0.06, firstS], [0.05, secondS], [0.1, 300]])).map(({ first, last, levelA }) => [first, last, levelA]);
    expect([level(20, 40), level(40, 20), level(30, 30)]).toEqual([[[1, 2, 0.05]], [[1, 2, 0.06]], [[1, 2, 0.06]]]);
  });
});

describe('which dips are a fuse', () => {
  it('are those whose rest is held longer than they are', () => {
    const beside = (lengthS: number): number => fuseDips(drawn([[0.1, lengthS], [0.06, 200], [0.1, 100], [0.5, 1000]])).length;
    expect([beside(100), beside(101)]).toEqual([0, 1]);
  });

  it('fill half of the time from the first of them on at most', () => {
    expect([59, 60].map((lengthS) => placesOf([[0.1, 300], [0.06, 60], [0.1, lengthS]]).length)).toEqual([0, 1]);
  });

  /** A recording at 1 A that falls to each of these levels for half a minute. */
  const falls = (floorsA: readonly number[]): number => fuseDips(drawn([[1, 60], ...floorsA.flatMap((levelA): Drawn[] => [[levelA, 30], [1, 60]])])).length;
  const alike = (count: number): number[] => new Array<number>(count).fill(0.5);

  it('are no more than a person makes', () => {
    const different = (count: number): number[] => Array.from({ length: count }, (_, i) => 0.1 + 0.02 * i);
    expect([falls(different(2)), falls(different(24)), falls(different(25))]).toEqual([2, 24, 0]);
  });

  it('do not nearly all end at one level', () => {
    expect([8, 9].map((count) => falls(alike(count)))).toEqual([8, 0]);
    // more than four in five: 9 of 11, not 9 of 12
    expect([falls([...alike(9), 0.3, 0.7]), falls([...alike(9), 0.2, 0.3, 0.7])]).toEqual([0, 12]);
    // one level: within a twentieth of the own fall, 26.5 mA of 0.53 A and 23.8 mA of 0.477 A
    expect([0.47, 0.476, 0.523, 0.525].map((levelA) => falls([...alike(8), levelA]))).toEqual([9, 0, 0, 9]);
  });

  it('are the same later, at any current, and seen from the end', () => {
    const levels: Drawn[] = [[0.1, 300], [0.06, 60], [0.1, 90], [0.03, 20], [0.1, 400]];
    const once = fuseDips(drawn(levels));
    expect(once.map(({ first }) => first)).toEqual([1, 3]);
    expect(fuseDips(drawn(levels, {}, 5000))).toEqual(once);
    expect(fuseDips(drawn(levels.map(([levelA, lengthS]) => [levelA + 2, lengthS] as const))).map(({ changeA }) => changeA)).toEqual(once.map(({ changeA }) => expect.closeTo(changeA, 9)));
    expect(fuseDips(drawn(levels.toReversed())).map(({ changeA }) => changeA)).toEqual(once.toReversed().map(({ changeA }) => expect.closeTo(changeA, 9)));
  });
});

describe('how long a level is held', () => {
  const readings = drawn([[0.1, 30], [0.2, 10], [0.125, 20]]);
  it('adds what lies nearer than the bound, inside the time asked for', () => {
    expect(heldS(readings, 0.1, 0.03)).toBe(50);
    // 25 mA apart is not nearer than 25 mA
    expect(heldS(readings, 0.125, 0.075)).toBe(50);
    expect([heldS(readings, 0, 0.125), heldS(readings, 0.1, 0.03, 10, 45), heldS(readings, 0.1, 0.03, 30, 40), heldS(readings, 0.2, 0.03, 32, 35)]).toEqual([30, 25, 0, 3]);
  });
});
