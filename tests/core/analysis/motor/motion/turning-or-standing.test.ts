import { describe, expect, it } from 'vitest';
import { judgeMotions, withoutContradictions, withoutLimitedStarts } from '../../../../../src/core/analysis/motor/motion/motion.ts';
import { motorParameters } from '../../../../../src/core/analysis/motor/motion/motor-parameters.ts';
import { findBeat } from '../../../../../src/core/analysis/motor/motion/beat.ts';
import type { Motion, StallRange } from '../../../../../src/core/analysis/motor/types.ts';
import { cells, STEP, viewOf } from './levels.ts';

const motionOf = (fields: Partial<Motion> = {}): Motion => ({ stalls: [], running: [], inrushEnd: null, turned: true, certain: true, ...fields });
const stallAt = (levelA: number, at: 'start' | 'travel', from: number, to: number): StallRange => ({ startIndex: from * STEP, approachIndex: from * STEP, endIndex: to * STEP, levelA, at });

describe('a level at which one press ran and another stood', () => {
  const ran = viewOf(cells([20, 9], [180, 4]));
  const stood = (levelA: number, sign: 1 | -1 = 1) => viewOf(cells([200, levelA]), { press: { sign }, settled: 20 });
  const judged = (levelA: number, sign: 1 | -1 = 1, ranMotion: Partial<Motion> = {}) => withoutContradictions([ran, stood(levelA, sign)], [motionOf(ranMotion), motionOf({ stalls: [stallAt(levelA, 'start', 0, 200)], turned: false })])[1]!;

  // 15 % either way
  it('is not told where both are alike, the same way round', () => {
    expect([judged(3.5).certain, judged(4.6).certain, judged(3.3).certain, judged(4.8).certain]).toEqual([false, false, true, true]);
    expect(judged(4)).toEqual({ stalls: [], running: [{ startIndex: 100, endIndex: 1000 }], inrushEnd: 100, turned: true, certain: false });
    expect(judged(4, -1).certain).toBe(true);
  });

  it('is told where the other did not run for sure', () => {
    for (const unsure of [{ certain: false }, { turned: false }, { stalls: [stallAt(9, 'travel', 0, 20)] }]) expect(judged(4, 1, unsure).certain).toBe(true);
  });
});

describe('a press that begins on a level and then runs', () => {
  // 4 A above the run for 0.2 s are 0.8 A s, and its fall takes 0.2 A s: the run is 4/(4 + 4 x 5) of what it then draws standing, a sixth, as a motor at work may
  const levels = cells([40, 8], [20, 6], [140, 4]);
  const first = stallAt(8, 'start', 0, 40);
  const own = motionOf({ stalls: [first], running: [{ startIndex: 60 * STEP, endIndex: 1000 }] });
  const judged = (others: readonly StallRange[], mine: Motion = own, view = viewOf(levels)) => withoutLimitedStarts([view, viewOf(cells([200, 8]))], [mine, motionOf({ stalls: [...others] })])[0]!;

  it('stood on it where another press stands at that level', () => {
    expect(judged([stallAt(8, 'travel', 100, 200)])).toBe(own);
    // 15 % either way
    expect([judged([stallAt(7, 'travel', 100, 200)]), judged([stallAt(9.2, 'travel', 100, 200)]), judged([stallAt(6.7, 'travel', 100, 200)]), judged([stallAt(9.6, 'travel', 100, 200)])].map(({ certain }) => certain)).toEqual([true, true, false, false]);
  });

  it('is not known to have stood where none does, and is told by a later stall of its own if there is one', () => {
    expect(judged([])).toEqual({ ...own, stalls: [], certain: false });
    const later = stallAt(14, 'travel', 150, 200);
    expect(judged([], { ...own, stalls: [first, later] })).toEqual({ ...own, stalls: [later], certain: true });
  });

  it('stood where its level falls as a winding warms, by more than noise makes of it', () => {
    const warming = [...Array.from({ length: 40 }, (_value, k) => 8.4 - 0.02 * k), ...cells([20, 6], [140, 4])];
    expect(judged([], own, viewOf(warming)).stalls).toEqual([first]);
    // a quarter of ten cells, 50 ms, are two and a half mains periods: 3.29 x cell noise x sqrt(2/2.5); it falls by 0.2 A
    expect([judged([], own, viewOf(warming, { cellNoiseA: 0.067 })).stalls.length, judged([], own, viewOf(warming, { cellNoiseA: 0.069 })).stalls.length]).toEqual([1, 0]);
  });

  it('is none of these where it ends on that level, or turned nowhere', () => {
    for (const other of [{ ...own, stalls: [stallAt(8, 'start', 0, 200)] }, { ...own, turned: false }, { ...own, stalls: [stallAt(8, 'travel', 100, 140)] }]) expect(judged([], other)).toBe(other);
  });
});

