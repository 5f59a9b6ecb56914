import type { Dice } from '../physics/dice.ts';
import { PLAIN, type MechanismSpec } from '../physics/mechanism.ts';
import type { MotorSpec } from '../physics/motor.ts';
import type { Feed, Looking } from '../physics/bench.ts';
import type { Hold } from '../physics/timeline.ts';
import type { ClampSpec } from '../sensor/clamp.ts';

/** A motor with its load and its feed, and the figures that follow from them. */
export interface Drawn {
  readonly supplyV: number;
  readonly runA: number;
  readonly standingA: number;
  readonly motor: MotorSpec;
  readonly mechanism: MechanismSpec;
  readonly feed: Feed;
  readonly contactOhm: number;
  readonly runRad: number;
  readonly noLoadRad: number;
  /** mechanical time constant, s */
  readonly startS: number;
}

export interface Wants {
  readonly runA?: readonly [number, number];
  /** running over standing current */
  readonly ratio?: readonly [number, number];
  readonly startS?: readonly [number, number];
  readonly load?: 'dry' | 'mixed' | 'square';
  readonly rpm?: readonly [number, number];
  /** share of the loop's resistance that lies in battery and wire */
  readonly feedShare?: readonly [number, number];
  readonly supplyV?: number;
  readonly rippleDepth?: readonly [number, number];
}

/** A motor anywhere between a mirror's (0.3 A) and a winch's (tens of ampere), 12 or 24 V, 600 to 6600 turns a minute. */
export function drawMotor(dice: Dice, wants: Wants = {}): Drawn {
  const supplyV = wants.supplyV ?? (dice.chance(0.75) ? dice.pick([dice.between(12.1, 12.9), dice.between(13.4, 14.5)]) : dice.pick([dice.between(24.3, 25.8), dice.between(26.8, 28.6)]));
  const runA = dice.spread(...(wants.runA ?? ([0.5, 30] as const)));
  const ratio = dice.between(...(wants.ratio ?? ([0.17, 0.42] as const)));
  const standingA = runA / ratio;
  const brushDropV = dice.between(0.1, 0.5);
  const loopOhm = (supplyV - brushDropV) / standingA;
  const feedOhm = loopOhm * dice.between(...(wants.feedShare ?? ([0.04, 0.16] as const)));
  const contactOhm = loopOhm * dice.between(0.005, 0.02);
  const batteryOhm = Math.min(feedOhm * dice.between(0.1, 0.5), 0.04);
  const noLoadRad = (dice.spread(...(wants.rpm ?? ([900, 6600] as const))) * 2 * Math.PI) / 60;
  const kVs = (supplyV - brushDropV) / noLoadRad;
  const runRad = noLoadRad * (1 - ratio);
  const startS = dice.spread(...(wants.startS ?? ([0.012, 0.12] as const)));
  const frictionNm = kVs * standingA * Math.min(dice.between(0.015, 0.05), ratio * 0.5);
  const loadNm = kVs * runA - frictionNm;
  const segments = dice.pick([3, 5, 7, 8, 9, 10, 11, 12, 13, 14, 16]);
  const motor: MotorSpec = {
    ohm: loopOhm - feedOhm - contactOhm, henry: loopOhm * dice.spread(0.00015, 0.002), kVs, inertia: (startS * kVs * kVs) / loopOhm,
    poles: dice.chance(0.75) ? 2 : 4, segments,
    rippleDepth: dice.spread(...(wants.rippleDepth ?? ([0.004, 0.025] as const))), rippleSecond: dice.between(0, 0.002), turnDepth: dice.between(0, 0.003),
    brushSwing: dice.between(0.005, 0.03), brushRough: dice.between(0, 0.03), brushDropV,
    coggingNm: dice.chance(0.3) ? loadNm * dice.between(0.01, 0.05) : 0, frictionNm, badSegmentOhm: null,
    kelvinPerJoule: 1 / (dice.between(0.5, 2) * runA * supplyV),
  };
  const feed: Feed = { openV: supplyV, batteryOhm, wireOhm: feedOhm - batteryOhm, wireGrowsPerS: 0, rippleV: 0, rippleHz: 0 };
  return { supplyV, runA, standingA, motor, mechanism: loadOf(dice, wants.load ?? 'mixed', loadNm, runRad), feed, contactOhm, runRad, noLoadRad, startS };
}

