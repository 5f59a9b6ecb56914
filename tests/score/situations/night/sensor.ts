import type { Gap } from '../../../../src/core/trace.ts';
import type { Chance } from './chance.ts';
import type { Wave } from './wave.ts';

/** What lies between the wire and the file. A zero, a drift or a gain that is wrong is no current of the vehicle. */
export interface Sensor {
  readonly noiseA: number;
  /** the smallest step that the logger writes; 0 for none */
  readonly resolutionA: number;
  readonly zeroA: number;
  /** standard deviation of the zeros of such sensors where nobody set them, by the data sheet */
  readonly zeroSigmaA: number;
  /** 1 when right; -1 for a clamp the wrong way round */
  readonly gain: number;
  readonly driftA: ((tS: number) => number) | null;
  readonly hum: { readonly ampsA: number; readonly frequencyHz: number } | null;
  readonly rangeA: number;
}

/** Offset of a TI INA226 at its input: 2.5 uV typically, which is one standard deviation (TI OPA992 data sheet); across a shunt of 75 mV at 100 A. */
const SHUNT_ZERO_A = 2.5e-6 / (75e-3 / 100);
/** The zero of an ACS712 moves by 0.26 mV a degree at 185 mV/A; nights differ by some ten degrees from when it was set. */
const HALL_ZERO_A = (0.26 / 185) * 10;

/** A shunt behind a 16-bit converter that averages (TI INA226). */
export function shuntLogger(chance: Chance): Sensor {
  return { zeroSigmaA: SHUNT_ZERO_A, noiseA: chance.logBetween(0.0002, 0.0012), resolutionA: chance.pick([0.0001, 0.00025, 0.0005, 0.001]), zeroA: chance.normal(SHUNT_ZERO_A), gain: 1, driftA: null, hum: null, rangeA: 80 };
}

/** A milliamp clamp of the better kind. No data sheet of one was read: its zero is taken to be as good as that of the shunt. */
export function smallClamp(chance: Chance): Sensor {
  return { zeroSigmaA: SHUNT_ZERO_A, noiseA: chance.logBetween(0.001, 0.004), resolutionA: 0.001, zeroA: chance.normal(SHUNT_ZERO_A), gain: 1, driftA: null, hum: null, rangeA: 30 };
}

/** A Hall sensor of +/-15 A: noise of some tens of milliamps (Allegro ACS712: 0.11 A peak to peak at 2 kHz). */
export function hallSensor(chance: Chance): Sensor {
  return { zeroSigmaA: HALL_ZERO_A, noiseA: chance.between(0.012, 0.03), resolutionA: chance.pick([0.005, 0.01, 0.02]), zeroA: chance.normal(HALL_ZERO_A), gain: 1, driftA: null, hum: null, rangeA: 15 };
}

/** Either of the two that a careful technician takes for this test. */
export function goodSensor(chance: Chance): Sensor {
  return chance.yes() ? shuntLogger(chance) : smallClamp(chance);
}

/** What the logger writes for the current of a wave. */
export function read(chance: Chance, wave: Wave, sensor: Sensor): Float32Array {
  const out = new Float32Array(wave.amps.length);
  const phase = chance.between(0, 2 * Math.PI);
  for (let i = 0; i < out.length; i++) {
    const tS = i * wave.stepS;
    let value = sensor.gain * wave.amps[i]! + sensor.zeroA + chance.normal(sensor.noiseA);
    if (sensor.driftA !== null) value += sensor.driftA(tS);
    if (sensor.hum !== null) value += sensor.hum.ampsA * Math.sin(2 * Math.PI * sensor.hum.frequencyHz * tS + phase);
    value = Math.max(-sensor.rangeA, Math.min(sensor.rangeA, value));
    out[i] = sensor.resolutionA > 0 ? Math.round(value / sensor.resolutionA) * sensor.resolutionA : value;
  }
  return out;
}

export interface Columns {
  readonly timeS: Float64Array;
  readonly currentA: Float32Array;
  readonly voltageV: Float32Array | null;
}

export function evenTimes(wave: Wave): Float64Array {
  return Float64Array.from({ length: wave.amps.length }, (_, i) => i * wave.stepS);
}

/** Takes out what a logger did not deliver. Each gap runs from the last sample before to the first one after. */
export function withGaps(columns: Columns, missing: readonly { fromS: number; toS: number }[]): Columns & { gaps: Gap[] } {
  const keep: number[] = [];
  const gaps: Gap[] = [];
  let openS: number | null = null;
  for (let i = 0; i < columns.timeS.length; i++) {
    const tS = columns.timeS[i]!;
    if (missing.some((span) => tS >= span.fromS && tS < span.toS)) {
      if (openS === null && keep.length > 0) openS = columns.timeS[keep.at(-1)!]!;
      continue;
    }
    if (openS !== null) gaps.push({ startS: openS, endS: tS });
    openS = null;
    keep.push(i);
  }
  return {
    timeS: Float64Array.from(keep, (i) => columns.timeS[i]!),
    currentA: Float32Array.from(keep, (i) => columns.currentA[i]!),
    voltageV: columns.voltageV === null ? null : Float32Array.from(keep, (i) => columns.voltageV![i]!),
    gaps,
  };
}
