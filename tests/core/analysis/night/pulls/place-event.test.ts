import { describe, expect, it } from 'vitest';
import { changeInsideBinS } from '../../../../../src/core/analysis/night/levels/segments.ts';
import { placeEvent } from '../../../../../src/core/analysis/night/pulls/place-event.ts';
import type { Bins, FuseEvent, Readings, Stretch } from '../../../../../src/core/analysis/night/types.ts';
import { Dice } from '../../../../score/drain/dice.ts';
import { drawn, waved, type Drawn } from '../drawn.ts';

const stretch = (levelA: number, errorA = 1e-4, usable = true): Stretch => ({ startS: 0, endS: 0, levelA, errorA, pulsesErrorA: 0, centreS: 0, blockCount: 100, roundingA: 0, highestA: levelA, usable });
const event = (markS: number): FuseEvent => ({ kind: 'pull', label: 'F1', markS, atS: markS });
/** Where a mark is put, and whether it is misplaced. */
function placed(readings: Readings, markS: number, stretches: readonly Stretch[] = [stretch(0.1), stretch(0.06)], others: readonly FuseEvent[] = [], k = 0): [number, boolean | undefined] {
  const events = [...others];
  events.splice(k, 0, event(markS));
  const all = [...Array.from({ length: k }, () => stretch(1)), ...stretches];
  placeEvent(readings, events, all, k);
  return [events[k]!.atS, events[k]!.misplaced];
}
const noisy = (readings: Readings, varianceA2: number): Readings => ({ ...readings, varianceA2: readings.varianceA2.map(() => varianceA2) });
/** 100 mA until then, 60 mA from then on. */
const fall = (atS: number, ...between: readonly Drawn[]): Readings => drawn([[0.1, atS], ...between, [0.06, 300]]);

describe('the moment of a pull', () => {
  it('is where the current changed, up to twelve seconds from the mark', () => {
    expect([88, 89, 96, 104, 111, 112].map((atS) => placed(fall(atS), 100))).toEqual([[88, true], [89, false], [96, false], [104, false], [111, false], [112, true]]);
    expect([placed(fall(80), 100), placed(fall(120), 100)]).toEqual([[88, true], [112, true]]);
    // a refit is the same the other way round
    const back = drawn([[0.06, 104], [0.1, 300]]);
    expect(placed(back, 100, [stretch(0.06), stretch(0.1)])).toEqual([104, false]);
  });

  it('lies nearer to its mark than to the one before or after, and in the recording', () => {
    expect([placed(fall(104), 100, undefined, [event(110)]), placed(fall(107), 100, undefined, [event(110)])]).toEqual([[104, false], [105, true]]);
    expect([placed(fall(96), 100, undefined, [event(90)], 1), placed(fall(94), 100, undefined, [event(90)], 1)]).toEqual([[96, false], [95, true]]);
    expect(placed(fall(101), 100, undefined, [event(40), event(160)], 1)).toEqual([101, false]);
    const [lateS] = placed({ ...fall(120), lastS: 105 }, 100);
    const [earlyS] = placed({ ...fall(80), firstS: 95 }, 100);
    expect([lateS, earlyS]).toEqual([105, 95]);
  });

  it('is asked for a change of 3 mA, and of four standard errors', () => {
    const asked = (levelA: number, errorsA: readonly [number, number]): boolean => placed(fall(104), 100, [stretch(0.1, errorsA[0]), stretch(levelA, errorsA[1])])[1] !== undefined;
    expect([asked(0.0971, [0, 0]), asked(0.0969, [0, 0])]).toEqual([false, true]);
    // errors of 6 and 8 mA: 40 mA
    expect([asked(0.0601, [0.006, 0.008]), asked(0.0599, [0.006, 0.008])]).toEqual([false, true]);
    expect([placed(fall(104), 100, [stretch(0.1, 0, false), stretch(0.06)]), placed(fall(104), 100, [stretch(0.1), stretch(0.06, 0, false)])]).toEqual([[100, undefined], [100, undefined]]);
  });

  it('weighs the readings against the mark, which is off by 3 s', () => {
    // a reading says d^2 / 2 sigma^2 against a second of the mark, (16 - 9) / 18 = 0.389 from the fourth to the third
    const at = (says: number, atS: number): number => placed(noisy(fall(atS), 0.04 ** 2 / (2 * says)), 100)[0];
    expect([at(0.4, 96), at(0.38, 96)]).toEqual([96, 97]);
    // what lies above the middle may be current that came beside, and says a tenth
    expect([at(4, 104), at(3.8, 104)]).toEqual([104, 103]);
    // a bin of a block that holds four readings says a quarter of the block
    const four = (says: number): number => {
      const readings = noisy(fall(96), 0.04 ** 2 / (8 * says));
      return placed({ ...readings, blocks: { ...readings.blocks, count: readings.blocks.count.map(() => 4) } }, 100)[0];
    };
    expect([four(0.4), four(0.38)]).toEqual([96, 97]);
  });

  it('is not told by a level above both: a wake-up, or the hand at the fuse', () => {
    const blip = fall(100, [0.6, 3]);
    expect([99, 101, 102, 104].map((markS) => placed(blip, markS)[0])).toEqual([100, 101, 102, 103]);
    expect(placed(drawn([[0.1, 80], [0.6, 50], [0.06, 300]]), 100)).toEqual([100, true]);
    // 2.9 mA above are the level itself
    expect([0.1029, 0.1031].map((levelA) => placed({ ...fall(100, [levelA, 3]), stepA: 0.004 }, 101)[0])).toEqual([103, 101]);
  });

  it('is not told by single readings above both, by two bounds of three deviations or half a step', () => {
    const spark = (aboveA: number): number => placed({ ...waved(fall(100), () => 0.04 + aboveA, 100, 102), stepA: 0.004 }, 101)[0];
    // half a step of 4 mA, three times, twice: 12 mA
    expect([spark(0.0119), spark(0.0121)]).toEqual([102, 101]);
    // noise of half a milliampere, the differences of two of which scatter by the root of two more: 3 mA, and 4.5 mA are past it
    const dice = new Dice(5);
    const noisyFall = waved(waved(fall(100), () => 0.0005 * dice.normal()), () => 0.0445, 100, 102);
    expect(placed(noisyFall, 101)[0]).toBe(101);
  });
});

