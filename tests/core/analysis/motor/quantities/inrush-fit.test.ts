import { describe, expect, it } from 'vitest';
import { fitSwitchOn, type FitAnswer, type SwitchOnCurve } from '../../../../../src/core/analysis/motor/quantities/inrush/inrush-fit.ts';
import { switchOnCurve } from '../../../../../src/core/reference/motor.ts';
import type { InrushFit } from '../../../../../src/core/analysis/results.ts';
import { noise } from '../traces.ts';

/** 20 A standing, 5 A running, L/R 2 ms, mechanical 40 ms, a reading each 0.2 ms; 0.25 s of it. */
function switchOn(some: Partial<SwitchOnCurve> = {}, scaleA = 1, scaleS = 1, sigmaA = 0): SwitchOnCurve {
  const motor = switchOnCurve({ standstillA: 20, runA: 5, electricalS: 0.002, mechanicalS: 0.04 });
  const periodS = 0.0002;
  const wobble = noise(sigmaA, 5);
  const timeS = Array.from({ length: 1250 }, (_value, i) => i * periodS);
  const currentA = timeS.map((atS) => (motor(atS + periodS / 2) + wobble()) * scaleA);
  const peakA = Math.max(...currentA);
  const top = currentA.indexOf(peakA);
  return { timeS: timeS.map((atS) => atS * scaleS), currentA, periodS: periodS * scaleS, peakA, peakAtS: timeS[top]! * scaleS, runA: 5 * scaleA, scatterA: sigmaA * scaleA, clampS: 0, clampAtMostS: 0, ...some };
}
/** Falls from 15 to 5 A with 50 ms, a reading each 5 ms: the rise lies before the first. */
function fallOnly(some: Partial<SwitchOnCurve> = {}): SwitchOnCurve {
  const timeS = Array.from({ length: 60 }, (_value, i) => i * 0.005);
  return { timeS, currentA: timeS.map((atS) => 5 + 10 * Math.exp(-atS / 0.05)), periodS: 0.005, peakA: 15, peakAtS: 0, runA: 5, scatterA: 0, clampS: 0, clampAtMostS: 0, ...some };
}
const fitOf = (answer: FitAnswer): InrushFit => answer.fit!;
const why = (curve: SwitchOnCurve): string | undefined => fitSwitchOn(curve).why?.code;

