import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { ripplesPerRevolution } from '../../src/core/reference/motor.ts';
import { type MotorDrive, type MotorParameters, type MotorState, stepBroken, stepMotor } from '../../src/simulate/motor.ts';

const PLAIN = { viscousNmSPerRad: 0, dryFrictionNm: 0, brushes: 2, segments: 10, rippleDepth: 0, badSegmentOhm: 0 };

/**
 * maxon RE 65, order no. 353297, 48 V: datasheet values as copied by a user into pastebin.com/7kFwyXJK. 0.365 ohm, 0.161 mH,
 * 123 mNm/A, 1340 gcm2, 2 pole pairs, 26 segments, no-load current 289 mA; the sheet gives 131 A stall, 3.25 ms mechanical time constant.
 */
const RE65: MotorParameters = {
  ...PLAIN,
  resistanceOhm: 0.365,
  inductanceH: 0.161e-3,
  torqueConstantNmPerA: 0.123,
  inertiaKgM2: 1340e-7,
  brushes: 4,
  segments: 26,
};
const RE65_NO_LOAD_NM = 0.123 * 0.289;

interface Run {
  readonly timeS: Float64Array;
  readonly currentA: Float64Array;
  readonly speedRadPerS: Float64Array;
  readonly end: MotorState;
}

function run(motor: MotorParameters, drive: Partial<MotorDrive>, stepS: number, durationS: number): Run {
  const steps = Math.round(durationS / stepS);
  const timeS = new Float64Array(steps + 1);
  const currentA = new Float64Array(steps + 1);
  const speedRadPerS = new Float64Array(steps + 1);
  const state: MotorState = { currentA: 0, speedRadPerS: 0, angleRad: 0 };
  const full: MotorDrive = { emfV: 0, loopOhm: 0, loadNm: 0, breakawayNm: drive.loadNm ?? 0, ...drive };
  for (let i = 0; i <= steps; i++) {
    timeS[i] = i * stepS;
    currentA[i] = state.currentA;
    speedRadPerS[i] = state.speedRadPerS;
    stepMotor(state, motor, full, stepS);
  }
  return { timeS, currentA, speedRadPerS, end: state };
}

function peak(values: Float64Array): number {
  return values.indexOf(Math.max(...values));
}

function timeToReach(run: Run, values: Float64Array, level: number): number {
  return run.timeS[values.findIndex((value) => value >= level)];
}

const rpm = (radPerS: number): number => (radPerS * 60) / (2 * Math.PI);

