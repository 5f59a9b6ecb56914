import {
  CLAMP_300A,
  CLAMP_30A,
  CLAMP_30A_COARSE,
  DOOR_FEED,
  DOOR_MOTOR,
  outAndBack,
  SIDE_STEP,
  SIDE_STEP_FEED,
  SIDE_STEP_MOTOR,
  SLIDING_DOOR,
  VOLTS_12,
  WINCH,
  WINCH_FEED,
  WINCH_MOTOR,
} from './motor-parts.ts';
import { type MotorCircuit, MotorVehicle } from './motor-vehicle.ts';
import type { Scenario } from './scenario.ts';
import { channelsOf } from './sensor.ts';

const STEP: MotorCircuit = {
  motor: SIDE_STEP_MOTOR,
  mechanism: SIDE_STEP,
  feed: SIDE_STEP_FEED,
  script: outAndBack(3.2),
  rateHz: 1000,
  current: CLAMP_30A,
  voltage: { ...VOLTS_12, at: 'motor' },
  finding: 'normal',
  runFinding: 'normal',
};

const DOOR: MotorCircuit = {
  ...STEP,
  motor: DOOR_MOTOR,
  mechanism: SLIDING_DOOR,
  feed: DOOR_FEED,
  script: outAndBack(3.4),
  rateHz: 2000,
};

const ROPE: MotorCircuit = {
  ...STEP,
  motor: WINCH_MOTOR,
  mechanism: WINCH,
  feed: WINCH_FEED,
  script: outAndBack(2.6),
  rateHz: 5000,
  current: CLAMP_300A,
  voltage: { ...VOLTS_12, at: 'battery' },
};

/** how often the script goes through in a trace */
const CYCLES = 3;

const STEP_LIMITS_A = [3, 5] as const;
const DOOR_LIMITS_A = [4, 8] as const;
const WINCH_LIMITS_A = [20, 90] as const;

export const MOTOR_SCENARIOS: readonly Scenario[] = [
  motor('side-step-healthy', 'minibus, side step: goes out and back, limit switches cut it', STEP, STEP_LIMITS_A),
  motor('side-step-jam', 'minibus, side step: stops short on the way out, comes back', jammed(), STEP_LIMITS_A),
  motor('side-step-broken-gear', 'minibus, side step: motor hums, step stays half out', brokenGear(), STEP_LIMITS_A),
  motor('side-step-dragging', 'minibus, side step: slow both ways', dragging(), STEP_LIMITS_A),
  motor('side-step-end-stop', 'minibus, side step: keeps humming at the end of travel', pressing(), STEP_LIMITS_A),
  motor('side-step-locked', 'minibus, side step: does not move at all, fuse gets warm', seized(), STEP_LIMITS_A),
  motor('side-step-dead', 'minibus, side step: no sound, volts reach the motor', dead(), STEP_LIMITS_A),
  motor('side-step-unpowered', 'minibus, side step: no sound, no volts at the motor', unpowered(), STEP_LIMITS_A),
  motor('sliding-door-healthy', 'van, sliding door: opens and closes, lead at the battery', doorAtBattery(), DOOR_LIMITS_A),
  motor('sliding-door-weak-feed', 'van, sliding door: crawls both ways', weakFeed(), DOOR_LIMITS_A),
  motor('sliding-door-cut-out', 'van, sliding door: held at the end until the cut-out in the motor opens', cutOut(), DOOR_LIMITS_A),
  motor('sliding-door-bad-segment', 'van, sliding door: runs rough, one commutator segment burnt', badSegment(), DOOR_LIMITS_A),
  motor('winch-healthy', 'flatbed, winch: heaves in and pays out', ROPE, WINCH_LIMITS_A),
  motor('winch-worn-contact', 'flatbed, winch: stutters while the switch is held', worn(), WINCH_LIMITS_A),
];

/** the step's grit: sits at six tenths of the way out */
function jammed(): MotorCircuit {
  return { ...STEP, mechanism: { ...SIDE_STEP, jamAtRevolutions: 60 }, finding: 'stalled' };
}

function brokenGear(): MotorCircuit {
  // without the mechanism only the rotor's own inertia is left
  const motor = { ...SIDE_STEP_MOTOR, inertiaKgM2: 2e-5 };
  return { ...STEP, motor, mechanism: { ...SIDE_STEP, startAtRevolutions: 50, gearBroken: true }, finding: 'light', runFinding: 'light' };
}

function dragging(): MotorCircuit {
  const drag = { fromRevolutions: -5, toRevolutions: 105, torqueNm: 0.1 };
  const mechanism = { ...SIDE_STEP, drag, unevenness: 0.25 };
  return { ...STEP, mechanism, script: outAndBack(4.5), current: CLAMP_30A_COARSE, finding: 'heavy', runFinding: 'heavy' };
}

function pressing(): MotorCircuit {
  return { ...STEP, mechanism: { ...SIDE_STEP, limitSwitches: false }, voltage: null, finding: 'stalled' };
}

function seized(): MotorCircuit {
  return { ...STEP, mechanism: { ...SIDE_STEP, seized: true, startAtRevolutions: 50, stopNmPerRevolution: 8 }, script: outAndBack(1.6), finding: 'locked' };
}

function dead(): MotorCircuit {
  return { ...STEP, feed: { ...SIDE_STEP_FEED, motorOpen: true }, finding: 'dead' };
}

function unpowered(): MotorCircuit {
  return { ...STEP, feed: { ...SIDE_STEP_FEED, batteryV: 0 }, finding: 'unpowered' };
}

function doorAtBattery(): MotorCircuit {
  return { ...DOOR, voltage: { ...VOLTS_12, at: 'battery' } };
}

function weakFeed(): MotorCircuit {
  return { ...DOOR, feed: { ...DOOR_FEED, wiringOhm: 0.9 }, script: outAndBack(6.5), finding: 'starved' };
}

function cutOut(): MotorCircuit {
  const thermal = { holdA: 10, timeConstantS: 5, closesAt: 0.6 };
  const mechanism = { ...SLIDING_DOOR, limitSwitches: false };
  return { ...DOOR, mechanism, feed: { ...DOOR_FEED, thermal }, script: outAndBack(5.8, 2.7), finding: 'stalled' };
}

function badSegment(): MotorCircuit {
  return { ...DOOR, motor: { ...DOOR_MOTOR, badSegmentOhm: 0.2 }, rateHz: 5000 };
}

function worn(): MotorCircuit {
  return { ...ROPE, feed: { ...WINCH_FEED, worn: { everyS: 0.9, shortestS: 0.03, longestS: 0.16 } }, finding: 'intermittent' };
}

function motor(name: string, title: string, circuit: MotorCircuit, runLimitsA: readonly [number, number]): Scenario {
  return {
    name,
    title,
    test: 'actuation',
    rateHz: circuit.rateHz,
    durationS: Math.ceil(CYCLES * circuit.script.cycleS),
    fuses: [],
    runLimitsA,
    channels: channelsOf(circuit),
    start: (seed) => new MotorVehicle(circuit, seed),
  };
}
