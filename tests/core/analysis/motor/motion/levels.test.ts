import { describe, expect, it } from 'vitest';
import { findPlateaus } from '../../../../../src/core/analysis/motor/motion/plateaus.ts';
import { findLostLoad } from '../../../../../src/core/analysis/motor/motion/lost-load.ts';
import { jammedMotion } from '../../../../../src/core/analysis/motor/motion/jam.ts';
import { latchStand, turningMotion } from '../../../../../src/core/analysis/motor/motion/motion.ts';
import { runFields } from '../../../../../src/core/analysis/motor/motion/run.ts';
import { runningRanges } from '../../../../../src/core/analysis/motor/motion/running.ts';
import { viewPress } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { findSteps } from '../../../../../src/core/analysis/motor/motion/steps.ts';
import { findBeat } from '../../../../../src/core/analysis/motor/motion/beat.ts';
import type { Motion, StallRange } from '../../../../../src/core/analysis/motor/types.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';
import { cells, STEP, viewOf } from './levels.ts';

const whole = (levels: readonly number[]) => [{ startIndex: 0, endIndex: levels.length * STEP }];

describe('a drive that lets go', () => {
  const lost = (levels: readonly number[]) => findLostLoad(viewOf(levels), whole(levels));
  /** 8 A for a second, then so much for another, by a fall of 0.1 s. */
  const fallsTo = (levelA: number): number[] => [...cells([200, 8]), ...Array.from({ length: 20 }, (_value, k) => 8 + ((levelA - 8) * (k + 1)) / 20), ...cells([200, levelA])];

  it('falls to what the motor takes by itself, less than a quarter, and stays there', () => {
    const found = lost(fallsTo(1))!;
    expect([found.beforeA, found.afterA]).toEqual([expect.closeTo(8, 0), 1]);
    // within the fall, 1.0 to 1.1 s
    expect(found.index >= 1000 && found.index <= 1100).toBe(true);
    expect([lost(fallsTo(1.9)) !== null, lost(fallsTo(2.1)) !== null]).toEqual([true, false]);
  });

  it('is none where the current comes back, undershoots, does not fall, or hardly is there', () => {
    expect(lost([...fallsTo(1), ...cells([60, 8])])).toBeNull();
    expect(lost([...fallsTo(1).slice(0, 320), ...cells([10, 3]), ...cells([100, 1])])).toBeNull();
    expect(lost([...cells([200, 8]), ...cells([20, 0.3]), ...cells([200, 1])])).toBeNull();
    expect(lost(cells([400, 8]))).toBeNull();
    // sides of 0.2 s
    expect([lost(cells([60, 8], [55, 1])), findLostLoad(viewOf(fallsTo(1)), [])]).toEqual([null, null]);
  });

  it('is looked for in the last stretch of the run', () => {
    const levels = fallsTo(1);
    expect(findLostLoad(viewOf(levels), [{ startIndex: 0, endIndex: 900 }])).toBeNull();
    expect(findLostLoad(viewOf(levels), [{ startIndex: 0, endIndex: 200 }, { startIndex: 200, endIndex: levels.length * STEP }])?.afterA).toBe(1);
  });
});