describe('the motor of the published 48 V datasheet', () => {
  test('stalls at 131.5 A with its shaft held', () => {
    const held = run(RE65, { emfV: 48, breakawayNm: 1e6 }, 10e-6, 0.02);
    expect(held.end.currentA).toBeCloseTo(131.5, 1); // 48 V / 0.365 ohm; sheet: 131 A
    expect(held.end.speedRadPerS).toBe(0);
  });

  test('draws an inrush peak of 105.77 A at 1.071 ms without friction', () => {
    // analytic two-pole solution with poles -369.57 and -1897.51 1/s
    const started = run(RE65, { emfV: 48 }, 1e-6, 0.005);
    const at = peak(started.currentA);
    expect(started.currentA[at]).toBeCloseTo(105.77, 2);
    expect(started.timeS[at] * 1e3).toBeCloseTo(1.071, 2);
  });

  test('draws an inrush peak of 105.84 A at 1.072 ms with the dry friction of its no-load current', () => {
    // independent numeric solution of the same equations; two solvers that begin the friction differently agree to a ten-thousandth
    const started = run({ ...RE65, dryFrictionNm: RE65_NO_LOAD_NM }, { emfV: 48 }, 1e-6, 0.005);
    const at = peak(started.currentA);
    expect(Math.abs(started.currentA[at] / 105.84 - 1)).toBeLessThan(1e-4);
    expect(Math.abs(started.timeS[at] * 1e3 - 1.072)).toBeLessThan(0.0025);
  });

  test('answers a step of voltage with the two poles of its equations', () => {
    const [slow, fast] = [369.57, 1897.51];
    const started = run(RE65, { emfV: 48 }, 1e-6, 0.012);
    for (const index of [300, 1071, 3233, 6000, 12_000]) {
      const t = started.timeS[index];
      const analyticA = (48 / RE65.inductanceH / (fast - slow)) * (Math.exp(-slow * t) - Math.exp(-fast * t));
      expect(started.currentA[index]).toBeCloseTo(analyticA, 2);
    }
  });

  test('has a mechanical time constant of 3.233 ms when its inductance does not matter', () => {
    const swift = run({ ...RE65, inductanceH: RE65.inductanceH / 2000 }, { emfV: 48 }, 0.02e-6, 0.0034);
    const finalRadPerS = 48 / 0.123;
    expect(timeToReach(swift, swift.speedRadPerS, finalRadPerS * (1 - Math.exp(-1))) * 1e3).toBeCloseTo(3.233, 2); // R J / k2; sheet: 3.25 ms
  });

  test('has an electrical time constant of 0.4411 ms with its shaft held', () => {
    const held = run(RE65, { emfV: 48, breakawayNm: 1e6 }, 1e-6, 0.002);
    expect(timeToReach(held, held.currentA, (48 / 0.365) * (1 - Math.exp(-1))) * 1e3).toBeCloseTo(0.4411, 2);
  });

  test('turns at 3718 rpm without load and at 3534 rpm with 6.79 A under 800 mNm', () => {
    const idle = run({ ...RE65, dryFrictionNm: RE65_NO_LOAD_NM }, { emfV: 48 }, 20e-6, 0.1);
    expect(rpm(idle.end.speedRadPerS)).toBeCloseTo(3718, -0.5); // sheet: 3670
    expect(idle.end.currentA).toBeCloseTo(0.289, 3);
    const nominal = run({ ...RE65, dryFrictionNm: RE65_NO_LOAD_NM }, { emfV: 48, loadNm: 0.8 }, 20e-6, 0.1);
    expect(nominal.end.currentA).toBeCloseTo(6.79, 1); // sheet: 6.8 A
    expect(Math.abs(rpm(nominal.end.speedRadPerS) - 3534)).toBeLessThan(3);
  });

  test('shows 52 ripples a revolution, 3180.7 Hz at 3670 rpm', () => {
    const currentA = (48 - 0.123 * ((3670 * 2 * Math.PI) / 60)) / 0.365;
    const turning = run({ ...RE65, rippleDepth: 0.02 }, { emfV: 48, loadNm: 0.123 * currentA }, 5e-6, 1.1);
    // count rising crossings of the mean over one second after the inrush
    let crossings = 0;
    for (let i = 20_001; i <= 220_000; i++) if (turning.currentA[i - 1] < currentA && turning.currentA[i] >= currentA) crossings += 1;
    expect(Math.abs(crossings - 3180.7)).toBeLessThan(2);
  });
});

describe('other published motors', () => {
  test('the CTMS "DC Motor Speed" motor answers with poles -2.0025 and -9.9975 and settles at 0.0999 rad/s and 0.999 A per volt', () => {
    // University of Michigan, Control Tutorials: J 0.01, b 0.1, K 0.01, R 1, L 0.5 (parameters from memory)
    const motor = { ...PLAIN, resistanceOhm: 1, inductanceH: 0.5, torqueConstantNmPerA: 0.01, inertiaKgM2: 0.01, viscousNmSPerRad: 0.1 };
    const stepped = run(motor, { emfV: 1 }, 1e-3, 8);
    expect(stepped.end.speedRadPerS).toBeCloseTo(0.0999, 4);
    expect(stepped.end.currentA).toBeCloseTo(0.999, 4);
    const [a, b] = [2.0025, 9.9975];
    for (const t of [0.1, 0.5, 1, 2, 3]) {
      const analytic = 0.0999 * (1 - (b * Math.exp(-a * t) - a * Math.exp(-b * t)) / (b - a));
      expect(stepped.speedRadPerS[Math.round(t * 1000)]).toBeCloseTo(analytic, 5);
    }
  });

  test('a maxon DCX 32 L (24 V) stalls at 222 A with time constants of 0.315 ms and 1.05 ms', () => {
    // public transcription of its data: 0.108 ohm, 0.034 mH, 27.3 mNm/A, 72.8 gcm2
    const motor = { ...PLAIN, resistanceOhm: 0.108, inductanceH: 0.034e-3, torqueConstantNmPerA: 0.0273, inertiaKgM2: 72.8e-7 };
    const held = run(motor, { emfV: 24, breakawayNm: 1e6 }, 1e-6, 0.005);
    expect(held.end.currentA).toBeCloseTo(222, 0);
    expect(timeToReach(held, held.currentA, (24 / 0.108) * (1 - Math.exp(-1))) * 1e3).toBeCloseTo(0.315, 2);
    const swift = run({ ...motor, inductanceH: motor.inductanceH / 1000 }, { emfV: 24 }, 0.05e-6, 0.0012);
    expect(timeToReach(swift, swift.speedRadPerS, (24 / 0.0273) * (1 - Math.exp(-1))) * 1e3).toBeCloseTo(1.055, 2);
  });

  test('a Faulhaber 2342 (24 V) stalls at 3.38 A and turns 365.9 rpm per volt', () => {
    // public transcription: 7.10 ohm, 0.265 mH, 26.10 mNm/A; rotor inertia does not matter here
    const motor = { ...PLAIN, resistanceOhm: 7.1, inductanceH: 0.265e-3, torqueConstantNmPerA: 0.0261, inertiaKgM2: 5.8e-7 };
    expect(run(motor, { emfV: 24, breakawayNm: 1e6 }, 5e-6, 0.005).end.currentA).toBeCloseTo(3.38, 2);
    expect(rpm(run(motor, { emfV: 24 }, 5e-6, 0.15).end.speedRadPerS) / 24).toBeCloseTo(365.9, 1);
  });

  test('a small 18 V servo trainer motor has time constants of 0.138 ms and 19.0 ms', () => {
    // public transcription: 8.4 ohm, 1.16 mH, 0.042, 4e-6
    const motor = { ...PLAIN, resistanceOhm: 8.4, inductanceH: 1.16e-3, torqueConstantNmPerA: 0.042, inertiaKgM2: 4e-6 };
    const held = run(motor, { emfV: 18, breakawayNm: 1e6 }, 1e-6, 0.001);
    expect(timeToReach(held, held.currentA, (18 / 8.4) * (1 - Math.exp(-1))) * 1e3).toBeCloseTo(0.138, 2);
    const started = run(motor, { emfV: 18 }, 2e-6, 0.03);
    expect(timeToReach(started, started.speedRadPerS, (18 / 0.042) * (1 - Math.exp(-1))) * 1e3).toBeCloseTo(19.1, 0);
  });
});

