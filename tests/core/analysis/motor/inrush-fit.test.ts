import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { fitSwitchOn } from '../../../../src/core/analysis/motor/quantities/inrush/inrush-fit.ts';
import { switchOnCurve, switchOnPeak } from '../../../../src/core/reference/motor.ts';
import type { Trace } from '../../../../src/core/trace.ts';
import { draw, noise, press } from './traces.ts';
import { dice } from './turning.ts';

/** A motor by its datasheet, SI. */
interface Sheet {
  readonly volts: number;
  readonly ohm: number;
  readonly henry: number;
  readonly newtonMetrePerA: number;
  readonly inertiaKgM2: number;
  /** A; dry friction and load as the current that balances them */
  readonly loadA: number;
  readonly viscousNmS?: number;
}

/** maxon RE 65, order no. 353297, 48 V, at its nominal load of 6.8 A (datasheet values, public transcription) */
const RE_65: Sheet = { volts: 48, ohm: 0.365, henry: 0.161e-3, newtonMetrePerA: 0.123, inertiaKgM2: 1.34e-4, loadA: 6.8 };

/** Switch-on at `onS`, by Euler steps of a 200th of L/R: nothing of the fit's own formula. */
function switchedOn(sheet: Sheet, rateHz: number, onS: number, offS: number, endS: number, sigmaA: number): Trace {
  const { volts, ohm, henry, newtonMetrePerA: k, inertiaKgM2, loadA, viscousNmS = 0 } = sheet;
  const steps = Math.max(1, Math.ceil((200 * ohm) / henry / rateHz));
  const stepS = 1 / rateHz / steps;
  let amps = 0;
  let speed = 0;
  const wobble = noise(sigmaA);
  return draw(rateHz, endS, (atS) => {
    for (let s = 0; s < steps; s++) {
      const on = atS + s * stepS >= onS && atS + s * stepS < offS;
      if (!on) {
        amps = 0;
        speed *= 1 - stepS / 0.05;
        continue;
      }
      amps += ((volts - ohm * amps - k * speed) / henry) * stepS;
      const torque = k * amps - viscousNmS * speed - (speed > 0 || amps > loadA ? k * loadA : k * amps);
      speed = Math.max(0, speed + (torque / inertiaKgM2) * stepS);
    }
    return amps + wobble();
  });
}

