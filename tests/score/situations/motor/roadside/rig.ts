import type { Feed } from '../physics/bench.ts';
import type { Dice } from '../physics/dice.ts';
import type { DriveSpec, Machine } from './drive.ts';

export type Range = readonly [low: number, high: number];

/** A motor as its plate and its maker's table give it. */
export interface Plate {
  readonly openV: number;
  readonly runA: number;
  /** standing over running current */
  readonly timesStanding: number;
  readonly rpm: number;
  /** mechanical time constant with what it drives, s */
  readonly startS: number;
  readonly polePairs?: number;
  readonly segments: number;
  readonly series?: boolean;
  readonly deadBar?: number;
  /** shares of the loop's resistance */
  readonly batteryShare?: number;
  readonly wireShare?: number;
}

export interface Rig {
  readonly plate: Plate;
  readonly spec: DriveSpec;
  readonly standingA: number;
  /** torque at which it draws its running current, less its bearings' */
  readonly loadNm: number;
  readonly runRad: number;
  readonly switchOhm: number;
  readonly feed: Feed;
}

const BRUSH_V = 0.4;

/** a battery at rest or on its charger, one of 12 V or two in series */
export function batteryV(dice: Dice, cells: 12 | 24 | 'either' = 'either'): number {
  const twice = cells === 24 || (cells === 'either' && dice.chance(0.35)) ? 2 : 1;
  return twice * dice.pick([dice.between(12.2, 12.75), dice.between(13.3, 14.2)]);
}

export function rigOf(plate: Plate, dice: Dice): Rig {
  const standingA = plate.runA * plate.timesStanding;
  const loopOhm = (plate.openV - BRUSH_V) / standingA;
  const batteryOhm = Math.min(0.03, loopOhm * (plate.batteryShare ?? dice.between(0.03, 0.09)));
  const wireOhm = loopOhm * (plate.wireShare ?? dice.between(0.04, 0.12));
  const switchOhm = loopOhm * dice.between(0.005, 0.02);
  const runRad = ((plate.rpm * 2 * Math.PI) / 60) * (1 - 1 / plate.timesStanding);
  const kVs = (plate.openV - BRUSH_V - loopOhm * plate.runA) / runRad;
  const bearingNm = kVs * plate.runA * dice.between(0.06, 0.14);
  const spec: DriveSpec = {
    ohm: loopOhm - batteryOhm - wireOhm - switchOhm, henry: loopOhm * dice.spread(0.0003, 0.0015), kVs, inertia: (plate.startS * kVs * kVs) / loopOhm,
    polePairs: plate.polePairs ?? 1, segments: plate.segments, coilShares: Array.from({ length: plate.segments }, () => 0.004 * dice.normal()), standingA,
    kneeA: plate.series === true ? plate.runA : null, brushV: BRUSH_V, bearingNm, deadBar: plate.deadBar ?? 1,
  };
  return { plate, spec, standingA, loadNm: kVs * plate.runA - bearingNm, runRad, switchOhm, feed: { openV: plate.openV, batteryOhm, wireOhm, wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 } };
}

/** A slide, gear or spindle: four fifths of its load are there at any speed, one fifth comes with speed. */
export function slide(rig: Rig, share: (angle: number, timeS: number) => number = () => 1): Machine {
  return (angle, speed, timeS) => {
    const nm = rig.loadNm * share(angle, timeS);
    return { pullNm: 0, dragNm: nm * (0.8 + (0.2 * Math.abs(speed)) / rig.runRad), stickNm: 0.95 * nm };
  };
}

/** A propeller, an impeller or a siren's wheel. */
export function wheel(rig: Rig, share: (angle: number, timeS: number) => number = () => 1): Machine {
  return (angle, speed, timeS) => ({ pullNm: 0, dragNm: rig.loadNm * share(angle, timeS) * (speed / rig.runRad) ** 2, stickNm: 0 });
}

/** A rubbery stop from `atRad` on: two thirds push back, one third is lost in it. `turns` of the motor take it to the standing torque. */
export function stopped(rig: Rig, machine: Machine, atRad: number, turns: number): Machine {
  const perRad = (rig.spec.kVs * rig.standingA) / (turns * 2 * Math.PI);
  return (angle, speed, timeS) => {
    const plain = machine(angle, speed, timeS);
    const pressed = Math.max(0, angle - atRad) * perRad;
    return { pullNm: plain.pullNm + 0.67 * pressed, dragNm: plain.dragNm + 0.33 * pressed, stickNm: plain.stickNm + 0.45 * pressed };
  };
}