describe('what the presses say of their motor', () => {
  const one = (runA: number, topA: number) => viewOf(cells([100, runA], [100, topA]), { top: [{ from: 100, levelA: topA }], runA });
  it('is the middle and the least of their runs, and the level at which they stall: 1.3 times of it', () => {
    expect(motorParameters([one(4, 14), one(5, 12), one(3, 13)], 0.01)).toMatchObject({ runA: 4, lowestRunA: 3, standsA: 13, idleRippleVarianceA2: 0.01 });
    expect([motorParameters([one(4, 5.1)], 0).standsA, motorParameters([one(4, 5.3)], 0).standsA]).toEqual([null, 5.3]);
    expect(motorParameters([], 0)).toEqual({ runA: null, lowestRunA: null, standsA: null, standing: null, startAs: null, idleRippleVarianceA2: 0 });
    // a press of one level, without a switch-on, tells no run
    expect(motorParameters([viewOf(cells([200, 10]), { top: [{ levelA: 10 }] })], 0)).toMatchObject({ runA: null, lowestRunA: null });
  });

  it('is by a switch-on the current between its peak and the fall followed back, and the charge beyond the run', () => {
    // 12 A ten cells after the switch, half of the way down to 4 A in each twenty cells: 4 + 8 x sqrt(2) = 15.31 A; (12 - 4) A for 30 cells of 5 ms are 1.2 A s
    const view = viewOf(cells([30, 12], [170, 4]), { top: [{ from: 30, levelA: 4 }], runA: 4, peak: { index: 10 * STEP, peakA: 12 }, halfCells: 20, settled: 100 });
    const { standing, startAs } = motorParameters([view], 0);
    expect([standing?.currentA, standing?.spread, startAs]).toEqual([expect.closeTo((12 + 4 + 8 * Math.SQRT2) / 2, 6), expect.closeTo(Math.log((4 + 8 * Math.SQRT2) / 12) / 2, 6), expect.closeTo(1.2, 6)]);
    // a fifth above the run is no peak
    expect([4.79, 4.81].map((peakA) => motorParameters([{ ...view, peak: { index: 50, peakA } }], 0).standing !== null)).toEqual([false, true]);
    expect(motorParameters([{ ...view, halfCells: 0 }], 0).standing).toBeNull();
  });
});

describe('the motion of presses together', () => {
  it('is a stall from where a level begins that is far above the run, and a run before it', () => {
    const levels = cells([20, 9], [100, 4], [80, 14]);
    const view = viewOf(levels, { top: [{ from: 120, approach: 118, to: 200, levelA: 14, rippleVarianceA2: 0, wander: 0.0001 }], runA: 4, settled: 20, peak: { index: 5, peakA: 9 } });
    const [motion] = judgeMotions([view], { ...motorParameters([view], 1e-6), standing: { currentA: 14, spread: 0 } }, undefined);
    expect(motion).toEqual({ stalls: [{ startIndex: 600, approachIndex: 590, endIndex: 1000, levelA: 14, at: 'travel' }], running: [{ startIndex: 100, endIndex: 590 }], inrushEnd: 100, turned: true, certain: true });
  });

  it('is that of a motor which never turned where one level is there from end to end', () => {
    const view = viewOf(cells([200, 14]), { top: [{ levelA: 14 }], peak: { index: 5, peakA: 14 } });
    expect(judgeMotions([view], motorParameters([view], 1e-6), undefined)).toEqual([{ stalls: [{ startIndex: 0, approachIndex: 0, endIndex: 1000, levelA: 14, at: 'start' }], running: [], inrushEnd: null, turned: false, certain: true }]);
    // within a typed range it ran
    expect(judgeMotions([view], motorParameters([view], 1e-6), [10, 15])[0]).toMatchObject({ stalls: [], turned: true });
  });
});

describe('a beat', () => {
  it('is read in the longest stretch of the run, from a little after its beginning to a little before its end', () => {
    const swing = (k: number): number => 4 + 0.5 * Math.sin((2 * Math.PI * k) / 120);
    const levels = [...cells([300, 9]), ...Array.from({ length: 800 }, (_value, k) => swing(k)), ...cells([300, 9])];
    const beat = findBeat(viewOf(levels), [{ startIndex: 0, endIndex: 200 * STEP }, { startIndex: 300 * STEP, endIndex: 1100 * STEP }, { startIndex: 1200 * STEP, endIndex: 1400 * STEP }]);
    expect(beat?.period_s).toBeCloseTo(0.6, 2);
    expect(Math.abs(beat!.depth_a - 1)).toBeLessThan(0.05);
  });
});