describe('the fit of a switch-on', () => {
  it.each([20_000, 50_000])('finds the RE 65\'s time constants (3.233 ms and 0.441 ms) and its 131.5 A at standstill in a trace of %i S/s', (rateHz) => {
    const result = analyseActuation(switchedOn(RE_65, rateHz, 0.2, 0.6, 0.8, 0.05), {});
    const inrush = result.actuations[0]?.inrush;
    const fit = inrush?.fit;
    expect(Math.abs((fit?.tau_mechanical_s as number) / 3.233e-3 - 1)).toBeLessThan(0.03);
    expect(Math.abs((fit?.tau_electrical_s as number) / 0.4411e-3 - 1)).toBeLessThan(0.03);
    expect(Math.abs((fit?.standstill_a as number) / 131.5 - 1)).toBeLessThan(0.02);
    // 105.77 A without load; the load keeps the rotor back for a moment and adds to it
    expect(inrush?.peak_a).toBeGreaterThan(105.77);
    expect(inrush?.peak_a).toBeLessThan(109);
  });

  it('never takes the inrush peak for the stall current: on the RE 65 they are 106 and 131.5 A', () => {
    const result = analyseActuation(switchedOn(RE_65, 20_000, 0.2, 0.6, 0.8, 0.05), {});
    const { inrush, stalls } = result.actuations[0] as (typeof result.actuations)[number];
    expect(stalls).toEqual([]);
    expect((inrush?.fit?.low_standstill_a as number) / (inrush?.peak_a as number)).toBeGreaterThan(1.15);
    // without any load, by the two poles: 105.77 A after 1.071 ms
    expect(switchOnPeak({ standstillA: 48 / 0.365, runA: 0, electricalS: 0.4411e-3, mechanicalS: 3.233e-3 })?.peakA).toBeCloseTo(105.77, 1);
  });

  // Faulhaber 2342 and a servo-trainer motor (public transcriptions); the inertia of the first is chosen
  it.each([
    ['small servo-trainer motor', { volts: 18, ohm: 8.4, henry: 1.16e-3, newtonMetrePerA: 0.042, inertiaKgM2: 4e-6, loadA: 0.15 }, 19.0e-3, 0.138e-3],
    ['DCX 32 L with a mechanism', { volts: 24, ohm: 0.108, henry: 0.034e-3, newtonMetrePerA: 0.0273, inertiaKgM2: 7.28e-5, loadA: 8 }, 10.5e-3, 0.315e-3],
  ])('finds the time constants of a %s', (_name, sheet, mechanicalS, electricalS) => {
    const fit = analyseActuation(switchedOn(sheet, 20_000, 0.2, 0.7, 0.9, 0.002 * (sheet.volts / sheet.ohm)), {}).actuations[0]?.inrush?.fit;
    expect(Math.abs((fit?.tau_mechanical_s as number) / mechanicalS - 1)).toBeLessThan(0.06);
    if (fit?.tau_electrical_s !== null) expect(Math.abs((fit?.tau_electrical_s as number) / electricalS - 1)).toBeLessThan(0.1);
    expect(Math.abs((fit?.standstill_a as number) / (sheet.volts / sheet.ohm) - 1)).toBeLessThan(0.04);
  });

  it('has the poles -2.0025 and -9.9975 of the University of Michigan\'s DC motor (J 0.01, b 0.1, K 0.01, R 1, L 0.5)', () => {
    // its poles are those of s² + s/te + 1/(te tm) with te = 1/12 s and tm = 12/20.02 s
    const [slow, fast] = [2.0025, 9.9975];
    const electricalS = 1 / (slow + fast);
    const mechanicalS = (slow + fast) / (slow * fast);
    expect(slow * fast).toBeCloseTo(20.02, 3);
    const timeS = Array.from({ length: 400 }, (_value, i) => i * 0.01);
    // a unit step gets a peak only with another zero; the curve through the same poles is what is fitted
    const curve = switchOnCurve({ standstillA: 6, runA: 1, electricalS, mechanicalS });
    const currentA = timeS.map(curve);
    const peakA = Math.max(...currentA);
    const answer = fitSwitchOn({ timeS, currentA, periodS: 0.01, peakA, peakAtS: timeS[currentA.indexOf(peakA)] as number, runA: 1, scatterA: 0, clampS: 0, clampAtMostS: 0 });
    const te = answer.fit?.tau_electrical_s as number;
    const tm = answer.fit?.tau_mechanical_s as number;
    const root = Math.sqrt(1 / te ** 2 - 4 / (te * tm));
    expect((1 / te - root) / 2).toBeCloseTo(slow, 4);
    expect((1 / te + root) / 2).toBeCloseTo(fast, 4);
  });

  it('holds the true values inside its 95 % bounds in at least 85 of 100 starts with noise and ripple', () => {
    let reported = 0;
    let mechanicalIn = 0;
    let standingIn = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const random = dice(seed);
      const mechanicalS = 0.02 + 0.1 * random();
      const electricalS = 0.0008 + 0.003 * random();
      const standstillA = 10 + 20 * random();
      const runA = standstillA * (0.15 + 0.2 * random());
      const curve = switchOnCurve({ standstillA, runA, electricalS, mechanicalS });
      const wobble = noise(0.004 * standstillA, seed);
      const delayS = random() / 4000;
      const trace = draw(4000, 3, (atS) => {
        const sinceS = atS - 0.5 - delayS;
        if (sinceS < 0 || sinceS > 2) return wobble();
        return curve(sinceS) * (1 + 0.03 * (1 - Math.exp(-sinceS / mechanicalS)) * Math.cos(2 * Math.PI * 300 * sinceS)) + wobble();
      });
      const fit = analyseActuation(trace, {}).actuations[0]?.inrush?.fit;
      if (fit === null || fit === undefined) continue;
      reported++;
      if (fit.low_mechanical_s <= mechanicalS && fit.high_mechanical_s >= mechanicalS) mechanicalIn++;
      if (fit.low_standstill_a <= standstillA && fit.high_standstill_a >= standstillA) standingIn++;
    }
    expect(reported).toBeGreaterThanOrEqual(57);
    expect(mechanicalIn / reported).toBeGreaterThanOrEqual(0.85);
    expect(standingIn / reported).toBeGreaterThanOrEqual(0.85);
  });

  it('says why it tells nothing: too few samples in the fall, a press too short, a range too small', () => {
    const wobble = noise(0.02);
    const reported = (trace: Trace, fullScaleA?: number): string | undefined => {
      const inrush = analyseActuation(trace, fullScaleA === undefined ? {} : { fullScaleA }).actuations[0]?.inrush;
      expect(inrush?.fit).toBeNull();
      return inrush?.no_fit;
    };
    expect(reported(draw(200, 4, (atS) => press(atS, 1, 3, 18, 4, 0.012) + wobble()))).toMatch(/readings: record faster/);
    expect(reported(draw(2000, 4, (atS) => Math.min(10, press(atS, 1, 3, 18, 4) + wobble())), 10)).toMatch(/beyond the end of the sensor's range/);
  });

  it('leaves L/R out where the rise is not seen, and gives the rest with wider bounds', () => {
    const wobble = noise(0.02);
    const fit = analyseActuation(draw(2000, 4, (atS) => press(atS, 1, 3, 18, 4, 0.05) + wobble()), {}).actuations[0]?.inrush?.fit;
    expect(fit?.tau_electrical_s).toBeNull();
    expect(fit?.low_mechanical_s).toBeLessThan(0.05);
    expect(fit?.high_mechanical_s).toBeGreaterThan(0.05);
    expect(fit?.high_standstill_a).toBeGreaterThan(17.9);
  });
});
