import { describe, expect, it } from 'vitest';
import { judgePlateau, judgeSingleLevel, standsAbove } from '../../../../../src/core/analysis/motor/motion/standing.ts';
import type { MotorParameters } from '../../../../../src/core/analysis/motor/motion/motor-parameters.ts';
import { cells, viewOf } from './levels.ts';

const UNKNOWN: MotorParameters = { runA: null, lowestRunA: null, standsA: null, standing: null, startAs: null, idleRippleVarianceA2: 1e-4 };

interface Level {
  readonly peakA?: number;
  readonly rippleA2?: number;
  readonly startsMidway?: boolean;
  readonly levels?: readonly number[];
  readonly runLimitsA?: readonly [number, number];
  readonly levelA?: number;
}

/** A press at 10 A from end to end. */
function judged({ peakA = 10, rippleA2 = 1e-4, startsMidway = false, levels = cells([200, 10]), runLimitsA, levelA = 10 }: Level = {}, common: Partial<MotorParameters> = {}): string {
  return judgeSingleLevel(viewOf(levels, { top: [{ levelA, rippleVarianceA2: rippleA2 }], peak: { index: 10, peakA }, press: { startsMidway } }), { ...UNKNOWN, ...common }, runLimitsA);
}

describe('a press at one level', () => {
  it('is a motor that never turned where the switch is seen, and open where it is not', () => {
    expect([judged(), judged({ startsMidway: true })]).toEqual(['locked', 'unclear']);
    expect(judgeSingleLevel(viewOf(cells([200, 10])), UNKNOWN, undefined)).toBe('ran');
  });

  // resistive loads fall by 1.03 to 1.07 from their switch-on
  it('ran where it fell from a peak a fifth above it, and is open from a twentieth on: a winding warms by less meanwhile', () => {
    expect([judged({ peakA: 12.1 }), judged({ peakA: 11.9 }), judged({ peakA: 10.6 }), judged({ peakA: 10.4 })]).toEqual(['ran', 'unclear', 'unclear', 'locked']);
    // where other presses show how it runs, less than a tenth says nothing
    expect([judged({ peakA: 10.9 }, { runA: 7.6 }), judged({ peakA: 10.9 }, { runA: 7.8 }), judged({ peakA: 11.1 }, { runA: 7.8 })]).toEqual(['locked', 'ran', 'ran']);
    // a press that the recording begins in has no peak
    expect(judged({ peakA: 14, startsMidway: true })).toBe('unclear');
  });

  it('ran where it ripples: by four tenths of a percent if it fell, by four times that power if it did not', () => {
    // (0.004 x 10 A)² = 1.6e-3 A²; 4 x 4 x 1.6e-3 = 25.6e-3 A², beside 1e-4 of the idle clamp
    expect([judged({ peakA: 11.5, rippleA2: 1.6e-3 }), judged({ peakA: 11.5, rippleA2: 1.8e-3 })]).toEqual(['unclear', 'ran']);
    expect([judged({ rippleA2: 25.5e-3 }), judged({ rippleA2: 25.9e-3 })]).toEqual(['locked', 'ran']);
    // a noisy idle clamp: four times its own
    expect([judged({ rippleA2: 49e-3 }, { idleRippleVarianceA2: 1e-2 }), judged({ rippleA2: 51e-3 }, { idleRippleVarianceA2: 1e-2 })]).toEqual(['locked', 'ran']);
  });

  // 0.39 % of copper's resistance for a kelvin: a quarter less current is 85 K in a few seconds
  it('is open where it falls on by more than a quarter, as a heavy rotor that gains speed for seconds', () => {
    expect([7.6, 7.4].map((endA) => judged({ levels: cells([100, 10], [100, endA]) }))).toEqual(['locked', 'unclear']);
    expect(judged({ levels: cells([100, 10], [100, 7.4]) }, { runA: 4 })).toBe('unclear');
  });

  it('is judged by the run of other presses, or the typed range: a stall is 1.3 times of it', () => {
    expect([judged({}, { runA: 7.6 }), judged({}, { runA: 7.8 })]).toEqual(['locked', 'ran']);
    expect([judged({ runLimitsA: [3, 7.6] }), judged({ runLimitsA: [3, 7.8] })]).toEqual(['locked', 'ran']);
    // the motor's own run says more than the range
    expect(judged({ runLimitsA: [3, 5] }, { runA: 9 })).toBe('ran');
  });

  it('is judged by the standing current of its own switch-ons before either', () => {
    const standing = (currentA: number) => ({ standing: { currentA, spread: 0 } });
    expect([judged({}, { runA: 3, ...standing(10) }), judged({}, { runA: 3, ...standing(20) }), judged({}, standing(10)), judged({ runLimitsA: [3, 5] }, standing(20))]).toEqual(['locked', 'ran', 'locked', 'locked']);
    // one far above its run, at the standing current, that falls from a peak was thrown back by its stop: where none other stood there it is open
    expect([judged({ peakA: 13 }, { runA: 3, lowestRunA: 3, ...standing(10) }), judged({ peakA: 13 }, { runA: 3, lowestRunA: 3, standsA: 10, ...standing(10) }), judged({ peakA: 13 }, { runA: 6, lowestRunA: 6, ...standing(10) })]).toEqual(['unclear', 'locked', 'ran']);
  });

  it('is open where it comes up for longer than a winding takes: 80 ms', () => {
    const climbing = (to: number) => [...Array.from({ length: 16 }, (_value, k) => (to * (k + 1)) / 16), ...cells([184, 10])];
    expect([judged({ levels: climbing(8.4), peakA: 10 }), judged({ levels: climbing(8.6), peakA: 10 })]).toEqual(['unclear', 'locked']);
    // what falls back on its way is no slow feed
    expect(judged({ levels: [...climbing(8.4).slice(0, 15), 7, ...cells([184, 10])], peakA: 10 })).toBe('locked');
  });
});

describe('a level above the run', () => {
  const above = (levelA: number, runA: number | null, common: Partial<MotorParameters> = {}): boolean => {
    const view = viewOf(cells([100, 4], [100, levelA]), { top: [{ from: 100, levelA }], settled: 150, runA });
    return standsAbove(view.plateaus.top[0]!, view, { ...UNKNOWN, ...common }, runA);
  };
  it('is a stall from 1.3 times on', () => {
    expect([above(5.19, 4), above(5.21, 4)]).toEqual([false, true]);
    expect(above(100, null)).toBe(false);
  });

  it('is measured by the lowest run of the trace where other presses stall at that level', () => {
    const known = { standsA: 10, lowestRunA: 4 };
    expect([above(8.6, 8, known), above(8.4, 8, known), above(8.6, 8)]).toEqual([true, false, false]);
  });

  it('turns where it is not', () => {
    const view = viewOf(cells([100, 4], [100, 5]), { top: [{ from: 100, levelA: 5 }], settled: 150, runA: 4 });
    expect(judgePlateau(view.plateaus.top[0]!, view, UNKNOWN)).toBe('turns');
    expect(judgePlateau(view.plateaus.top[0]!, { ...view, runA: null }, { ...UNKNOWN, runA: 4 })).toBe('turns');
  });
});
