import type { Feed, Looking } from '../physics/bench.ts';
import type { Dice } from '../physics/dice.ts';
import type { Part } from '../physics/parts.ts';
import type { Hold } from '../physics/timeline.ts';
import type { ClampSpec } from '../sensor/clamp.ts';
import type { Scene } from '../truth/situate.ts';
import { Drive, OFF, ON, SHORTED, type Hook, type Machine } from './drive.ts';
import { slide, type Range, type Rig } from './rig.ts';

export interface Press {
  readonly fromS: number;
  readonly forS: number;
  readonly way?: 1 | -1;
  readonly shorted?: boolean;
}

export function pressed(presses: readonly Press[]): Hold[] {
  return presses.map(({ fromS, forS, way, shorted }) => ({ fromS, toS: fromS + forS, polarity: way ?? 1, brake: shorted ?? false }));
}

/** So many presses one after the other, each and each pause of a length of its own. */
export function inTurn(dice: Dice, count: number, lengthS: Range, pauseS: Range): Press[] {
  let atS = dice.between(0.7, 1.4);
  return Array.from({ length: count }, () => {
    const one = { fromS: atS, forS: dice.between(...lengthS) };
    atS += one.forS + dice.between(...pauseS);
    return one;
  });
}

export function heldAt(holds: readonly Hold[], timeS: number): Hold | null {
  return holds.find((hold) => timeS >= hold.fromS && timeS < hold.toS) ?? null;
}

/** The switch of these holds; `meanwhile` tells what the feed or a controller does while it is made. */
export function switchOf(holds: readonly Hold[], meanwhile: (timeS: number, hold: Hold, drive: Drive) => Hook = () => ON): (timeS: number, drive: Drive) => Hook {
  return (timeS, drive) => {
    const hold = heldAt(holds, timeS);
    if (hold !== null) return { ...meanwhile(timeS, hold, drive), way: hold.polarity };
    const before = holds.findLast((other) => timeS >= other.toS);
    return before?.brake === true ? SHORTED : OFF;
  };
}

/** Anything else on the wire, by the current it draws (below nothing: gives). */
export class Draws implements Part {
  heldA = 0;
  siemens = 0;
  private nodeV: number;
  private readonly amps: (timeS: number, nodeV: number) => number;

  constructor(openV: number, amps: (timeS: number, nodeV: number) => number) {
    this.nodeV = openV;
    this.amps = amps;
  }

  prepare(timeS: number): void {
    this.heldA = this.amps(timeS, this.nodeV);
  }

  advance(nodeV: number): void {
    this.nodeV = nodeV;
  }
}

/** A quantity that wanders about nothing in no rhythm, about one in size: white noise through a first-order low-pass of `tauS`. */
export function wander(dice: Dice, tauS: number, untilS: number): (timeS: number) => number {
  const stepS = tauS / 8;
  const keep = Math.exp(-stepS / tauS);
  let value = dice.normal();
  const values = Array.from({ length: Math.ceil(untilS / stepS) + 2 }, () => (value = keep * value + Math.sqrt(1 - keep * keep) * dice.normal()));
  return (timeS) => {
    const place = Math.min(values.length - 2, Math.max(0, timeS / stepS));
    const index = Math.floor(place);
    return values[index]! + (place - index) * (values[index + 1]! - values[index]!);
  };
}

/**
 * Shunts of 60 or 75 mV before a converter of 16 bits whose step is 2.5 microvolt (TI INA226, datasheet SBOS547), and Hall clamps, whose
 * noise is common practice without a published source.
 */
const SENSORS = [
  { rangeA: 20, noiseA: 0.003, lsbA: 0.0007 }, { rangeA: 50, noiseA: 0.006, lsbA: 0.0017 }, { rangeA: 100, noiseA: 0.012, lsbA: 0.0033 }, { rangeA: 500, noiseA: 0.05, lsbA: 0.021 },
  { rangeA: 40, noiseA: 0.03, lsbA: 0.02 }, { rangeA: 100, noiseA: 0.06, lsbA: 0.05 }, { rangeA: 400, noiseA: 0.25, lsbA: 0.2 }, { rangeA: 1500, noiseA: 0.7, lsbA: 0.5 },
] as const;
/** readings a second, from a pocket logger's to a scope's */
const RATES = [100, 200, 500, 1000, 2500, 5000, 10_000, 20_000] as const;
const MOST_READINGS = 130_000;