describe('commutator', () => {
  // public text of a driver for the TI DRV821x ripple counter: ripples per revolution = LCM(brushes, segments)
  test.each([
    [3, 6, 12],
    [5, 10, 20],
    [7, 14, 28],
    [8, 8, 8],
    [10, 10, 20],
    [12, 12, 12],
    [14, 14, 28],
    [26, 26, 52],
  ])('%i segments give %i ripples a revolution with two brushes and %i with four', (segments, two, four) => {
    expect(ripplesPerRevolution(2, segments)).toBe(two);
    expect(ripplesPerRevolution(4, segments)).toBe(four);
  });

  test('ripple does not change the mean running current', () => {
    const smooth = run(RE65, { emfV: 48, loadNm: 0.5 }, 5e-6, 0.2);
    const rippled = run({ ...RE65, rippleDepth: 0.05 }, { emfV: 48, loadNm: 0.5 }, 5e-6, 0.2);
    const mean = (values: Float64Array): number => values.subarray(20_000).reduce((sum, value) => sum + value, 0) / (values.length - 20_000);
    expect(mean(rippled.currentA) / mean(smooth.currentA)).toBeCloseTo(1, 2);
  });

  test('a burnt segment takes one bite out of the current in each revolution', () => {
    const sound = run({ ...RE65, rippleDepth: 0.02 }, { emfV: 48, loadNm: 0.8 }, 5e-6, 0.6);
    const burnt = run({ ...RE65, rippleDepth: 0.02, badSegmentOhm: 0.3 }, { emfV: 48, loadNm: 0.8 }, 5e-6, 0.6);
    const lowest = Math.min(...sound.currentA.subarray(20_000));
    const level = lowest - 0.2;
    let bites = 0;
    for (let i = 20_001; i < burnt.currentA.length; i++) if (burnt.currentA[i - 1] > level && burnt.currentA[i] <= level) bites += 1;
    let turns = 0;
    for (let i = 20_001; i < burnt.speedRadPerS.length; i++) turns += (burnt.speedRadPerS[i] * 5e-6) / (2 * Math.PI);
    expect(Math.abs(bites - turns)).toBeLessThanOrEqual(1.5);
  });
});