describe('the fit of a switch-on to the motor\'s equations', () => {
  it('gives back what the curve was made of, each within its bounds: a tenth of a time constant, a twentieth of the standing current at the least', () => {
    const fit = fitOf(fitSwitchOn(switchOn()));
    expect([fit.standstill_a, fit.tau_mechanical_s, fit.tau_electrical_s]).toEqual([expect.closeTo(20, 2), expect.closeTo(0.04, 4), expect.closeTo(0.002, 5)]);
    expect([fit.low_standstill_a, fit.high_standstill_a]).toEqual([expect.closeTo(19, 2), expect.closeTo(21, 2)]);
    expect([fit.low_mechanical_s, fit.high_mechanical_s]).toEqual([expect.closeTo(0.04 * Math.exp(-0.1), 4), expect.closeTo(0.04 * Math.exp(0.1), 4)]);
    expect([fit.low_electrical_s, fit.high_electrical_s]).toEqual([expect.closeTo(0.002 * Math.exp(-0.1), 5), expect.closeTo(0.002 * Math.exp(0.1), 5)]);
  });

  it('scales with the sensor and with the clock', () => {
    const [plain, larger, slower] = [switchOn({}, 1, 1, 0.05), switchOn({}, 3, 1, 0.05), switchOn({}, 1, 2, 0.05)].map((curve) => fitOf(fitSwitchOn(curve)));
    for (const field of ['standstill_a', 'low_standstill_a', 'high_standstill_a'] as const) expect([larger![field] / plain![field], slower![field] / plain![field]]).toEqual([expect.closeTo(3, 3), expect.closeTo(1, 3)]);
    for (const field of ['tau_mechanical_s', 'low_mechanical_s', 'high_mechanical_s', 'tau_electrical_s'] as const) expect([larger![field]! / plain![field]!, slower![field]! / plain![field]!]).toEqual([expect.closeTo(1, 3), expect.closeTo(2, 3)]);
  });

  it('is wider in noise', () => {
    const width = (sigmaA: number): number => {
      const { low_standstill_a: low, high_standstill_a: high } = fitOf(fitSwitchOn(switchOn({}, 1, 1, sigmaA)));
      return high - low;
    };
    expect(width(0.5)).toBeGreaterThan(width(0.05));
  });

  it('is wider where what is left follows itself, which is worth fewer readings', () => {
    // 2 A either way, by turns of one reading or of thirty
    const width = (turn: number): number => {
      const plain = switchOn({ scatterA: 2 });
      const { low_standstill_a: low, high_standstill_a: high } = fitOf(fitSwitchOn({ ...plain, currentA: plain.currentA.map((amps, i) => amps + (Math.floor(i / turn) % 2 === 0 ? 2 : -2)) }));
      return high - low;
    };
    expect(width(30)).toBeGreaterThan(1.5 * width(1));
  });

  it('tells L/R from the clamp only where it is five times as slow as that can be', () => {
    const electricalS = (clampAtMostS: number | null) => fitOf(fitSwitchOn(switchOn({ clampAtMostS }))).tau_electrical_s;
    expect([electricalS(0.00039), electricalS(0.00041), electricalS(null)]).toEqual([expect.closeTo(0.002, 5), null, null]);
    // the least that it may be is less by all of the clamp
    expect(fitOf(fitSwitchOn(switchOn({ clampAtMostS: 0.0003 }))).low_electrical_s).toBeCloseTo(0.002 * Math.exp(-0.1) - 0.0003, 5);
  });

  it('takes the rise for the clamp\'s where it may be: with poles p < q the standing current is higher by (p + q)/q', () => {
    // s² + 500 s + 12500 = 0: p = 26.3932, q = 473.6068; 1.0557281
    const fit = fitOf(fitSwitchOn(switchOn({ clampS: 0.002, clampAtMostS: 0.002 })));
    expect([fit.standstill_a, fit.tau_mechanical_s]).toEqual([expect.closeTo(20 * 1.0557281, 2), expect.closeTo(0.04 / 1.0557281, 4)]);
    // the bounds hold both readings of the rise
    expect([fit.low_standstill_a < 20, fit.high_mechanical_s > 0.04]).toEqual([true, true]);
    expect(fit.tau_electrical_s).toBeNull();
  });
});

describe('the fit of a fall whose rise was not seen', () => {
  it('gives its time constant, and a standing current between the peak and the fall followed back to the switch, half a reading before', () => {
    const fit = fitOf(fitSwitchOn(fallOnly()));
    // 5 + 10 exp(0.05) = 15.5127 A at the switch; the middle of both
    expect(fit.standstill_a).toBeCloseTo((15 + 15.5127) / 2, 3);
    expect(fit.low_standstill_a).toBeCloseTo(0.9 * 15, 3);
    // half of what a reading of 5 ms moves it by, and a tenth of it for what the equations leave out
    expect(fit.high_standstill_a).toBeCloseTo(15.5127 + Math.hypot(10.5127 * (Math.exp(0.1) - 1) * 0.5, 1.55127), 2);
    // the rise takes half of what went before the peak at the most, 2.5 ms: a twentieth
    expect([fit.tau_mechanical_s, fit.low_mechanical_s, fit.high_mechanical_s]).toEqual([expect.closeTo(0.05 * 1.025, 5), expect.closeTo(0.05 * Math.exp(-0.1), 5), expect.closeTo((0.05 * Math.exp(0.1)) / 0.95, 5)]);
    expect([fit.tau_electrical_s, fit.low_electrical_s, fit.high_electrical_s]).toEqual([null, null, null]);
  });

  it('says why there is none: hardly a fall, too few readings in it, or another shape', () => {
    expect(why(fallOnly({ runA: 0, currentA: fallOnly().timeS.map(() => 15) }))).toBe('small-fall');
    // to a third in 3 readings of five that are needed
    const quick = (tauS: number): SwitchOnCurve => fallOnly({ currentA: fallOnly().timeS.map((atS) => 5 + 10 * Math.exp(-atS / tauS)) });
    expect(fitSwitchOn(quick(0.0149)).why).toEqual({ code: 'few-samples', samples: 3 });
    expect([why(quick(0.0199)), why(quick(0.0249))]).toEqual(['few-samples', undefined]);
    expect(why(fallOnly({ currentA: fallOnly().timeS.map((atS) => (atS < 0.1 ? 15 : 5)) }))).toBe('other-shape');
  });
});
