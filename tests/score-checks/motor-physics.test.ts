import { describe, expect, it } from 'vitest';
import { Lamp, Solenoid } from '../score/situations/motor/physics/loads.ts';
import { Geared, PLAIN } from '../score/situations/motor/physics/mechanism.ts';
import { Motor, ripplesPerTurn, type MotorSpec } from '../score/situations/motor/physics/motor.ts';
import { CutOut, MotorPart } from '../score/situations/motor/physics/parts.ts';
import { Timeline } from '../score/situations/motor/physics/timeline.ts';

/** maxon RE 65, order no. 353297, 48 V: the datasheet's R, L, torque constant, inertia, segments */
const RE65: MotorSpec = {
  ohm: 0.365, henry: 0.161e-3, kVs: 0.123, inertia: 1340e-7, poles: 4, segments: 26, rippleDepth: 0, rippleSecond: 0, turnDepth: 0, brushSwing: 0, brushRough: 0,
  brushDropV: 0, coggingNm: 0, frictionNm: 0, badSegmentOhm: null, kelvinPerJoule: 0,
};

function spunUp(spec: MotorSpec, volts: number, seconds: number, stepS: number): { motor: Motor; peakA: number; peakAtS: number } {
  const motor = new Motor(spec, new Geared(PLAIN));
  let peakA = 0;
  let peakAtS = 0;
  for (let step = 1; step * stepS <= seconds; step++) {
    motor.advance(volts, 0, stepS, step * stepS);
    if (motor.currentA > peakA) {
      peakA = motor.currentA;
      peakAtS = step * stepS;
    }
  }
  return { motor, peakA, peakAtS };
}

describe('the motor of the situations', () => {
  it('starts as the two-pole solution says: maxon RE 65 at 48 V peaks at 105.77 A after 1.071 ms', () => {
    const { peakA, peakAtS } = spunUp(RE65, 48, 0.01, 2e-7);
    expect(peakA).toBeCloseTo(105.77, 1);
    expect(peakAtS * 1000).toBeCloseTo(1.071, 2);
  });

  it('idles as the datasheet says: 289 mA at about 3670 turns a minute (+1.3 % by the formulas)', () => {
    const { motor } = spunUp({ ...RE65, frictionNm: 0.123 * 0.289 }, 48, 0.2, 2e-6);
    expect(motor.currentA).toBeCloseTo(0.289, 3);
    expect((motor.speed * 60) / (2 * Math.PI) / 3718).toBeCloseTo(1, 2);
  });

  it('draws V/R standing: the datasheet\'s 131 A', () => {
    const { motor } = spunUp({ ...RE65, frictionNm: 1000 }, 48, 0.02, 1e-5);
    expect(motor.speed).toBe(0);
    expect(motor.currentA).toBeCloseTo(131.5, 1);
  });

  it('settles at the University of Michigan\'s DC motor speed example: 0.0999 rad/s and 0.999 A per volt', () => {
    // its viscous friction b = 0.1 acts as the mechanism's
    const motor = new Motor({ ...RE65, ohm: 1, henry: 0.5, kVs: 0.01, inertia: 0.01 }, new Geared({ ...PLAIN, viscous: 0.1 }));
    for (let step = 0; step < 60_000; step++) motor.advance(1, 0, 1e-4, step * 1e-4);
    expect(motor.speed).toBeCloseTo(0.0999, 4);
    expect(motor.currentA).toBeCloseTo(0.999, 3);
  });

  it('counts ripples a turn as the least common multiple of brushes and segments (TI DRV821x; table for 2 and 4 brushes)', () => {
    const table: [number, number, number][] = [[3, 6, 12], [5, 10, 20], [7, 14, 28], [8, 8, 8], [10, 10, 20], [12, 12, 12], [14, 14, 28], [26, 26, 52]];
    for (const [segments, two, four] of table) {
      expect(ripplesPerTurn(2, segments)).toBe(two);
      expect(ripplesPerTurn(4, segments)).toBe(four);
    }
  });

  it('ripples at that many a turn: RE 65 at 3670 turns a minute gives 3181 Hz', () => {
    const { motor } = spunUp({ ...RE65, rippleDepth: 0.01, frictionNm: 0.123 * 0.289 }, 47.37, 0.1, 1e-5);
    const turnsPerS = motor.speed / (2 * Math.PI);
    let crossings = 0;
    let before = 0;
    let mean = 0;
    const values: number[] = [];
    for (let step = 0; step < 20_000; step++) {
      motor.advance(47.37, 0, 1e-5, 1);
      values.push(motor.currentA);
      mean += motor.currentA / 20_000;
    }
    for (const value of values) {
      if (before < mean && value >= mean) crossings++;
      before = value;
    }
    expect(turnsPerS * 60).toBeCloseTo(3670, -1);
    expect(Math.abs(crossings / 0.2 / (52 * turnsPerS) - 1)).toBeLessThan(0.02);
  });
});

