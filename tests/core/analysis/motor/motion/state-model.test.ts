import { describe, expect, it } from 'vitest';
import { motorParameters, type MotorParameters } from '../../../../../src/core/analysis/motor/motion/motor-parameters.ts';
import type { Plateau } from '../../../../../src/core/analysis/motor/motion/plateaus.ts';
import type { PressView } from '../../../../../src/core/analysis/motor/motion/press-view.ts';
import { levelOdds, standOdds, stateBy } from '../../../../../src/core/analysis/motor/motion/state-model.ts';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise, press } from '../traces.ts';

/** maxon RE 65 at 48 V (datasheet as in tests/reference): R, L, k, J; poles of s² + s/te + 1/(te tm). */
const RE65 = { ohm: 0.365, henry: 0.161e-3, kVs: 0.123, inertia: 1340e-7, volts: 48, slow: 369.57, fast: 1897.51, runA: 0.289 } as const;
const RATE_HZ = 20_000;

/** Its switch-on from rest without friction, by the two poles. */
function switchOnA(atS: number): number {
  return (RE65.volts / RE65.henry / (RE65.fast - RE65.slow)) * (Math.exp(-RE65.slow * atS) - Math.exp(-RE65.fast * atS));
}

function startView(over: Partial<Record<'fromRest' | 'startsMidway', boolean>> = {}): PressView {
  const levelA = Float64Array.from({ length: 800 }, (_value, k) => switchOnA((k + 0.5) / RATE_HZ));
  return {
    press: { startIndex: 0, endIndex: 800, fromRest: true, startsMidway: false, ...over },
    envelope: { step: 1, stepS: 1 / RATE_HZ, cells: 800, startIndex: 0, levelA, rippleVarianceA2: new Float64Array(800) },
    // 105.77 A at 1.071 ms; an exponential of 369.57 a second halves in ln 2/369.57 s
    peak: { index: 0.001071 * RATE_HZ, peakA: 105.77 },
    halfCells: (Math.LN2 / RE65.slow) * RATE_HZ,
    settled: 800,
    plateaus: { top: [] },
    runA: RE65.runA,
  } as unknown as PressView;
}

describe('the motor by its switch-ons', () => {
  it('has the standing current V/R between the peak and the fall followed back to the switch', () => {
    const { standing } = motorParameters([startView()], 0);
    // 0.289 + 105.48 exp(369.57 x 0.001071) = 157.0 A; half way to 105.77 A it is 131.4 A, and 48 V/0.365 ohm is 131.5 A
    expect(standing?.currentA).toBeCloseTo(RE65.volts / RE65.ohm, 0);
    expect(standing?.spread).toBeCloseTo(Math.log(157 / 105.77) / 2, 3);
  });

  it('takes the charge J w/k to gain its speed', () => {
    const { startAs } = motorParameters([startView()], 0);
    const speedRad = RE65.volts / RE65.kVs;
    // less the run, 0.289 A through 40 ms
    expect(Math.abs((startAs as number) / ((RE65.inertia * speedRad) / RE65.kVs) - 1)).toBeLessThan(0.03);
  });

  it('shows neither where the rotor was turning as the switch closed, or the recording began in mid-press', () => {
    for (const view of [startView({ fromRest: false }), startView({ startsMidway: true })]) {
      expect(motorParameters([view], 0)).toMatchObject({ standing: null, startAs: null });
    }
  });
});

/** A motor that runs at 20 A and stands at 100 A (12 V, 0.12 ohm), with a start of 4 A s. */
const MOTOR: MotorParameters = { runA: 20, lowestRunA: 20, standsA: null, standing: { currentA: 100, spread: 0 }, startAs: 4, idleRippleVarianceA2: 1e-4 };

/** A press that runs at 20 A with a ripple of 2 %, then comes by `wayA` to a level. */
function scene(levelA: number, rippleShare: number, wayA: readonly number[] = [], wander = 0.0002): [Plateau, PressView] {
  const cells = [...new Array<number>(100).fill(20), ...wayA, ...new Array<number>(100).fill(levelA)];
  const from = 100 + wayA.length;
  const plateau = { from, approach: from, to: cells.length, levelA, rippleVarianceA2: 1e-4 + (rippleShare * levelA) ** 2, wander };
  const envelope = { step: 50, stepS: 0.005, cells: cells.length, startIndex: 0, levelA: Float64Array.from(cells), rippleVarianceA2: new Float64Array(cells.length) };
  return [plateau, { press: { startsMidway: false }, envelope, runA: 20, cellNoiseA: 0.001, plateaus: { runRippleVarianceA2: 1e-4 + 0.4 ** 2 } } as unknown as PressView];
}

