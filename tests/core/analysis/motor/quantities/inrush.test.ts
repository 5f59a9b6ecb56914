import { describe, expect, it } from 'vitest';
import { inrushFields } from '../../../../../src/core/analysis/motor/quantities/inrush/inrush.ts';
import { withFit, withoutTurningStarts } from '../../../../../src/core/analysis/motor/quantities/inrush/inrush-curve.ts';
import { peakBand } from '../../../../../src/core/analysis/motor/quantities/inrush/peak-band.ts';
import { viewPress, type PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import type { InrushReading } from '../../../../../src/core/analysis/motor/codes.ts';
import type { Motion } from '../../../../../src/core/analysis/motor/types.ts';
import type { Press } from '../../../../../src/core/analysis/motor/presses/presses.ts';
import { switchOnCurve } from '../../../../../src/core/reference/motor.ts';
import { fitted, press } from '../finding/readings.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

describe('charge and I²t of a switch-on', () => {
  it('are trapezes on the time column up to the last reading that belongs to it, the squares without the noise of the clamp', () => {
    // 1 s x (2+4)/2 + 2 s x (4+6)/2 = 13 C; 1 s x (4+16)/2 + 2 s x (16+36)/2 = 62 A² s, less 3 s x 1 A² of noise
    const timeS = Float64Array.of(10, 11, 13, 14);
    const of = (sign: 1 | -1, noiseA: number) => inrushFields(pressOf(0, 4, sign), { index: 2, peakA: 6 }, 3, timeS, { ...readBy(Float32Array.of(2, 4, 6, 50).map((value) => sign * value)), noiseA });
    expect(of(1, 0)).toEqual({ peak_a: 6, at_s: 13, settle_s: 3, charge_c: 13, i2t_a2s: 62 });
    expect(of(-1, 0)).toEqual(of(1, 0));
    expect(of(1, 1)).toMatchObject({ charge_c: 13, i2t_a2s: 59 });
    expect(of(1, 10).i2t_a2s).toBe(0);
  });
});

describe('the fit of a switch-on, from the readings', () => {
  const RATE_HZ = 5000;
  // L/R 1 ms, mechanical 40 ms, 20 A standing, 5 A running
  const motor = switchOnCurve({ standstillA: 20, runA: 5, electricalS: 0.001, mechanicalS: 0.04 });
  const COUNT = 5000;
  const plain: InrushReading = { peak_a: 0, at_s: 0, settle_s: 0.3, charge_c: 1, i2t_a2s: 10 };
  const read = (some: Partial<Press> = {}, inrush: Partial<InrushReading> = {}, sign: 1 | -1 = 1, holes: number[] = [], followS = 0, motion: Partial<Motion> = {}) => {
    const baseline = { ...readBy(Float32Array.from({ length: COUNT }, (_value, i) => (i < 500 || i >= 4500 ? 0 : sign * motor((i - 499.5) / RATE_HZ)))), noiseA: 0.001 };
    const sampling = { ...sampledAt(RATE_HZ, COUNT), holes: Int32Array.from(holes) };
    const view = viewPress({ ...pressOf(500, 4500, sign), ...some }, baseline, sampling);
    const { run } = press({ run: { start_s: 0.4, end_s: 0.9, median_a: 5, low_a: 4.9, high_a: 5.1, spread_a: 0, slope_a_per_s: 0 } });
    return withFit({ ...plain, peak_a: view.peak.peakA, ...inrush }, run, view, { stalls: [], running: [{ startIndex: 2000, endIndex: 4500 }], inrushEnd: 1500, turned: true, certain: true, ...motion }, { baseline, sampling, clamp: { followS, atMostS: followS, known: true } });
  };

  it('is that of the motor\'s own equations, whichever way the current flows', () => {
    for (const sign of [1, -1] as const) {
      const fit = read({}, {}, sign).fit!;
      expect([fit.standstill_a / 20, fit.tau_mechanical_s / 0.04, (fit.tau_electrical_s ?? 0) / 0.001].map((ratio) => Math.abs(ratio - 1) < 0.02)).toEqual([true, true, true]);
      expect(fit.low_standstill_a < 20 && fit.high_standstill_a > 20).toBe(true);
    }
    expect(read()).not.toHaveProperty('low_peak_a');
  });

  it('is none, with its reason, beyond the range, of a rotor that still turned, without a run, or with samples missing in it', () => {
    expect(read({}, { peak_at_least: true })).toMatchObject({ fit: null, no_fit: { code: 'beyond-range' } });
    expect(read({ fromRest: false })).toMatchObject({ fit: null, no_fit: { code: 'still-turning' } });
    expect([read({}, {}, 1, [600]), read({}, {}, 1, [500]), read({}, {}, 1, [3000])].map(({ no_fit: none }) => none?.code ?? 'fitted')).toEqual(['samples-missing', 'fitted', 'fitted']);
  });

  it('ends before a break of the contact or a stall', () => {
    // 30 readings are 6 ms, in which nothing has fallen by much
    expect(read({ dropouts: [{ startIndex: 530, endIndex: 560 }] }).no_fit?.code).toBe('small-fall');
    expect(read({}, {}, 1, [], 0, { stalls: [{ startIndex: 530, endIndex: 560, approachIndex: 530, levelA: 12, at: 'travel' }] }).no_fit?.code).toBe('small-fall');
    expect(read({}, {}, 1, [], 0, { stalls: [{ startIndex: 500, endIndex: 560, approachIndex: 500, levelA: 12, at: 'start' }] }).fit).not.toBeNull();
  });

  it('leaves the peak open upwards where the clamp is slower than it and nothing was fitted', () => {
    expect(read({ fromRest: false }, {}, 1, [], 0.01)).toMatchObject({ low_peak_a: read().peak_a, high_peak_a: null });
    // a clamp that follows within a tenth of the time to the peak has seen it
    expect(read({ fromRest: false }, {}, 1, [], 0.0001)).not.toHaveProperty('low_peak_a');
    expect(read({}, { peak_at_least: true }, 1, [], 0.01)).not.toHaveProperty('low_peak_a');
  });

  it('lies, read by a slow clamp, between what was read and what the motor draws standing at the most', () => {
    const slow = read({}, {}, 1, [], 0.002);
    expect(slow.fit!.high_standstill_a).toBeGreaterThan(20);
    expect(slow).toMatchObject({ low_peak_a: slow.peak_a, high_peak_a: slow.fit!.high_standstill_a });
  });
});

describe('a peak between two readings', () => {
  it('is followed back by a fall that is as steep as a twentieth of its height at the most, where nothing is left of it', () => {
    // 15 A above the run, none after two readings: a period and a half back 15 x 20^(1.5/2)
    const deviationA = Float32Array.from({ length: 20 }, (_value, i) => (i < 5 ? 0 : i === 5 ? 20 : 5));
    const view = { press: pressOf(5, 20), peak: { index: 5, peakA: 20 } } as PressView;
    expect(peakBand({ peak_a: 20, at_s: 0, settle_s: 1, charge_c: 1, i2t_a2s: 1 }, 5, view, { ...readBy(deviationA), noiseA: 0 }, sampledAt(100, 20))).toEqual({ lowA: 20, highA: expect.closeTo(5 + 15 * 20 ** 0.75, 6) });
  });
});

describe('a start with the rotor still turning the other way', () => {
  const answers = (...standstills: number[]): (boolean | undefined)[] => withoutTurningStarts(standstills.map((standstillA) => fitted(standstillA))).map(({ inrush }) => inrush?.fit !== null);
  it('is one whose standing current lies above that of the other presses with all of its bounds', () => {
    // 5 % either way: 10.6 A is 10.07 at the least, 10.5 A 9.975
    expect([answers(10, 10, 10.6), answers(10, 10, 10.5), answers(10, 10, 5)]).toEqual([[true, true, false], [true, true, true], [true, true, true]]);
    expect(withoutTurningStarts([fitted(10), fitted(10), fitted(14)])[2]?.inrush).toMatchObject({ fit: null, no_fit: { code: 'above-other-presses' } });
  });

  it('is not told by two presses, nor by those without a fit', () => {
    expect(answers(10, 14)).toEqual([true, true]);
    expect(withoutTurningStarts([fitted(10), press(), fitted(14)]).map(({ inrush }) => inrush?.fit != null)).toEqual([true, false, true]);
  });
});