function sensorFor(dice: Dice, peakA: number, levelA: number, change: Partial<ClampSpec>): ClampSpec {
  const fit = SENSORS.filter((sensor) => sensor.rangeA > 1.1 * peakA && sensor.noiseA < 0.03 * levelA);
  const { rangeA, noiseA, lsbA } = fit.length === 0 ? SENSORS[7] : dice.pick(fit);
  return {
    sense: 1, gain: 1, offsetA: noiseA * dice.between(-1.5, 1.5), driftAPerS: 0, noiseA: noiseA * dice.between(0.7, 1.4), humA: 0, humHz: 50, toneA: 0, toneShare: 0.125,
    highPassHz: 0, rangeA, lsbA, spikesPerS: 0, spikeA: 0, ...change,
  };
}

export interface Parked {
  readonly parts: readonly Part[];
  readonly motors: readonly Drive[];
  readonly feed: Feed;
  readonly holds: readonly Hold[];
  readonly peakA: number;
  /** the level by which the sensor is chosen */
  readonly levelA: number;
  readonly standingA: number | null;
  readonly switchOhm: number;
  /** slowest logger that shows what the class is about */
  readonly leastHz?: number;
  readonly afterS?: number;
  readonly look?: Partial<Looking>;
  readonly clamp?: Partial<ClampSpec>;
  readonly rest?: Partial<Scene>;
}

/** What stands at the roadside, and the logger on it. */
export function parked(dice: Dice, how: Parked): Scene {
  const durationS = (how.holds.at(-1)?.toS ?? 2) + (how.afterS ?? dice.between(0.5, 1.2));
  const rateHz = dice.pick(RATES.filter((rate) => rate >= (how.leastHz ?? 100) && rate * durationS <= MOST_READINGS));
  return {
    bench: { feed: how.feed, parts: how.parts, motors: how.motors },
    look: { rateHz, durationS, bandwidthHz: Math.max(60, rateHz * dice.spread(0.4, 4)), clampAt: 'feed', tap: dice.pick(['none', 'battery', 'motor']), jitter: 0, stepS: 0.00005, ...how.look },
    clamp: sensorFor(dice, how.peakA, how.levelA, how.clamp ?? {}),
    volts: { noiseV: dice.between(0.004, 0.02), lsbV: 0.00125, signed: true }, holds: how.holds, breaks: [], options: {}, standingA: how.standingA, contactOhm: how.switchOhm, clockStepS: 0, kinds: ['motor'], ...how.rest,
  };
}

export interface OneMotor {
  readonly rig: Rig;
  readonly holds: readonly Hold[];
  readonly machine?: Machine;
  readonly meanwhile?: (timeS: number, hold: Hold, drive: Drive) => Hook;
  /** the motor is driven one way only, whatever the holds say of the clamp's sign */
  readonly oneWay?: boolean;
  readonly beside?: readonly Part[];
  readonly besideA?: number;
  readonly leastHz?: number;
  readonly afterS?: number;
  readonly look?: Partial<Looking>;
  readonly clamp?: Partial<ClampSpec>;
  readonly rest?: Partial<Scene>;
}

/** One motor on its switch, with what else hangs on its wire. */
export function oneMotor(dice: Dice, how: OneMotor): Scene {
  const { rig, holds } = how;
  const hooks = switchOf(holds, how.meanwhile);
  const drive = new Drive(rig.spec, how.machine ?? slide(rig), how.oneWay === true ? (timeS, motor) => ({ ...hooks(timeS, motor), way: 1 }) : hooks, rig.switchOhm);
  return parked(dice, { ...how, parts: [drive, ...(how.beside ?? [])], motors: [drive], feed: rig.feed, peakA: rig.standingA + (how.besideA ?? 0), levelA: rig.plate.runA, standingA: rig.standingA, switchOhm: rig.switchOhm });
}
