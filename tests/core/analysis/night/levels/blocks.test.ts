import { describe, expect, it } from 'vitest';
import { makeBlocks } from '../../../../../src/core/analysis/night/levels/blocks.ts';
import type { Bins, Blocks } from '../../../../../src/core/analysis/night/types.ts';

/** Bins of an eighth of a second with these means, so many readings in each; `null`: none. */
function binsOf(meansA: readonly (number | null)[], readings: (i: number) => number = () => 1, firstKey = 0): Bins {
  const there = [...meansA.keys()].filter((i) => meansA[i] !== null);
  const of = (value: (i: number) => number): Float64Array => Float64Array.from(there, value);
  return { length: there.length, widthS: 1 / 8, key: of((i) => firstKey + i), count: of(readings), sumA: of((i) => meansA[i]! * readings(i)), minA: new Float32Array(there.length), maxA: new Float32Array(there.length) };
}
const blocks = (bins: Bins, stepA = 0, blockS = 1): Pick<Blocks, 'startS' | 'meanA' | 'count' | 'firstBin'> => {
  const { length, startS, meanA, count, firstBin } = makeBlocks(bins, stepA, blockS);
  return { startS: startS.subarray(0, length), meanA: meanA.subarray(0, length), count: count.subarray(0, length), firstBin: firstBin.subarray(0, length + 1) };
};
/** 1 and 3 A in turn. */
const hops = (count: number): number[] => Array.from({ length: count }, (_, i) => 1 + 2 * (i % 2));

describe('blocks of time', () => {
  it('lie on whole widths, hold their readings, and are absent where there are none', () => {
    // readings from 0.5 s on, none in the third second
    const means = Array.from({ length: 20 }, (_, i): number | null => (i >= 12 && i < 20 ? null : 5));
    const found = blocks(binsOf([...means, 7, 7], (i) => 1 + (i % 2), 4));
    expect(found).toEqual({ startS: Float64Array.of(0, 1, 3), meanA: Float64Array.of(5, 5, 7), count: Float64Array.of(6, 12, 3), firstBin: Int32Array.of(0, 4, 12, 14) });
    expect(makeBlocks(binsOf([]), 0).length).toBe(0);
  });

  it('are no narrower than bins, and as wide as 65,536 of them need', () => {
    expect([makeBlocks(binsOf([1, 2]), 0, 1 / 100).widthS, makeBlocks(binsOf([1, 2]), 0).widthS]).toEqual([1 / 8, 0.5]);
    const wide = (lengthS: number): number => makeBlocks({ ...binsOf([1, 2]), key: Float64Array.of(0, 8 * lengthS - 1) }, 0).widthS;
    expect([wide(32_768), wide(32_769), wide(65_537)]).toEqual([0.5, 1, 2]);
  });

  it('have the mean of their readings, each the same weight', () => {
    // three readings of 1 A and one of 3 A in turn
    expect(blocks(binsOf(hops(16), (i) => 3 - 2 * (i % 2))).meanA).toEqual(Float64Array.of(1.5, 1.5));
    // four bins have no middle apart from their ends
    expect(blocks(binsOf([0, 0, 0, 100]), 0, 0.5).meanA).toEqual(Float64Array.of(25));
  });

  it('hold a spark to three deviations of their own, or three steps of the reading', () => {
    const spark = [1, 1.01, 1, 0.99, 1, 1.01, 1, 50];
    const calm = Array.from({ length: 600 }, (_, i) => 1 + 0.01 * ((i % 3) - 1));
    const first = (stepA: number): number => blocks(binsOf([...spark, ...calm]), stepA).meanA[0]!;
    // median 1, absolute deviations 0 0 0 0 0.01 0.01 0.01 49: their median 0.005, sigma 0.0074130; 1 + (0.01 - 0.01 + 0.01 + 3 x 0.007413)/8
    expect(first(0)).toBeCloseTo(1 + (0.01 + 0.022239) / 8, 6);
    expect(first(0.1)).toBeCloseTo(1 + (0.01 + 0.3) / 8, 9);
    // downwards as well
    expect(blocks(binsOf([...spark.map((value) => 2 - value), ...calm]), 0).meanA[0]).toBeCloseTo(1 - (0.01 + 0.022239) / 8, 6);
  });

  it('hold one value over and over without a deviation to a hundredth of a milliampere', () => {
    const still = (last: number): number[] => [...Array.from({ length: 807 }, () => 1), last];
    expect(blocks(binsOf(still(50))).meanA.at(-1)).toBeCloseTo(1 + 3e-5 / 8, 12);
  });

  it('leave alone what is more than sparks: far readings in two of eight of one block, or in a tenth of those of ten minutes', () => {
    const block = (far: number): number[] => [0.98, 1.02, 0.99, 1.01, 1, 1.03, 0.97, 1].map((value, i) => (i < far ? 9 : value));
    const calm = Array.from({ length: 100 }, () => block(0)).flat();
    expect(blocks(binsOf([...block(2), ...calm])).meanA[0]).toBeCloseTo((18 + 0.99 + 1.01 + 1 + 1.03 + 0.97 + 1) / 8, 9);
    // one of eight in each second is an eighth; in three of four seconds 0.094 of all
    const each = (every: number): number => blocks(binsOf(Array.from({ length: 2000 }, (_, i) => block(i % every === 0 ? 0 : 1)).flat())).meanA[1001]!;
    expect([each(2001) > 1.9, each(4) < 1.1]).toEqual([true, true]);
    // ten minutes to either side: a change of load further away says nothing of this one
    const switched = Array.from({ length: 2000 }, (_, i) => block(i < 1000 ? 1 : 0)).flat();
    const { meanA } = blocks(binsOf(switched));
    expect([meanA[10]! > 1.9, meanA[1001]! < 1.1]).toEqual([true, true]);
  });
});
