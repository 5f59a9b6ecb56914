import { describe, expect, it } from 'vitest';
import type { PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { curveOf, type Curve, type LoadContext } from '../../../../../src/core/analysis/motor/wire/load-curve.ts';

/** A press of readings a millisecond apart: from reading 100 to 500 unless said otherwise. */
function curve(ampsAt: (i: number) => number, some: { sign?: 1 | -1; endIndex?: number; peak?: { index: number; peakA: number }; rippleA2?: number; idleA2?: number; stepA?: number; noiseA?: number } = {}): Curve {
  const { sign = 1, endIndex = 500, peak = { index: 400, peakA: 5 }, rippleA2 = 0, idleA2 = 0, stepA = 0, noiseA = 0 } = some;
  const envelope = { cells: 80, step: 5, rippleVarianceA2: new Float64Array(80).fill(rippleA2, 40) };
  const view = { press: { sign, startIndex: 100, endIndex }, peak, envelope } as unknown as PressView;
  const deviationA = Float32Array.from({ length: 900 }, (_, i) => sign * ampsAt(i));
  return curveOf(view, { baseline: { deviationA, stepA, noiseA }, sampling: { rateHz: 1000, periodS: 1e-3 }, idleRippleVarianceA2: idleA2 } as unknown as LoadContext);
}

describe('what the readings of a press show of its load', () => {
  /** 5 A that come up with 20 ms and go with 10 ms. */
  const coil = (i: number): number => (i < 100 ? 0 : i < 500 ? 5 * (1 - Math.exp(-(i - 100) / 20)) : 5 * Math.exp(-(i - 499) / 10));

  it.each([1, -1] as const)('is how fast its current comes up and goes, either way (%i)', (sign) => {
    // to nine tenths 20 ms x ln 10 = 46.05 ms, to a half 13.9 ms, to a tenth 2.1 ms: readings 47, 14 and 3.
    // back to nine tenths 1.05 ms after reading 499, to a tenth 23.03 ms: readings 501 and 523. A tenth is not there for the first two milliseconds
    const shown = Object.fromEntries(Object.entries(curve(coil, { sign })).map(([name, value]) => [name, typeof value === 'number' ? Number(value.toFixed(6)) : value]));
    expect(shown).toMatchObject({ riseS: 0.047, climbS: 0.044, halfClimbS: 0.011, fallS: 0.022, bouncesS: 0.002, endA: 5, peakA: 5, lastsS: 0.4 });
  });

  it('is how long it stays above the end level behind its peak, whatever a bouncing contact cuts out of it', () => {
    // 5 A more that die away with 50 ms: half of it for 34.7 ms, a tenth of it for 115.1 ms
    const lamp = (i: number): number => (i < 110 ? 0 : i < 300 ? 5 + 5 * Math.exp(-(i - 110) / 50) : i < 500 ? 5 : 0);
    const peak = { index: 110, peakA: 10 };
    const whole = curve(lamp, { peak });
    expect([whole.halfS, whole.tenthS]).toEqual([expect.closeTo(0.035, 9), expect.closeTo(0.116, 9)]);
    // five readings cut out of it
    expect(curve((i) => (i >= 115 && i < 120 ? 0 : lamp(i)), { peak }).halfS).toBeCloseTo(0.03, 9);
    // it must stay below for as long again and six readings: 116 + 116 + 6 from the peak on end at reading 348
    expect([curve(lamp, { peak, endIndex: 348 }).tenthS, curve(lamp, { peak, endIndex: 347 }).tenthS]).toEqual([expect.closeTo(0.116, 9), Infinity]);
  });

  it('is when its contact was last open as it bounced, within 40 ms', () => {
    const bouncing = (openAt: number): number => Math.round(1000 * curve((i) => (i < 100 || i === openAt ? 0 : i < 500 ? 5 : 0)).bouncesS);
    expect([bouncing(0), bouncing(117), bouncing(140), bouncing(141)]).toEqual([0, 17, 40, 0]);
  });

  it('is whether it lives: more than the idle clamp, than 0.4 % of its level, and than half a step of the converter', () => {
    // 0.4 % of 5 A are 20 mA, 4e-4 A2
    const alive = (rippleA2: number, idleA2 = 0, stepA = 0): boolean => curve(coil, { rippleA2, idleA2, stepA }).alive;
    expect([alive(4.1e-4), alive(3.9e-4), alive(2.1e-3, 1e-3), alive(1.9e-3, 1e-3), alive(2.6e-3, 0, 0.1), alive(2.4e-3, 0, 0.1)]).toEqual([true, false, true, false, true, false]);
    // quiet but for one time in a thousand: 3.29 x sqrt(pi/2) x idle x sqrt(2/(5 x 40)) = 0.412 of the idle noise on top
    const quiet = (rippleA2: number, idleA2: number): boolean => curve(coil, { rippleA2, idleA2 }).quiet;
    expect([quiet(3.9e-4, 0), quiet(4.1e-4, 0), quiet(9e-4, 9e-4), quiet(9.2e-4, 9e-4), quiet(9.4e-4, 9e-4), quiet(1e-3, 1e-3)]).toEqual([true, false, true, true, false, false]);
  });

  describe('is whether it comes up more slowly than contact and clamp', () => {
    /** 5 A behind these readings, and these after them. */
    const edges = (up: readonly number[], down: readonly number[] = [], some: Parameters<typeof curve>[1] = {}): boolean => curve((i) => (i < 100 ? 0 : i < 500 ? (up[i - 100] ?? 5) : (down[i - 500] ?? 0)), some).lags;

    it.each([1, -1] as const)('by the readings on its way, either way (%i)', (sign) => {
      // one is there by chance
      expect([edges([3], [], { sign }), edges([3, 4.9], [], { sign }), edges([3, 4.96], [], { sign })]).toEqual([false, true, false]);
    });

    it('of which the clamp makes as many when it ends, twice as many where the contact bounces unseen', () => {
      expect([edges([2, 3, 4], [1]), edges([1, 2, 3, 4], [1]), edges([1, 2, 3, 4, 4.5], [2, 1]), edges([1, 2, 3, 4, 4.5, 4.7], [2, 1])]).toEqual([false, true, false, true]);
    });

    it('and one each time the contact is seen to close', () => {
      expect([edges([3, 0, 4]), edges([3, 4, 0, 4]), edges([3, 0, 2, 3]), edges([3, 0, 3, 0, 4]), edges([3, 0, 3, 0, 3, 4])]).toEqual([false, true, true, false, true]);
      // what falls back on its level, by a waver of its own, has not opened
      expect(edges([3, 4, 5.2, 5])).toBe(true);
    });

    it('by what stands out of the noise and of the steps of the converter', () => {
      // of forty readings one passes 4.2 deviations once in a thousand times: 0.42 A
      expect([edges([3, 4.5], [], { noiseA: 0.1 }), edges([3, 4.62], [], { noiseA: 0.1 })]).toEqual([true, false]);
      expect([edges([3, 4.4], [], { stepA: 0.5 }), edges([3, 4.6], [], { stepA: 0.5 })]).toEqual([true, false]);
    });

    it('where the press is long enough to show its level on both ends', () => {
      expect([edges([3, 4], [], { endIndex: 185 }), edges([3, 4], [], { endIndex: 184 })]).toEqual([true, false]);
    });
  });
});
