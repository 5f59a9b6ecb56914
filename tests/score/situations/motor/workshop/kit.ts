import type { Feed, Looking } from '../physics/bench.ts';
import type { Dice } from '../physics/dice.ts';
import type { Part } from '../physics/parts.ts';
import type { Hold } from '../physics/timeline.ts';
import type { ClampSpec } from '../sensor/clamp.ts';
import type { Scene } from '../truth/situate.ts';
import { BRAKED, CommutatedMotor, OPENED, SHUT, type CommutatedSpec, type Lead, type ShaftLoad } from './commutated.ts';

/** A motor by what its data sheet gives: volts, running and standing current, no-load speed, time to come to speed. */
export interface Sheet {
  readonly openV: number;
  readonly runA: number;
  readonly standingA: number;
  readonly noLoadRpm: number;
  /** mechanical time constant with all that it drives, s */
  readonly startS: number;
  readonly poles: number;
  readonly segments: number;
  /** battery, and from there to the motor */
  readonly batteryOhm: number;
  readonly wireOhm: number;
  /** a winding in series as field: winches, older starters */
  readonly series?: boolean;
}

/** The motor that the sheet describes, and the torque at which it draws its running current. */
export interface Built {
  readonly sheet: Sheet;
  readonly spec: CommutatedSpec;
  readonly loadNm: number;
  /** speed while it runs, rad/s */
  readonly runRad: number;
  readonly contactOhm: number;
  readonly feed: Feed;
}

/** brushes of carbon or copper-carbon: half a volt and less a pair (textbook) */
const BRUSH_DROP_V = 0.3;

export function build(sheet: Sheet, dice: Dice): Built {
  const loopOhm = (sheet.openV - BRUSH_DROP_V) / sheet.standingA;
  const contactOhm = loopOhm * dice.between(0.004, 0.015);
  const noLoadRad = (sheet.noLoadRpm * 2 * Math.PI) / 60;
  // in series the field at the running current is the one that k stands for: half of what saturation gives
  const fieldHalfA = sheet.series === true ? sheet.runA : null;
  const runRad = noLoadRad * (1 - sheet.runA / sheet.standingA);
  const kVs = (sheet.openV - BRUSH_DROP_V - loopOhm * sheet.runA) / runRad;
  const frictionNm = kVs * Math.min(0.03 * sheet.standingA, 0.35 * sheet.runA);
  const spec: CommutatedSpec = {
    ohm: loopOhm - contactOhm - sheet.batteryOhm - sheet.wireOhm, henry: loopOhm * dice.spread(0.0002, 0.0012), kVs, inertia: (sheet.startS * kVs * kVs) / loopOhm,
    poles: sheet.poles, segments: sheet.segments, armatureShare: dice.between(0.02, 0.08), standingA: sheet.standingA, fieldHalfA, brushDropV: BRUSH_DROP_V, frictionNm,
  };
  return { sheet, spec, loadNm: kVs * sheet.runA - frictionNm, runRad, contactOhm, feed: { openV: sheet.openV, batteryOhm: sheet.batteryOhm, wireOhm: sheet.wireOhm, wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 } };
}

/** A dry load: the same at every speed. `share` of the usual one. */
export function dry(built: Built, share: (angle: number, timeS: number) => number = () => 1): ShaftLoad {
  return (angle, _speed, timeS) => {
    const movingNm = built.loadNm * share(angle, timeS);
    return { activeNm: 0, movingNm, restNm: 1.15 * movingNm };
  };
}

/** A fan's or centrifugal pump's load: it grows with the square of the speed. */
export function fan(built: Built, share: (angle: number, timeS: number) => number = () => 1): ShaftLoad {
  return (angle, speed, timeS) => ({ activeNm: 0, movingNm: built.loadNm * share(angle, timeS) * (speed / built.runRad) ** 2, restNm: 0 });
}

type Range = readonly [low: number, high: number];

/** A motor pressed from `fromS` on, to which something happens at `atS`, so long `after` the press began, s. */
export function midway(dice: Dice, motor: (dice: Dice) => Built, from: Range, after: Range): { built: Built; fromS: number; atS: number } {
  const built = motor(dice);
  const fromS = dice.between(...from);
  return { built, fromS, atS: fromS + dice.between(...after) };
}

export interface Held {
  readonly fromS: number;
  readonly toS: number;
  readonly polarity?: 1 | -1;
  readonly brake?: boolean;
}

export function holdsOf(held: readonly Held[]): Hold[] {
  return held.map((one) => ({ fromS: one.fromS, toS: one.toS, polarity: one.polarity ?? 1, brake: one.brake ?? false }));
}

/** A plain switch: closed while held, `while_` says what else the feed or a controller does meanwhile. */
export function switched(holds: readonly Hold[], while_: (timeS: number, sinceS: number, motor: CommutatedMotor) => Lead = () => SHUT): (timeS: number, motor: CommutatedMotor) => Lead {
  return (timeS, motor) => {
    let last: Hold | null = null;
    for (const hold of holds) {
      if (timeS < hold.fromS) break;
      last = hold;
    }
    if (last === null) return OPENED;
    if (timeS >= last.toS) return last.brake ? BRAKED : OPENED;
    return { ...while_(timeS, timeS - last.fromS, motor), polarity: last.polarity };
  };
}