describe('one motor of two that jams', () => {
  const motion: Motion = { stalls: [], running: [{ startIndex: 100, endIndex: 1000 }], inrushEnd: 100, turned: true, certain: true };
  const step = { at_s: 0.5, change_a: 6, low_a: 5, high_a: 7, cell: 100, isJam: true, stands: true };
  const view = viewOf(cells([100, 4], [5, 7], [95, 10]));

  it('stands from the step to the end of that stretch, and the run ends a mains period and a contact before it', () => {
    // 24 ms are five cells
    expect(jammedMotion(motion, view, step)).toEqual({ ...motion, stalls: [{ startIndex: 500, approachIndex: 475, endIndex: 1000, levelA: 10, at: 'travel' }], running: [{ startIndex: 100, endIndex: 475 }] });
    // not before the run began
    expect(jammedMotion({ ...motion, running: [{ startIndex: 490, endIndex: 1000 }] }, view, step).stalls[0]?.approachIndex).toBe(490);
  });

  it('is put among the other stalls by its time, and is none outside the run', () => {
    const stall: StallRange = { startIndex: 1100, approachIndex: 1090, endIndex: 1200, levelA: 12, at: 'travel' };
    expect(jammedMotion({ ...motion, stalls: [stall] }, view, step).stalls.map(({ startIndex }) => startIndex)).toEqual([500, 1100]);
    for (const running of [[{ startIndex: 600, endIndex: 1000 }], [{ startIndex: 0, endIndex: 500 }]]) expect(jammedMotion({ ...motion, running }, view, step)).toEqual({ ...motion, running });
  });
});

describe('the running current', () => {
  const timeS = Float64Array.from({ length: 2000 }, (_value, i) => i / 1000);
  const read = (ampsAt: (i: number) => number, ranges = [{ startIndex: 200, endIndex: 712 }], sign: 1 | -1 = 1, some = {}) =>
    runFields(pressOf(0, 2000, sign), ranges, timeS, { ...readBy(Float32Array.from(timeS, (_atS, i) => sign * ampsAt(i))), noiseA: 0, ...some });

  it('is the median, with how far the mean lies from it as a limit: 4, 4, 4, 8 A by turns', () => {
    for (const sign of [1, -1] as const) {
      // 1 A over the root of 3, times 1.96
      expect(read((i) => (i % 4 === 3 ? 8 : 4), undefined, sign)).toEqual({
        start_s: 0.2, end_s: 0.711, median_a: 4, low_a: expect.closeTo(4 - 1.959964 / Math.sqrt(3), 5), high_a: expect.closeTo(4 + 1.959964 / Math.sqrt(3), 5), spread_a: 0, slope_a_per_s: expect.closeTo(0, 0),
        uncertainty: [{ source: 'model', contribution: expect.closeTo(1 / Math.sqrt(3), 6) }],
      });
    }
  });

  it('is that of all its stretches, from the first to the last', () => {
    const found = read((i) => (i < 500 ? 4 : i < 1000 ? 50 : 6), [{ startIndex: 100, endIndex: 300 }, { startIndex: 1100, endIndex: 1400 }]);
    expect(found).toMatchObject({ start_s: 0.1, end_s: 1.399, median_a: 6 });
    expect([read(() => 4, [{ startIndex: 5, endIndex: 7 }]), read(() => 4, [{ startIndex: 5, endIndex: 8 }])?.median_a]).toEqual([null, 4]);
  });

  it('has its slope, and the zero that may have moved under it', () => {
    expect(read((i) => 4 + i / 1000)?.slope_a_per_s).toBeCloseTo(1, 4);
    // from 0.1 to 0.3 A between both moments at rest: 0.1 A in 95 % bounds
    expect(read(() => 4, undefined, 1, { nodeS: [0, 1.9], nodeA: [0.1, 0.3] })).toMatchObject({ low_a: expect.closeTo(3.9, 6), high_a: expect.closeTo(4.1, 6) });
  });

  it('is known to a step of the converter where its readings stay on one: 0.475 of it, twice', () => {
    // spread evenly over the step, by itself and for the idle clamp: hypot(...) of the first with its own scatter washed out
    const found = read(() => 4, undefined, 1, { stepA: 0.2 })!;
    expect(Math.abs(found.median_a - 4)).toBeLessThan(0.002);
    expect(found.high_a - found.median_a).toBeGreaterThan(0.475 * 0.2 * 0.99);
    expect(found.high_a - found.median_a).toBeLessThan(Math.SQRT2 * 0.475 * 0.2 + 0.01);
  });
});

