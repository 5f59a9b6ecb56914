import { describe, expect, it } from 'vitest';
import { joinedRests } from '../../../../../src/core/analysis/night/rest/joined.ts';
import { settledRest } from '../../../../../src/core/analysis/night/rest/rest.ts';
import { findSettling, settledS, type Settling } from '../../../../../src/core/analysis/night/rest/settling.ts';
import { recurringExtra } from '../../../../../src/core/analysis/night/rest/steady.ts';
import type { Readings, RestStretch } from '../../../../../src/core/analysis/night/types.ts';
import { drawn, waved } from '../drawn.ts';

const rest = (startBlock: number, endBlock: number): RestStretch => ({ startS: startBlock, endS: endBlock, startBlock, endBlock, levelA: 0 });

describe('a level that creeps to its floor', () => {
  // 3000 blocks: means of eleven, 272 of them, the first at 5.5 s, 2981 s in all; 24 time constants from a 64th of it to half of it
  const TAU_S = (2981 / 64) * 32 ** (12 / 23);
  const creep = (amplitudeA: number, tauS: number, addedA: (atS: number) => number = () => 0, lengthS = 3000): Readings => waved(drawn([[0.02, lengthS]]), (atS) => amplitudeA * Math.exp(-atS / tauS) + addedA(atS));
  const found = (readings: Readings, rests: readonly RestStretch[] = [rest(0, readings.blocks.length)]): Settling | null => findSettling(readings, rests);

  it('has its floor, its height, and the time in which it dies away', () => {
    const settling = found(creep(0.05, TAU_S))!;
    // at the middle of the first eleven blocks; the mean of a block of its course is that of its beginnings, half a second early
    expect(settling.fromS).toBe(5.5);
    expect(settling.tauS).toBeCloseTo(TAU_S, 9);
    expect(settling.floorA).toBeCloseTo(0.02, 6);
    expect(settling.amplitudeA).toBeCloseTo(0.05 * Math.exp(-5 / TAU_S), 5);
    // upwards all the same, at any time, and at any size
    expect(found(creep(-0.05, TAU_S))!.amplitudeA).toBeCloseTo(-0.05 * Math.exp(-5 / TAU_S), 5);
    const times = found(waved(drawn([[0.02, 3000]]), (atS) => 0.04 + 0.15 * Math.exp(-atS / TAU_S)))!;
    expect([times.floorA / 3, times.amplitudeA / 3]).toEqual([expect.closeTo(settling.floorA, 9), expect.closeTo(settling.amplitudeA, 9)]);
    const later = waved(drawn([[0.02, 3000]], {}, 700), (atS) => 0.05 * Math.exp((700 - atS) / TAU_S));
    expect(found(later)).toMatchObject({ fromS: 705.5, amplitudeA: expect.closeTo(settling.amplitudeA, 9) });
  });

  it('is cut into many levels, and read over all of them', () => {
    const readings = creep(0.05, TAU_S);
    const whole = found(readings);
    expect(found(readings, [rest(0, 1100), rest(1100, 3000)])).toEqual(whole);
    expect(found(readings, [rest(1100, 3000), rest(0, 1101)])).toEqual(whole);
    expect(found(readings, [rest(0, 1500), rest(1600, 3000)])!.floorA).toBeCloseTo(0.02, 3);
  });

  it('is 3 mA high, and longer than 24 blocks', () => {
    expect([0.0029, 0.0031].map((amplitudeA) => found(creep(amplitudeA * Math.exp(5 / TAU_S), TAU_S)) !== null)).toEqual([false, true]);
    expect([23, 24].map((lengthS) => found(creep(0.05, 8, undefined, lengthS)) !== null)).toEqual([false, true]);
    expect(found(drawn([[0.02, 3000]]))).toBeNull();
  });

  it('is no even drift, no swing and no step', () => {
    const wave = (addedA: (atS: number) => number): Settling | null => found(waved(drawn([[0.02, 3000]]), addedA));
    expect([wave((atS) => 1e-5 * atS), wave((atS) => 0.02 * Math.sin(atS / 300)), wave((atS) => (atS < 1000 ? 0.02 : 0))]).toEqual([null, null, null]);
    // a swing beside it leaves more than a tenth
    const beside = (amplitudeA: number): boolean => found(creep(0.05, TAU_S, (atS) => amplitudeA * Math.sin(atS / 50))) !== null;
    expect([beside(0.003), beside(0.02)]).toEqual([true, false]);
  });

  it('has no more than so much left when it has halved so often', () => {
    const settling: Settling = { fromS: 100, floorA: 0.02, amplitudeA: 0.04, tauS: 50 };
    // 50 s x ln 8
    expect([settledS(settling, 0.005), settledS({ ...settling, amplitudeA: -0.04 }, 0.005), settledS(settling, 0.05)]).toEqual([expect.closeTo(203.9721, 3), expect.closeTo(203.9721, 3), 100]);
  });
});

