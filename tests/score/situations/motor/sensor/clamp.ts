import type { Dice } from '../physics/dice.ts';

/** What the clamp, its amplifier, the converter and the wiring do to the current that the core feels. All of it may be absent (0, null). */
export interface ClampSpec {
  /** +1 as its arrow says, -1 put on the wrong way round, 0 beside the wire or round both wires */
  readonly sense: 1 | -1 | 0;
  readonly gain: number;
  readonly offsetA: number;
  readonly driftAPerS: number;
  /** white noise, ampere rms, reading to reading */
  readonly noiseA: number;
  readonly humA: number;
  readonly humHz: number;
  /** a tone of the sampler's own at this share of the rate (1/8 = every eighth reading) */
  readonly toneA: number;
  readonly toneShare: number;
  /** high-pass corner of a clamp that passes no direct current, Hz (0: passes it) */
  readonly highPassHz: number;
  /** the converter ends at this, each way */
  readonly rangeA: number;
  readonly lsbA: number;
  /** single readings that are wrong: so many a second, up to this far off */
  readonly spikesPerS: number;
  readonly spikeA: number;
}

export interface Read {
  readonly currentA: Float32Array;
  /** readings at the end of the range */
  readonly clipped: number;
  readonly spikesAtS: readonly number[];
}

export function readClamp(timeS: Float64Array, feltA: Float64Array, spec: ClampSpec, dice: Dice): Read {
  const count = timeS.length;
  const currentA = new Float32Array(count);
  const spikesAtS: number[] = [];
  const hum = dice.between(0, 2 * Math.PI);
  let clipped = 0;
  let slow = spec.sense * spec.gain * (feltA[0] ?? 0);
  for (let index = 0; index < count; index++) {
    const atS = timeS[index]!;
    const stepS = index === 0 ? 0 : atS - timeS[index - 1]!;
    let value = spec.sense * spec.gain * feltA[index]!;
    if (spec.highPassHz > 0) {
      slow += (1 - Math.exp(-2 * Math.PI * spec.highPassHz * stepS)) * (value - slow);
      value -= slow;
    }
    value += spec.offsetA + spec.driftAPerS * atS + spec.noiseA * dice.normal();
    if (spec.humA > 0) value += spec.humA * Math.sin(2 * Math.PI * spec.humHz * atS + hum);
    if (spec.toneA > 0) value += spec.toneA * Math.sin(2 * Math.PI * spec.toneShare * (index + 0.25));
    if (spec.spikesPerS > 0 && dice.chance(spec.spikesPerS * stepS)) {
      value += (dice.chance(0.5) ? 1 : -1) * spec.spikeA * dice.between(0.5, 1);
      spikesAtS.push(atS);
    }
    if (spec.lsbA > 0) value = Math.round(value / spec.lsbA) * spec.lsbA;
    if (Math.abs(value) >= spec.rangeA) {
      value = Math.sign(value) * spec.rangeA;
      clipped++;
    }
    currentA[index] = value;
  }
  return { currentA, clipped, spikesAtS };
}

/** The volt channel: noise and steps of its own, an unsigned converter reads nothing below zero. */
export function readVolts(tapV: Float64Array, noiseV: number, lsbV: number, signed: boolean, dice: Dice): Float32Array {
  const out = new Float32Array(tapV.length);
  for (let index = 0; index < tapV.length; index++) {
    const value = Math.round((tapV[index]! + noiseV * dice.normal()) / lsbV) * lsbV;
    out[index] = signed ? value : Math.max(0, value);
  }
  return out;
}
