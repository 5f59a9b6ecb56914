import type { Random } from './random.ts';
import type { Gap } from '../../../src/core/trace.ts';

/** A cheap clamp or shunt logger. */
export interface Sensor {
  readonly rateHz: number;
  /** low-pass corner of the clamp, Hz; Infinity for a shunt */
  readonly cornerHz: number;
  readonly bits: number;
  readonly fullScaleA: number;
  readonly noiseA: number;
  readonly offsetA: number;
  readonly driftA: number;
  readonly humA: number;
  readonly humHz: number;
  readonly jitter: number;
  readonly gaps: number;
  readonly voltageNoiseV: number;
  readonly voltageStepV: number;
}

export function randomSensor(random: Random, stallA: number): Sensor {
  const bits = random.pick([10, 12, 12, 16, 16]);
  const fullScaleA = Math.max(5, stallA * random.between(1.25, 3));
  const stepA = (2 * fullScaleA) / 2 ** bits;
  return {
    rateHz: random.pick([200, 250, 500, 1000, 1000, 2000, 2000, 5000, 5000, 10_000, 10_000, 20_000, 50_000]),
    cornerHz: random.pick([Infinity, Infinity, 20_000, 2000, 500, 300, 100, 40, 20]),
    bits,
    fullScaleA,
    noiseA: Math.max(0.15 * stepA, random.scale(0.001, 0.012) * stallA * random.pick([0.2, 1, 1])),
    offsetA: random.between(-0.15, 0.15),
    driftA: random.chance(0.4) ? random.between(-0.15, 0.15) : 0,
    humA: random.chance(0.35) ? random.between(0.005, 0.03) * Math.min(stallA, 12) : 0,
    humHz: random.pick([50, 60]) + random.between(-0.05, 0.05),
    jitter: random.chance(0.25) ? random.between(0.02, 0.25) : 0,
    gaps: random.chance(0.15) ? 1 + Math.floor(random.next() * 3) : 0,
    voltageNoiseV: random.between(0.005, 0.05),
    voltageStepV: random.pick([0.00125, 0.005, 0.015]),
  };
}

export interface Measured {
  readonly timeS: Float64Array;
  readonly currentA: Float32Array;
  readonly voltageV: Float32Array | null;
  readonly gaps: Gap[];
}

/** Turns what a noiseless sensor of this bandwidth sees into what the logger delivers: jitter, noise, hum, drift, steps, lost blocks. */
export function measure(sensor: Sensor, times: Float64Array, cleanA: Float64Array, volts: Float64Array | null, edgesS: readonly number[], random: Random): Measured {
  const count = times.length;
  const keep = new Uint8Array(count).fill(1);
  const gaps: Gap[] = [];
  for (let g = 0; g < sensor.gaps; g++) {
    const length = Math.round(random.scale(0.02, 0.25) * sensor.rateHz);
    const from = Math.floor(random.next() * Math.max(1, count - length));
    // a lost edge cannot be found: those holes have a test of their own
    const clear = edgesS.every((edgeS) => edgeS < (times[from] ?? 0) - 0.05 || edgeS > (times[Math.min(count - 1, from + length)] ?? 0) + 0.05);
    if (length >= 6 && from > 2 && clear) keep.fill(0, from, Math.min(count - 2, from + length));
  }
  const timeS: number[] = [];
  const currentA: number[] = [];
  const voltageV: number[] = [];
  const stepA = (2 * sensor.fullScaleA) / 2 ** sensor.bits;
  const phase = random.next() * 2 * Math.PI;
  const driftPhase = random.next() * 2 * Math.PI;
  for (let i = 0; i < count; i++) {
    const noise = sensor.noiseA * random.normal();
    const voltNoise = sensor.voltageNoiseV * random.normal();
    if (keep[i] === 0) continue;
    const atS = times[i];
    const drift = sensor.driftA * Math.sin((Math.PI * atS) / times[count - 1] + driftPhase);
    const hum = sensor.humA * Math.sin(2 * Math.PI * sensor.humHz * atS + phase);
    const raw = cleanA[i] + noise + drift + hum + sensor.offsetA;
    const clipped = Math.max(-sensor.fullScaleA, Math.min(sensor.fullScaleA, raw));
    if (i > 0 && keep[i - 1] === 0) gaps.push({ startS: timeS[timeS.length - 1] ?? 0, endS: atS });
    timeS.push(atS);
    currentA.push(Math.round(clipped / stepA) * stepA);
    if (volts !== null) voltageV.push(Math.round((volts[i] + voltNoise) / sensor.voltageStepV) * sensor.voltageStepV);
  }
  return { timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: volts === null ? null : Float32Array.from(voltageV), gaps };
}