describe('what is left of a press as its run', () => {
  const stall = (from: number, to: number, levelA: number): StallRange => ({ startIndex: from * STEP, approachIndex: (from - 2) * STEP, endIndex: to * STEP, levelA, at: 'travel' });
  it('is from the end of the switch-on to a stall, and from where the current is steady again to the end', () => {
    const levels = cells([20, 9], [80, 4], [40, 14], [100, 4]);
    const ranges = runningRanges(viewOf(levels, { settled: 20 }), 20, [stall(100, 140, 14)]);
    expect(ranges[0]).toEqual({ startIndex: 100, endIndex: 490 });
    expect(ranges).toHaveLength(2);
    expect(ranges[1]!.startIndex >= 700 && ranges[1]!.startIndex <= 740).toBe(true);
    expect(ranges[1]!.endIndex).toBe(1200);
    expect(runningRanges(viewOf(levels), 20, [])).toEqual([{ startIndex: 100, endIndex: 1200 }]);
  });

  it('is nothing behind a stall at six tenths of the run or less: a cut-out has opened', () => {
    const after = (levelA: number) => runningRanges(viewOf(cells([100, 4], [40, 14], [100, levelA])), 0, [stall(100, 140, 14)]).length;
    expect([after(2.3), after(2.5)]).toEqual([1, 2]);
  });

  it('begins behind a lost contact where the rush of the motor that is switched on again is over', () => {
    // 5 A above the run, a third of it left after ten cells
    const rush = Array.from({ length: 100 }, (_value, k) => 4 + 5 * Math.exp(-k / 10));
    const levels = [...cells([100, 4], [6, 0]), ...rush];
    const [before, after] = runningRanges(viewOf(levels, { halfCells: 7, press: { dropouts: [{ startIndex: 500, endIndex: 530 }] } }), 0, []);
    expect(before).toEqual({ startIndex: 0, endIndex: 500 });
    expect(after?.endIndex).toBe(1030);
    const begins = levels[after!.startIndex / STEP]!;
    expect(begins < 4 * 1.03 && begins > 4).toBe(true);
  });

  it('is nothing shorter than four cells', () => {
    const before = (settled: number) => runningRanges(viewOf(cells([60, 4], [40, 14])), settled, [stall(60, 100, 14)]).length;
    expect([before(54), before(55)]).toEqual([1, 0]);
  });
});

describe('the levels of a press', () => {
  const plateausOf = (levels: readonly number[], settled = 0, skip = new Uint8Array(levels.length), noiseA2 = 0) => findPlateaus(viewOf(levels, { rippleA2: (k) => (levels[k]! > 10 ? 0.01 : 0.04) }).envelope, settled, noiseA2, skip);
  it('are the highest flat one with its beginning and its end, and what is left beside it', () => {
    const found = plateausOf(cells([100, 4], [100, 14]));
    expect(found.top).toEqual([{ from: 100, approach: 100, to: 200, levelA: 14, rippleVarianceA2: 0.01, wander: 0 }]);
    expect([found.restA, found.restFlatA, found.runRippleVarianceA2, found.restCells]).toEqual([4, 4, 0.04, 100]);
    // what is settled later, or skipped, is not among the rest
    expect(plateausOf(cells([100, 4], [100, 14]), 30).restCells).toBe(70);
    expect(plateausOf(cells([100, 4], [100, 14]), 0, new Uint8Array(200).fill(1, 10, 30)).restCells).toBe(80);
  });

  it('are all those within 15 % of the highest, apart from each other', () => {
    const levelsOf = (secondA: number) => plateausOf(cells([60, 4], [40, 14], [60, 4], [40, secondA], [20, 4])).top.map(({ from, levelA }) => [from, levelA]);
    expect(levelsOf(12)).toEqual([[60, 14], [160, 12]]);
    expect(levelsOf(11.8)).toEqual([[60, 14]]);
  });

  it('are one where a level goes up to the next with no break: the first was still on its way', () => {
    const found = plateausOf(cells([60, 4], [40, 12.2], [60, 14])).top;
    expect(found.map(({ from, to, approach, levelA }) => [from, to, approach, levelA])).toEqual([[100, 160, 60, 14]]);
  });

  it('wander by what is left about a straight line, over the level', () => {
    // 1 % up and down: the sample deviation of +-0.1 is just over 0.1 A of 10 A
    expect(plateausOf(Array.from({ length: 200 }, (_value, k) => 10 + 0.1 * (k % 2 === 0 ? 1 : -1))).top[0]?.wander).toBeCloseTo(0.01, 3);
    expect(plateausOf(Array.from({ length: 200 }, (_value, k) => 10 - 0.001 * k)).top[0]?.wander).toBeCloseTo(0, 6);
  });

  it('are none where the current never stays for 60 ms', () => {
    expect(plateausOf(Array.from({ length: 200 }, (_value, k) => 4 + 0.1 * k)).top).toEqual([]);
    expect(plateausOf(new Array<number>(100).fill(0))).toMatchObject({ top: [], restA: 0 });
  });
});