function loadOf(dice: Dice, kind: 'dry' | 'mixed' | 'square', loadNm: number, runRad: number): MechanismSpec {
  const square = kind === 'square' ? dice.between(0.7, 0.95) : 0;
  const viscous = kind === 'mixed' ? dice.between(0.1, 0.5) : 0;
  return {
    ...PLAIN,
    dryNm: loadNm * (1 - square - viscous), viscous: (loadNm * viscous) / runRad, square: (loadNm * square) / (runRad * runRad),
    stickRatio: dice.between(1.02, 1.3), stribeckRad: dice.chance(0.5) ? runRad * dice.between(0.02, 0.15) : 0, uneven: dice.chance(0.5) ? dice.between(0.01, 0.06) : 0, unevenLength: runRad * dice.between(0.8, 4),
  };
}

export interface Times {
  readonly count?: number;
  readonly lengthS?: readonly [number, number];
  readonly pauseS?: readonly [number, number];
  readonly alternate?: boolean;
  readonly brake?: boolean;
}

export function drawHolds(dice: Dice, times: Times = {}): Hold[] {
  const holds: Hold[] = [];
  const brake = times.brake ?? dice.chance(0.5);
  let atS = dice.between(0.5, 1.3);
  for (let press = 0; press < (times.count ?? 1); press++) {
    const lengthS = dice.between(...(times.lengthS ?? ([1, 3.5] as const)));
    holds.push({ fromS: atS, toS: atS + lengthS, polarity: times.alternate === true && press % 2 === 1 ? -1 : 1, brake });
    atS += lengthS + dice.between(...(times.pauseS ?? ([0.8, 1.8] as const)));
  }
  return holds;
}

export interface LookWants {
  readonly rates?: readonly number[];
  readonly bandwidthHz?: readonly [number, number];
  readonly clampAt?: 'motor' | 'feed';
  readonly tap?: 'motor' | 'battery' | 'none';
}

const USUAL_RATES = [500, 1000, 1000, 2000, 2000, 4000, 5000, 10_000];

export function drawLook(dice: Dice, holds: readonly Hold[], wants: LookWants = {}): Looking {
  const rateHz = dice.pick(wants.rates ?? USUAL_RATES);
  return {
    rateHz,
    durationS: holds[holds.length - 1]!.toS + dice.between(0.6, 1.2),
    bandwidthHz: dice.spread(...(wants.bandwidthHz ?? ([1000, 100_000] as const))),
    clampAt: wants.clampAt ?? 'feed',
    tap: wants.tap ?? dice.pick(['motor', 'battery', 'none', 'none']),
    jitter: dice.chance(0.25) ? dice.between(0.01, 0.1) : 0,
    stepS: 0.00004,
  };
}

/** A usable clamp: its range fits, its noise is a fraction of what it measures. */
export function drawClamp(dice: Dice, runA: number, standingA: number, change: Partial<ClampSpec> = {}): ClampSpec {
  const rangeA = standingA * dice.between(1.3, 3);
  return {
    sense: 1, gain: 1, offsetA: runA * dice.between(-0.02, 0.02), driftAPerS: 0, noiseA: runA * dice.spread(0.001, 0.012),
    humA: 0, humHz: 50, toneA: 0, toneShare: 0.125, highPassHz: 0, rangeA, lsbA: (2 * rangeA) / dice.pick([4096, 4096, 16_384, 65_536]),
    spikesPerS: 0, spikeA: 0, ...change,
  };
}

export const VOLTS = { noiseV: 0.012, lsbV: 0.005, signed: true } as const;