describe('a level beside the standing current', () => {
  it.each([
    // N(0; 0.08) = 4.987 against 1/ln(150/10) = 0.3693: ln(0.995 x 4.987/0.3693 + 0.005)
    [100, 2.599],
    // ln 0.9 is 1.317 deviations off: exp(-0.867) = 0.420 of it
    [90, 1.733],
    // a copper winding warmed by 50 K: 1/(1 + 0.00393 x 50) = 0.836, 2.24 deviations: as likely either way
    [83.6, 0.1],
    // the end of a window's travel over its switch-on: ln 1.18 is 2.07 deviations of the one, 0.118 x 4.987, and 0.662 of the other, 0.803 x 2/(0.25 sqrt(2 pi)); half of the sum, 1.575
    [118, 1.447],
    // w = (v - R i)/k is half of full speed: nothing but the one in 200 that no model holds
    [50, Math.log(0.005)],
  ])('of 100 A speaks at %s A with ln odds of %s', (levelA, odds) => {
    expect(levelOdds(levelA, 20, { currentA: 100, spread: 0 })).toBeCloseTo(odds, 1);
  });

  it('says less where the switch-on leaves the standing current open', () => {
    expect(levelOdds(75, 20, { currentA: 100, spread: 0.2 })).toBeGreaterThan(levelOdds(75, 20, { currentA: 100, spread: 0 }));
    expect(levelOdds(100, 20, { currentA: 100, spread: 0.2 })).toBeLessThan(levelOdds(100, 20, { currentA: 100, spread: 0 }));
  });
});

describe('a high level of a press', () => {
  const stateOf = ([plateau, view]: [Plateau, PressView], motor = MOTOR): string => stateBy(standOdds(plateau, view, motor));

  it('is a motor that stands where it is at V/R, even and without ripple', () => {
    expect(stateOf(scene(97, 0))).toBe('stands');
  });

  it('is one that turns at 40 % of full speed, however even and calm', () => {
    expect(stateOf(scene(60, 0))).toBe('turns');
  });

  it('is not told where it is at V/R and even, but ripples as the run does; with the waves of a load it turns', () => {
    expect(stateOf(scene(97, 0.02))).toBe('unclear');
    expect(stateOf(scene(97, 0.02, [], 0.01))).toBe('turns');
  });

  it('is not told where nothing but its evenness speaks', () => {
    const [plateau, view] = scene(60, 0);
    const noRipple = { ...view, plateaus: { runRippleVarianceA2: 1e-4 } } as unknown as PressView;
    expect(stateBy(standOdds(plateau, noRipple, { ...MOTOR, standing: null }))).toBe('unclear');
  });

  it('stands after a rebound, which takes a tenth of the charge of a start, and has gained speed after half of it', () => {
    // 0.4 A s and 2 A s above 97/0.92 = 105.4 A, in cells of 5 ms
    const rebound = scene(97, 0, [60, 125.4, 125.4, 125.4, 125.4]);
    const gain = scene(97, 0, [60, ...new Array<number>(20).fill(125.4)]);
    expect(stateOf(rebound)).toBe('stands');
    expect(stateOf(gain)).not.toBe('stands');
    expect(standOdds(...gain, MOTOR) - standOdds(...rebound, MOTOR)).toBeCloseTo(Math.log(0.005), 6);
  });
});

describe('a motor that hits its stop at speed', () => {
  // runs at 4 A of 14 A; thrown back with 0.4 of its speed it draws up to 14 + 0.4 x 10 = 18 A for some milliseconds
  it('stands, though its current falls from what a rotor thrown back draws', () => {
    const n = noise(0.01);
    const amps = (t: number): number => (t < 2 || t >= 3 ? press(t, 1, 3, 13.6, 4, 0.05) : 14 + 6 * Math.exp(-(t - 2) / 0.012));
    const { finding, stalls } = analyseActuation(draw(2000, 4, (t) => (t >= 3 ? 0 : amps(t)) + n()), {}).actuations[0];
    expect(finding).toBe('stalled');
    expect(stalls.map(({ level_a: levelA }) => Math.round(levelA))).toEqual([14]);
  });

  it('still turns on a heavy stretch at 60 % of its standing current, flat as it is', () => {
    const n = noise(0.01);
    const amps = (t: number): number => press(t, 1, 4, 13.6, 4, 0.05) + (t >= 2 && t < 2.6 ? 4.4 * (1 - Math.exp(-(t - 2) / 0.03)) : t >= 2.6 && t < 4 ? 4.4 * Math.exp(-(t - 2.6) / 0.03) : 0);
    expect(analyseActuation(draw(2000, 5, (t) => amps(t) + n()), {}).actuations[0]?.stalls).toEqual([]);
  });
});