describe('a press looked at by itself', () => {
  it('has the noise of a cell by the readings of a mains period, and a run only where a level can be read', () => {
    const values = Float32Array.from({ length: 2000 }, (_value, i) => (i < 1000 ? 4 : 14));
    const view = viewPress(pressOf(0, 2000), { ...readBy(values), noiseA: 0.1 }, sampledAt(1000, 2000));
    expect(view.cellNoiseA).toBeCloseTo(0.1 / Math.sqrt(20), 9);
    expect(view.runA).toBeCloseTo(4, 6);
    expect(viewPress(pressOf(1000, 2000), { ...readBy(values), noiseA: 0.1 }, sampledAt(1000, 2000)).runA).toBeNull();
    // a slow logger's cell is one reading
    expect(viewPress(pressOf(0, 2000), { ...readBy(values), noiseA: 0.1 }, sampledAt(10, 2000)).cellNoiseA).toBe(0.1);
  });
});

describe('a motor whose ripple shows that it turned', () => {
  it('ran from the end of its switch-on, or from behind its peak', () => {
    const levels = cells([20, 9], [100, 4]);
    const motionOf = (settled: number, peakIndex: number, startsMidway = false) => turningMotion(viewOf(levels, { settled, peak: { index: peakIndex, peakA: 9 }, press: { startsMidway } }));
    expect(motionOf(20, 30)).toEqual({ stalls: [], running: [{ startIndex: 100, endIndex: 600 }], inrushEnd: 100, turned: true, certain: true });
    expect(motionOf(4, 30).inrushEnd).toBe(31);
    expect(motionOf(200, 30).inrushEnd).toBe(600);
    expect(motionOf(20, 30, true).inrushEnd).toBeNull();
  });
});

describe('a latch', () => {
  it('stalls at its last level, from there to the end of the pulse', () => {
    const view = viewOf(cells([60, 9], [40, 4], [60, 10]), { top: [{ from: 0, approach: 0, to: 60, levelA: 9 }, { from: 100, approach: 96, to: 160, levelA: 10 }] });
    expect(latchStand(view)).toEqual([{ startIndex: 500, approachIndex: 480, endIndex: 800, levelA: 10, at: 'travel' }]);
    expect(latchStand(viewOf(cells([60, 9])))).toEqual([]);
  });
});

