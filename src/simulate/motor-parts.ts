import type { MechanismParameters } from './mechanism.ts';
import type { MotorParameters } from './motor.ts';
import type { FeedParameters } from './motor-vehicle.ts';
import type { SwitchScript } from './script.ts';
import type { SensorParameters } from './sensor.ts';

/**
 * Parts the motor scenarios are built from. Levels: a small slide motor draws 3 to 5 A moving and 12 to 15 A jammed (common practice, no
 * published source); the rest is chosen so that the motor equations give currents of the size that published window and wiper
 * figures show. No part is a real maker's.
 */
export const SIDE_STEP_MOTOR: MotorParameters = {
  resistanceOhm: 0.8,
  inductanceH: 1.2e-3,
  torqueConstantNmPerA: 0.032,
  inertiaKgM2: 7e-5,
  viscousNmSPerRad: 3.2e-5,
  dryFrictionNm: 0.019,
  brushes: 2,
  segments: 8,
  rippleDepth: 0.14,
  badSegmentOhm: 0,
};

export const SIDE_STEP: MechanismParameters = {
  travelRevolutions: 100,
  startAtRevolutions: 0,
  forwardNm: 0.093,
  reverseNm: 0.084,
  unevenness: 0.1,
  stiction: 1.3,
  stopNmPerRevolution: 0.22,
  limitSwitches: true,
  limitsBrake: false,
  jamAtRevolutions: null,
  seized: false,
  gearBroken: false,
  drag: null,
};

export const SIDE_STEP_FEED: FeedParameters = {
  batteryV: 12.6,
  batteryOhm: 0.02,
  wiringOhm: 0.08,
  brakingOhm: 0.06,
  thermal: null,
  worn: null,
  motorOpen: false,
};

export const DOOR_MOTOR: MotorParameters = {
  resistanceOhm: 0.55,
  inductanceH: 0.8e-3,
  torqueConstantNmPerA: 0.035,
  inertiaKgM2: 2.4e-4,
  viscousNmSPerRad: 4e-5,
  dryFrictionNm: 0.03,
  brushes: 2,
  segments: 10,
  rippleDepth: 0.12,
  badSegmentOhm: 0,
};

export const SLIDING_DOOR: MechanismParameters = {
  ...SIDE_STEP,
  travelRevolutions: 110,
  forwardNm: 0.15,
  reverseNm: 0.165,
  unevenness: 0.15,
  stopNmPerRevolution: 0.35,
  limitsBrake: true,
};

export const DOOR_FEED: FeedParameters = { ...SIDE_STEP_FEED, batteryV: 12.5, batteryOhm: 0.018, wiringOhm: 0.07 };

export const WINCH_MOTOR: MotorParameters = {
  resistanceOhm: 0.04,
  inductanceH: 0.1e-3,
  torqueConstantNmPerA: 0.02,
  inertiaKgM2: 9e-4,
  viscousNmSPerRad: 2e-4,
  dryFrictionNm: 0.12,
  brushes: 4,
  segments: 18,
  rippleDepth: 0.1,
  badSegmentOhm: 0,
};

/** a rope drum has no end in these scripts; heaving in pulls harder than paying out */
export const WINCH: MechanismParameters = {
  ...SIDE_STEP,
  travelRevolutions: 4000,
  startAtRevolutions: 2000,
  forwardNm: 1.1,
  reverseNm: 0.35,
  unevenness: 0.08,
  limitSwitches: false,
};

export const WINCH_FEED: FeedParameters = { ...SIDE_STEP_FEED, batteryV: 12.7, batteryOhm: 0.006, wiringOhm: 0.01, brakingOhm: null };

/** a Hall clamp of 30 A on a 12-bit converter: 15 mA a step */
export const CLAMP_30A: SensorParameters = { range: 30, bits: 12, noise: 0.03, offset: 0.04, driftPerHour: 0.05, hum: 0, bandwidthHz: null };

/** a cheaper one: 10 bits (59 mA a step), more noise and zero error, mains pick-up from the bay's lamps */
export const CLAMP_30A_COARSE: SensorParameters = { range: 30, bits: 10, noise: 0.06, offset: -0.11, driftPerHour: 0.1, hum: 0.03, bandwidthHz: 400 };

export const CLAMP_300A: SensorParameters = { range: 300, bits: 12, noise: 0.25, offset: 0.6, driftPerHour: 0.5, hum: 0, bandwidthHz: null };

export const VOLTS_12: SensorParameters = { range: 20, bits: 12, noise: 0.012, offset: 0, driftPerHour: 0, hum: 0, bandwidthHz: null };

/** out and back: hold each way for `holdS`, let go for `pauseS` */
export function outAndBack(holdS: number, pauseS = 1): SwitchScript {
  return {
    moves: [
      { atS: 1, position: 'forward' },
      { atS: 1 + holdS, position: 'off' },
      { atS: 1 + holdS + pauseS, position: 'reverse' },
      { atS: 1 + 2 * holdS + pauseS, position: 'off' },
    ],
    cycleS: 2 * (holdS + pauseS),
    jitterS: 0.12,
  };
}