describe('the rest of a creep', () => {
  const readings = drawn([[0.02, 3000]]);
  const REST = { segment: 0, atS: 200 };
  const creep = (amplitudeA: number, tauS = 100, floorA = 0.02): Settling => ({ fromS: 0, floorA, amplitudeA, tauS });
  const settled = (settling: Settling | null, some: Partial<Readings> = {}, rests = [rest(200, 3000)]) => settledRest({ ...readings, ...some }, REST, rests, settling);

  it('begins when a trifle is left of what falls: 2 mA, or a tenth of the floor', () => {
    // 100 s x ln(200 / 2) = 460.517 s; ln(200 / 10) = 299.573 s above a floor of 100 mA, whichever way that flows
    expect([settled(creep(0.2)).rest!.atS, settled(creep(0.2, 100, 0.1)).rest!.atS, settled(creep(0.2, 100, -0.1)).rest!.atS]).toEqual([expect.closeTo(460.517, 3), expect.closeTo(299.573, 3), expect.closeTo(299.573, 3)]);
    // no earlier than the rest, and with it where the zero rises
    expect([settled(creep(0.01)).rest!.atS, settled(creep(-0.2)).rest!.atS, settled(null).rest!.atS]).toEqual([200, 200, 200]);
    expect(settledRest(readings, null, [], creep(0.2))).toEqual({ rest: null, stretches: [] });
  });

  it('is none where half a minute of it was not seen', () => {
    expect([490.51, 490.52].map((lastS) => settled(creep(0.2), { lastS }).rest === null)).toEqual([true, false]);
  });

  it('is read where a tenth of what is no part of a drain is left, or in the last half', () => {
    // 100 s x ln(200 / 0.3) = 650.229 s
    const [late] = settled(creep(0.2)).stretches;
    expect([late!.startS, late!.startBlock, late!.endBlock]).toEqual([expect.closeTo(650.229, 3), 651, 3000]);
    expect(settled(creep(0.2, 400)).stretches[0]!.startS).toBe(1500);
    const parts = settled(creep(0.2), {}, [rest(200, 640), rest(640, 660), rest(660, 3000)]).stretches;
    expect(parts.map(({ startBlock, endBlock }) => [startBlock, endBlock])).toEqual([[651, 660], [660, 3000]]);
    // all of it before: what there is
    expect(settled(creep(0.2), {}, [rest(200, 640)]).stretches).toEqual([rest(200, 640)]);
  });
});

describe('stretches of rest', () => {
  it('that follow each other are one', () => {
    const joined = (...parts: [number, number][]): unknown => joinedRests(parts.map(([from, to]) => rest(from, to))).map(({ startBlock, endBlock }) => [startBlock, endBlock]);
    expect([joined([0, 5], [5, 9]), joined([0, 5], [6, 9]), joined([6, 9], [0, 5]), joined([0, 9], [2, 4], [9, 10]), joined()]).toEqual([[[0, 9]], [[0, 5], [6, 9]], [[0, 5], [6, 9]], [[0, 10]], []]);
  });
});

describe('single readings far from the rest', () => {
  /** Blocks of a second whose bins hold so much more than their means. */
  const extra = (heldA: (i: number) => number, lengthS = 240, from = 0): ReturnType<typeof recurringExtra> => {
    const readings = drawn([[0.1, lengthS]]);
    return recurringExtra({ ...readings, bins: { ...readings.bins, sumA: readings.bins.sumA.map((value, i) => value + heldA(i)) } }, [{ startBlock: from, endBlock: lengthS }]);
  };
  const close = (value: number): number => expect.closeTo(value, 9) as number;

  it('count in full where all groups of eight seconds have as much', () => {
    expect(extra(() => 0.001)).toEqual({ extraA: close(0.001), errorA: close(0) });
    expect(extra((i) => (i % 8 === 3 ? 0.008 : 0))).toEqual({ extraA: close(0.001), errorA: close(0) });
    expect(recurringExtra(drawn([[0.1, 240]]), [])).toEqual({ extraA: 0, errorA: 0 });
  });

  it('count as their mean where they are current: its error is their scatter over the root of their number', () => {
    // 30 groups, of 1 and 3 mA in turn: 2 mA; squares 30 over 29 and 30
    expect(extra((i) => (Math.floor(i / 8) % 2 === 0 ? 0.001 : 0.003))).toEqual({ extraA: close(0.002), errorA: close(0.001 / Math.sqrt(29)) });
  });

  it('that are few are held to the others, and what they would add is open', () => {
    // one of 30 groups has 6 mA more: 0.2 mA of the mean, as a limit
    expect(extra((i) => (i === 100 ? 0.048 : 0))).toEqual({ extraA: close(0), errorA: close(0.0002 / Math.sqrt(3)) });
    expect(extra((i) => (i === 100 ? -0.048 : 0))).toEqual({ extraA: close(0), errorA: close(0.0002 / Math.sqrt(3)) });
  });

  it('that are many and go on are current: 24 groups in more than half of the time', () => {
    // a third of 90 groups, throughout: 6 mA each, 2 mA of the mean; the first 24 alone lie in seven of 24 parts
    const third = extra((i) => (Math.floor(i / 8) % 3 === 1 && i % 8 === 0 ? 0.048 : 0), 720);
    expect(third.extraA).toBeCloseTo(0.002, 9);
    expect(extra((i) => (i < 192 && i % 8 === 0 ? 0.048 : 0), 720).extraA).toBeCloseTo(0, 9);
  });

  it('of few blocks are read in smaller groups, a twelfth of them, one block at least', () => {
    // 24 blocks, groups of two: 12 of them; one has 12 mA, 1 mA of the mean
    expect(extra((i) => (i === 5 ? 0.024 : 0), 24).errorA).toBeCloseTo(0.001 / Math.sqrt(3), 9);
    expect(extra((i) => (i === 5 ? 0.024 : 0), 11).errorA).toBeCloseTo(0.024 / 11 / Math.sqrt(3), 9);
    // of a single one the scatter is unknown: as much as it is
    expect(extra(() => 0.001, 1)).toEqual({ extraA: close(0.001), errorA: close(0.001) });
    // from the middle of the recording
    expect(extra((i) => (i < 100 ? 1 : 0.001), 240, 100)).toEqual({ extraA: close(0.001), errorA: close(0) });
  });
});