describe('a step of the level', () => {
  /** Readings of these amperes, with 20 mA of ripple. */
  const steps = (ampsAt: (atS: number) => number, sign: 1 | -1 = 1, lastsS = 3) => {
    const count = lastsS * 1000;
    const values = Float32Array.from({ length: count }, (_value, i) => sign * (ampsAt(i / 1000) + 0.02 * (i % 2 === 0 ? 1 : -1)));
    const view = viewPress(pressOf(0, count, sign), { ...readBy(values), noiseA: 0 }, sampledAt(1000, count));
    return findSteps(view, [{ startIndex: 0, endIndex: count }], Float64Array.from(values, (_value, i) => i / 1000), values).map(({ at_s, change_a, low_a, high_a, isJam }) => ({ atS: at_s, changeA: Math.round(change_a * 100) / 100, isJam, even: Math.abs(high_a + low_a - 2 * change_a) < 1e-9 }));
  };
  it('is where it is, how large, up or down, whichever way the current flows', () => {
    for (const sign of [1, -1] as const) {
      expect(steps((atS) => (atS < 1.5 ? 4 : 5), sign)).toEqual([{ atS: expect.closeTo(1.5, 1), changeA: 1, isJam: false, even: true }]);
      expect(steps((atS) => (atS < 1.5 ? 5 : 4), sign)).toEqual([{ atS: expect.closeTo(1.5, 1), changeA: -1, isJam: false, even: true }]);
    }
    expect(steps((atS) => (atS < 1 ? 4 : atS < 2 ? 5 : 4)).map(({ changeA }) => changeA)).toEqual([1, -1]);
  });

  it('is none below a tenth of the level, none that takes long, and none that does not last 0.2 s', () => {
    expect([steps((atS) => (atS < 1.5 ? 4 : 4.38)).length, steps((atS) => (atS < 1.5 ? 4 : 4.45)).length]).toEqual([0, 1]);
    expect(steps((atS) => 4 + Math.min(1, Math.max(0, (atS - 1) / 0.4)))).toEqual([]);
    expect([steps((atS) => (atS < 1.5 || atS > 1.6 ? 4 : 5)).length, steps((atS) => (atS < 2.9 ? 4 : 5)).length]).toEqual([0, 0]);
    expect(steps((atS) => (atS < 0.2 ? 4 : 5), 1, 0.4)).toEqual([]);
  });

  it('is a jam where half of the level is added, by its own time constant, and stays flat to the end', () => {
    const climbs = (toA: number) => (atS: number): number => (atS < 1.5 ? 4 : toA - (toA - 4) * Math.exp(-(atS - 1.5) / 0.02));
    expect(steps(climbs(6.2)).map(({ isJam }) => isJam)).toEqual([true]);
    expect(steps(climbs(5.8)).filter(({ isJam }) => isJam)).toEqual([]);
    expect(steps((atS) => (atS < 2.1 ? climbs(6.2)(atS) : 4)).filter(({ isJam }) => isJam)).toEqual([]);
  });
});

describe('a load that recurs', () => {
  // 4 A with a pulse of 1 A for a quarter of each 0.8 s, in cells of 5 ms: 160 cells a period, 24 bins
  const pulses = (at: number): number => 4 + (at % 160 < 40 ? 1 : 0);
  it('has the depth of its folded wave, whatever its shape, and no error where each turn is alike', () => {
    const levels = Array.from({ length: 960 }, (_value, k) => pulses(k));
    const beat = findBeat(viewOf(levels), whole(levels))!;
    expect(beat.period_s).toBeCloseTo(0.8, 2);
    expect(beat.depth_a).toBeCloseTo(1, 1);
    expect(beat.high_a - beat.depth_a).toBeLessThan(0.05);
  });

  it('has its period between two cells', () => {
    // 0.7525 s: 150.5 cells
    const levels = Array.from({ length: 1200 }, (_value, k) => 4 + Math.cos((2 * Math.PI * k) / 150.5));
    expect(findBeat(viewOf(levels), whole(levels))?.period_s).toBeCloseTo(0.7525, 2);
  });

  it('is the same for the run read backwards and upside down', () => {
    const levels = Array.from({ length: 960 }, (_value, k) => pulses(k) + 0.05 * Math.sin(k));
    const [plain, back, down] = [levels, levels.toReversed(), levels.map((level) => 8 - level)].map((some) => findBeat(viewOf(some), whole(some))!);
    for (const other of [back!, down!]) {
      expect(other.period_s).toBeCloseTo(plain!.period_s, 2);
      expect(Math.abs(other.depth_a - plain!.depth_a)).toBeLessThan(0.1);
    }
  });
});