describe('the other loads of the situations', () => {
  it('a filament lamp draws 10 to 15 times its running current and is near it after 50 ms (lamptech.co.uk)', () => {
    for (const [watt, hotK] of [[21, 2500], [55, 2700], [60, 2900]] as const) {
      const lamp = new Lamp(12, watt, hotK, 0.04, new Timeline([{ fromS: 0, toS: 9, polarity: 1, brake: false }], []));
      const times = (): number => (12 * lamp.siemens) / (watt / 12);
      lamp.prepare(0);
      const cold = times();
      for (let step = 0; step < 500; step++) {
        lamp.prepare(step * 1e-4);
        lamp.advance(12, 1e-4);
      }
      expect(cold).toBeGreaterThan(10);
      expect(cold).toBeLessThan(16);
      expect(times()).toBeLessThan(1.35);
      for (let step = 0; step < 5000; step++) {
        lamp.prepare(0.05 + step * 1e-4);
        lamp.advance(12, 1e-4);
      }
      expect(times()).toBeCloseTo(1, 2);
    }
  });

  it('a solenoid\'s current dips as its plunger moves and ends at V/R; a stuck one shows no dip (TI SSIY001)', () => {
    const currents = (stuck: boolean): number[] => {
      const coil = new Solenoid({ ohm: 6, henryOut: 0.06, henryIn: 0.13, pullA: 1.2, travelS: 0.006, stuck }, new Timeline([{ fromS: 0, toS: 9, polarity: 1, brake: false }], []));
      return Array.from({ length: 4000 }, (_, step) => {
        coil.prepare(step * 5e-5);
        const current = coil.heldA;
        coil.advance(12, 5e-5, step * 5e-5);
        return current;
      });
    };
    const dips = (values: number[]): number => values.reduce((deepest, value, index) => Math.max(deepest, (index === 0 ? 0 : Math.max(...values.slice(Math.max(0, index - 400), index))) - value), 0);
    expect(dips(currents(false))).toBeGreaterThan(0.1);
    expect(dips(currents(true))).toBeLessThan(1e-6);
    expect(currents(false).at(-1)).toBeCloseTo(2, 2);
    expect(currents(true).at(-1)).toBeCloseTo(2, 2);
  });

  it('a PTC cut-out chokes a standing seat motor to less than 1 A within 4 to 90 s (Toyota service data)', () => {
    // a seat motor of 4 A running, 18 A standing
    const cutout = new CutOut({ kind: 'ptc', holdA: 6.5, tripS: 6, resetS: 60, coldOhm: 0.03, hotOhm: 30 });
    const spec: MotorSpec = { ...RE65, ohm: 0.62, henry: 0.5e-3, kVs: 0.03, inertia: 1e-5, frictionNm: 10 };
    const part = new MotorPart(new Motor(spec, new Geared(PLAIN)), new Timeline([{ fromS: 0, toS: 100, polarity: 1, brake: false }], []), 0.01, null, cutout);
    let chokedS = 0;
    for (let step = 0; step * 1e-3 < 90 && chokedS === 0; step++) {
      part.prepare(step * 1e-3);
      part.advance(12.5, 1e-3, step * 1e-3);
      if (step > 100 && part.wireA < 1) chokedS = step * 1e-3;
    }
    expect(chokedS).toBeGreaterThan(4);
    expect(chokedS).toBeLessThan(90);
  });
});