/**
 * Loggers by what their converters do: ADS1115 at most 860 and ADS1015 at most 3300 readings a second (TI datasheets), others as
 * their makers state them. Hall ICs of 5, 20 and 30 A (Allegro ACS712: noise of 0.11 A peak to peak at 2 kHz), clamps of 60 and 600 A with 100 kHz and less.
 */
const RATES = [860, 1000, 2000, 3300, 7000] as const;
const SENSORS = [{ rangeA: 5, noiseA: 0.018 }, { rangeA: 20, noiseA: 0.018 }, { rangeA: 30, noiseA: 0.018 }, { rangeA: 60, noiseA: 0.02 }, { rangeA: 600, noiseA: 0.12 }, { rangeA: 1500, noiseA: 0.4 }] as const;

export function clampFor(dice: Dice, peakA: number, change: Partial<ClampSpec> = {}): ClampSpec {
  const { rangeA, noiseA } = SENSORS.find((sensor) => sensor.rangeA > 1.05 * peakA) ?? SENSORS[5];
  return {
    sense: 1, gain: 1, offsetA: noiseA * dice.between(-1, 1), driftAPerS: 0, noiseA: noiseA * dice.between(0.7, 1.3), humA: 0, humHz: 50, toneA: 0, toneShare: 0.125,
    highPassHz: 0, rangeA, lsbA: (2 * rangeA) / dice.pick([4096, 16_384, 65_536]), spikesPerS: 0, spikeA: 0, ...change,
  };
}

export function lookFor(dice: Dice, durationS: number, change: Partial<Looking> = {}): Looking {
  return { rateHz: dice.pick(RATES), durationS, bandwidthHz: dice.spread(1500, 80_000), clampAt: 'feed', tap: dice.pick(['none', 'battery', 'motor']), jitter: 0, stepS: 0.00005, ...change };
}

export interface Shop {
  readonly built: Built;
  readonly holds: readonly Hold[];
  readonly load?: ShaftLoad;
  readonly lead?: (timeS: number, sinceS: number, motor: CommutatedMotor) => Lead;
  /** all of what the switch does, in place of `lead` */
  readonly leads?: (timeS: number, motor: CommutatedMotor) => Lead;
  readonly others?: readonly Part[];
  readonly look?: Partial<Looking>;
  readonly clamp?: Partial<ClampSpec>;
  readonly peakA?: number;
  readonly afterS?: number;
  readonly rest?: Partial<Scene>;
}

/** One motor on its feed, with what the class changes. */
export function shop(dice: Dice, how: Shop): Scene {
  const { built, holds } = how;
  const motor = new CommutatedMotor(built.spec, how.load ?? dry(built), how.leads ?? switched(holds, how.lead), built.contactOhm);
  return {
    bench: { feed: built.feed, parts: [motor, ...(how.others ?? [])], motors: [motor] },
    look: lookFor(dice, (holds[holds.length - 1]?.toS ?? 2) + (how.afterS ?? dice.between(0.5, 1)), how.look),
    clamp: clampFor(dice, how.peakA ?? built.sheet.standingA, how.clamp),
    volts: { noiseV: 0.01, lsbV: 0.004, signed: true }, holds, breaks: [], options: {}, standingA: built.sheet.standingA, contactOhm: built.contactOhm, clockStepS: 0, kinds: ['motor'], ...how.rest,
  };
}

/** A load that no motor is: what it draws, by its own equations. */
export interface OtherLoad {
  readonly parts: readonly Part[];
  readonly holds: readonly Hold[];
  readonly openV: number;
  readonly peakA: number;
  readonly look?: Partial<Looking>;
  readonly clamp?: Partial<ClampSpec>;
  readonly rest: Partial<Scene>;
}

export function otherLoad(dice: Dice, how: OtherLoad): Scene {
  return {
    bench: { feed: { openV: how.openV, batteryOhm: 0.008, wireOhm: 0.02, wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 }, parts: how.parts, motors: [] },
    look: lookFor(dice, how.holds[how.holds.length - 1]!.toS + dice.between(0.5, 1), { tap: dice.pick(['none', 'battery']), ...how.look }),
    clamp: clampFor(dice, how.peakA, how.clamp), volts: { noiseV: 0.01, lsbV: 0.004, signed: true }, holds: how.holds, breaks: [], options: {}, standingA: null, contactOhm: 0, clockStepS: 0,
    kinds: ['unknown'], facts: () => ({ right: ['normal'], noPeak: true, alsoHonest: ['unclear'] }), ...how.rest,
  };
}

/** A load by its current as a function of time and of the volts it has. */
export class Drawing implements Part {
  heldA = 0;
  siemens = 0;
  private nodeV: number;
  private readonly current: (timeS: number, nodeV: number) => number;

  constructor(openV: number, current: (timeS: number, nodeV: number) => number) {
    this.nodeV = openV;
    this.current = current;
  }

  prepare(timeS: number): void {
    this.heldA = this.current(timeS, this.nodeV);
  }

  advance(nodeV: number): void {
    this.nodeV = nodeV;
  }
}

/** in the middle of which hold a moment lies, or null */
export function holdAt(holds: readonly Hold[], timeS: number): Hold | null {
  return holds.find((hold) => timeS >= hold.fromS && timeS < hold.toS) ?? null;
}