describe('a circuit that is broken', () => {
  const motor = { ...PLAIN, resistanceOhm: 0.5, inductanceH: 0.5e-3, torqueConstantNmPerA: 0.02, inertiaKgM2: 1e-4, viscousNmSPerRad: 1e-4, dryFrictionNm: 0.01 };
  const drive: MotorDrive = { emfV: 12, loopOhm: 0.1, loadNm: 0.03, breakawayNm: 0.05 };
  const broken = (currentA: number, speedRadPerS: number, stepS: number): MotorState => {
    const state = { currentA, speedRadPerS, angleRad: 1 };
    stepBroken(state, motor, drive, 20, stepS);
    return state;
  };

  test('loses its current to the arc, the winding and the back-EMF, and friction slows the shaft', () => {
    // (20 V + 0.5 ohm x 10 A + 0.02 Vs x 100 rad/s) / 0.5 mH = 54,000 A/s; (1e-4 x 100 + 0.01 + 0.03) Nm / 1e-4 kgm2 = 500 rad/s2; 10 us
    const after = broken(10, 100, 10e-6);
    expect(after.currentA).toBeCloseTo(9.46, 9);
    expect(after.speedRadPerS).toBeCloseTo(99.995, 9);
    expect(after.angleRad).toBeCloseTo(1.001, 9);
    // against the motion the back-EMF keeps the current up: (20 + 5 - 2) / 0.5 mH = 46,000 A/s
    expect(broken(-10, 100, 10e-6).currentA).toBeCloseTo(-9.54, 9);
  });

  test('is the same mirrored, and stands still at no current and no speed', () => {
    const [one, other] = [broken(10, 100, 10e-6), broken(-10, -100, 10e-6)];
    expect([other.currentA, other.speedRadPerS, other.angleRad - 1]).toEqual([-one.currentA, -one.speedRadPerS, expect.closeTo(1 - one.angleRad, 12)]);
    // 0.5 A are gone in 0.5 / 40,500 s = 12 us
    expect([broken(0.5, 0, 13e-6).currentA, broken(-0.5, 0, 13e-6).currentA]).toEqual([0, 0]);
    expect(broken(0.5, 0, 12e-6).currentA).toBeGreaterThan(0);
    expect(broken(0, 0, 10e-6)).toEqual({ currentA: 0, speedRadPerS: 0, angleRad: 1 });
    expect([broken(0, 1e-4, 1e-3).speedRadPerS, broken(0, -1e-4, 1e-3).speedRadPerS]).toEqual([0, 0]);
  });
});

describe('laws the motor has to keep', () => {
  test('energy in equals heat, friction and what is stored, for any motor', () => {
    // conservation of energy is the outside check; trapezoids over the simulated run
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 5, noNaN: true }),
        fc.double({ min: 0.005, max: 0.1, noNaN: true }),
        fc.double({ min: 0.5e-3, max: 5e-3, noNaN: true }),
        fc.double({ min: 5e-3, max: 80e-3, noNaN: true }),
        fc.double({ min: 0, max: 0.6, noNaN: true }),
        (resistanceOhm, k, electricalS, mechanicalS, loadShare) => {
          const inductanceH = electricalS * resistanceOhm;
          const inertiaKgM2 = (mechanicalS * k * k) / resistanceOhm;
          const motor = { ...PLAIN, resistanceOhm, inductanceH, torqueConstantNmPerA: k, inertiaKgM2, viscousNmSPerRad: (0.05 * k * k) / resistanceOhm };
          const loadNm = (loadShare * 12 * k) / resistanceOhm;
          const stepS = electricalS / 100;
          const { currentA, speedRadPerS, end } = run(motor, { emfV: 12, loadNm }, stepS, 40 * electricalS);
          let inJ = 0;
          let lostJ = 0;
          for (let i = 1; i < currentA.length; i++) {
            const power = (at: number): number =>
              resistanceOhm * currentA[at] ** 2 + motor.viscousNmSPerRad * speedRadPerS[at] ** 2 + loadNm * Math.abs(speedRadPerS[at]);
            inJ += 6 * (currentA[i] + currentA[i - 1]) * stepS;
            lostJ += ((power(i) + power(i - 1)) / 2) * stepS;
          }
          const last = currentA.length - 1;
          const storedJ = 0.5 * inductanceH * currentA[last] ** 2 + 0.5 * inertiaKgM2 * speedRadPerS[last] ** 2;
          expect((lostJ + storedJ) / inJ).toBeCloseTo(1, 2);
          expect(Number.isFinite(end.currentA)).toBe(true);
        },
      ),
      { numRuns: 60 },
    );
  });

  test('friction stops a coasting shaft and never turns it back', () => {
    const state: MotorState = { currentA: 0, speedRadPerS: 100, angleRad: 0 };
    const drive: MotorDrive = { emfV: 0, loopOhm: 1e6, loadNm: 0.3, breakawayNm: 0.3 };
    let least = Infinity;
    for (let i = 0; i < 20_000; i++) {
      stepMotor(state, { ...RE65, inductanceH: 1e3 }, drive, 20e-6);
      least = Math.min(least, state.speedRadPerS);
    }
    expect(least).toBe(0);
    expect(state.speedRadPerS).toBe(0);
  });
});
