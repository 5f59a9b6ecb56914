import { describe, expect, test } from 'vitest';
import { Mechanism, type MechanismParameters } from '../../src/simulate/mechanism.ts';
import { CLAMP_30A, outAndBack, SIDE_STEP, SIDE_STEP_FEED, SIDE_STEP_MOTOR } from '../../src/simulate/motor-parts.ts';
import { type FeedParameters, MotorVehicle } from '../../src/simulate/motor-vehicle.ts';
import { Random } from '../../src/simulate/random.ts';
import { MotorTruthLog } from '../../src/simulate/truth-log.ts';

const RATE_HZ = 1000;
const vehicleOf = (mechanism: Partial<MechanismParameters>, feed: Partial<FeedParameters>): MotorVehicle =>
  new MotorVehicle({ motor: SIDE_STEP_MOTOR, mechanism: { ...SIDE_STEP, ...mechanism }, feed: { ...SIDE_STEP_FEED, ...feed }, script: outAndBack(3), rateHz: RATE_HZ, current: { ...CLAMP_30A, noise: 0, offset: 0, bits: 16, driftPerHour: 0 }, voltage: null, finding: 'normal', runFinding: 'normal' }, 1);

describe('a thermal cut-out in a seized motor', () => {
  /** 12.6 V over 0.9 ohm are 14 A, twice what it holds: its heat nears 4 with a time constant of 10 s, opens it at 1 and closes it at a half. */
  const thermal = { holdA: 7, timeConstantS: 10, closesAt: 0.5 };
  const opensAfterS = 10 * Math.log(4 / 3);
  const closesAfterS = 10 * Math.log(2);
  const pressed = (): MotorVehicle => {
    const vehicle = vehicleOf({ seized: true }, { thermal });
    vehicle.setSwitch('forward');
    return vehicle;
  };
  const carries = (currentA: Float32Array): boolean => currentA.some((value) => value > 1);

  test('opens when it has been heated long enough, and closes when it has cooled, with the switch held', () => {
    const { currentA } = pressed().next(11 * RATE_HZ);
    const openS = currentA.findLastIndex((value, i) => value > 1 && i < 5 * RATE_HZ) / RATE_HZ;
    expect(Math.abs(openS - opensAfterS)).toBeLessThan(0.1);
    const closedS = currentA.findIndex((value, i) => value > 1 && i > 5 * RATE_HZ) / RATE_HZ;
    expect(closedS - openS).toBeCloseTo(closesAfterS, 1);
  });

  test('cools just so with the switch off, and lets nothing through before', () => {
    const vehicle = pressed();
    vehicle.next(4 * RATE_HZ);
    vehicle.setSwitch('off');
    // until 5 s after it opened
    vehicle.next(Math.round((opensAfterS + 5 - 4) * RATE_HZ));
    vehicle.setSwitch('forward');
    expect(carries(vehicle.next(RATE_HZ).currentA)).toBe(false);
    vehicle.setSwitch('off');
    // until 7.5 s after
    vehicle.next(1.5 * RATE_HZ);
    vehicle.setSwitch('forward');
    expect(carries(vehicle.next(RATE_HZ / 2).currentA)).toBe(true);
  });
});

describe('the end of the travel', () => {
  /** Amperes against the direction of the press, after a limit switch has opened with the switch still held. */
  const brakingA = (limitsBrake: boolean): number => {
    const vehicle = vehicleOf({ limitsBrake, startAtRevolutions: 60 }, {});
    vehicle.setSwitch('forward');
    return -Math.min(...vehicle.next(4 * RATE_HZ).currentA);
  };

  test('lets the motor coast, or shorts it as wiper park switches do', () => {
    expect(brakingA(SIDE_STEP.limitsBrake)).toBeLessThan(0.01);
    // a run of 3.9 A at 12.6 V over 0.9 ohm has 9 V of back-EMF; over 0.86 ohm of winding and brake those are 10 A, less what the coil holds back: more than the run draws
    expect(brakingA(true)).toBeGreaterThan(3.8);
  });

  test('is never reached through a broken gear, which carries no load either', () => {
    const [sound, broken] = [false, true].map((gearBroken) => new Mechanism({ ...SIDE_STEP, gearBroken }, new Random(1)));
    for (const mechanism of [sound!, broken!]) mechanism.moveBy(101);
    expect([sound!.limitOpen(1), broken!.limitOpen(1), broken!.positionRevolutions, broken!.frictionNm(1)]).toEqual([true, false, 0, 0]);
    expect(sound!.frictionNm(1)).toBeGreaterThan(SIDE_STEP.stopNmPerRevolution);
  });
});

describe('what a recording knows of its own contacts', () => {
  const dropoutsOf = (steps: readonly (readonly [timeS: number, fed: boolean])[]): readonly { startS: number; endS: number }[] => {
    const log = new MotorTruthLog('normal');
    for (const [timeS, fed] of steps) log.step(timeS, fed, 'forward', true, 4, 1);
    return log.dropouts;
  };

  test('is a dropout from its beginning to its end, and no hop of a contact that closes', () => {
    expect(dropoutsOf([[1, true], [1.5, false], [1.505, false], [1.51, true]])).toEqual([{ startS: 1.5, endS: 1.51 }]);
    // within 20 ms of the press, and no longer than 2 ms
    expect(dropoutsOf([[1, true], [1.015, false], [1.025, true]])).toEqual([]);
    expect(dropoutsOf([[1, true], [1.5, false], [1.5015, true]])).toEqual([]);
    // not over yet, or over with the press
    expect(dropoutsOf([[1, true], [1.5, false]])).toEqual([]);
  });
});