describe('a change inside a bin', () => {
  const bins = (means: readonly number[], count = 10, key = means.map((_, i) => i)): Bins => ({ length: means.length, widthS: 0.5, key: Float64Array.from(key), count: new Float64Array(means.length).fill(count), sumA: Float64Array.from(means, (mean) => mean * count), minA: new Float32Array(0), maxA: new Float32Array(0) });
  const at = (of: Bins, bin = 2): number => changeInsideBinS(of, bin, 0.1, 0.06);

  it('lies where its mean has it', () => {
    // half of the bin from 1 s on still had 100 mA; a quarter of the one before it had 60 already
    expect(at(bins([0.1, 0.1, 0.08, 0.06]))).toBeCloseTo(1.25, 9);
    expect(at(bins([0.1, 0.09, 0.06, 0.06]))).toBeCloseTo(1 - 0.125, 9);
    expect(at(bins([0.1, 0.09, 0.08, 0.06]))).toBeCloseTo(1.125, 9);
    // what lies past either level is that level
    expect([at(bins([0.1, 0.2, 0.01, 0.06])), at(bins([0.1, 0.1, 0.3, 0.06]))]).toEqual([1, 1.5]);
  });

  it('is its edge where a reading stands alone, or nothing was before', () => {
    expect([at(bins([0.1, 0.1, 0.08, 0.06], 1)), at(bins([0.1, 0.1, 0.08], 10, [0, 1, 4])), at(bins([0.08, 0.06]), 0), at(bins([0.1, 0.1]), 2)]).toEqual([1, 2, 0, 1]);
    const alone = bins([0.1, 0.09, 0.08]);
    alone.count[1] = 1;
    alone.sumA[1] = 0.09;
    expect(at(alone)).toBeCloseTo(1.25, 9);
    expect(at(bins([0.1, 0.09, 0.08], 2))).toBeCloseTo(1.125, 9);
  });
});
