import { findHoles } from '../../../src/core/tracefile/gap-finder.ts';
import type { Gap, Trace } from '../../../src/core/trace.ts';
import type { Dice } from './dice.ts';
import type { Track } from './roll.ts';

/**
 * The instrument in front of the true course. Figures from sensor data sheets (TI INA226, ACS712): a Hall IC of 0.11 A noise
 * peak to peak on a 10- or 12-bit converter, a clamp with its own low-pass and remanence, a shunt monitor that averages over each conversion.
 */
export interface Meter {
  readonly kind: 'hall' | 'clamp' | 'shunt';
  readonly rateHz: number;
  readonly noiseA: number;
  readonly stepA: number;
  readonly fullScaleA: number;
  readonly offsetA: number;
  readonly driftAPerS: number;
  readonly remanence: number;
  readonly humA: number;
  readonly humHz: number;
  /** corner of the low-pass, Hz, and its order; 0 none; -1 averaging over the sample period */
  readonly cornerHz: number;
  readonly order: 0 | 1 | 2 | -1;
  readonly jitter: number;
  readonly missing: number;
  readonly hole: boolean;
}

export interface Reading {
  readonly trace: Trace;
  /** what a perfect converter behind the same low-pass would have written at the same moments, A */
  readonly cleanA: Float64Array;
}

export function makeMeter(dice: Dice, peakA: number, runA: number, lengthS: number): Meter {
  const kind = dice.pick(['hall', 'hall', 'clamp', 'clamp', 'shunt'] as const);
  const fastest = lengthS > 30 ? 10_000 : 50_000;
  const fitted = (sizes: readonly number[]): number => sizes.find((size) => size >= peakA * 1.05) ?? peakA * 1.2;
  const most = Math.min(0.15, runA * 0.3);
  const offsetA = dice.chance(0.3) ? 0 : dice.between(-most, most);
  const driftAPerS = (dice.chance(0.5) ? dice.between(-1, 1) * Math.min(0.03, runA * 0.012) : 0) / lengthS;
  const hum = dice.chance(0.4) ? dice.scale(0.004, 0.08) : 0;
  const common = { kind, offsetA, driftAPerS, humHz: dice.pick([50, 60]), jitter: dice.chance(0.4) ? dice.between(0.02, 0.3) : 0, missing: dice.chance(0.3) ? dice.scale(0.0002, 0.01) : 0, hole: dice.chance(0.12) };
  if (kind === 'hall') {
    const fullScaleA = fitted([5, 20, 30, 50, 100]);
    const stepA = dice.chance(0.5) ? (2.6 * fullScaleA) / 1024 : (2.6 * fullScaleA) / 4096;
    return { ...common, rateHz: Math.round(dice.scale(250, fastest)), noiseA: dice.between(0.012, 0.025) * Math.max(1, fullScaleA / 20), stepA, fullScaleA, remanence: 0, humA: hum * 0.5, cornerHz: dice.scale(2000, 20_000), order: 1 };
  }
  if (kind === 'clamp') {
    const fullScaleA = fitted([10, 20, 60, 100]);
    const rateHz = Math.round(dice.scale(200, fastest));
    return { ...common, rateHz, noiseA: fullScaleA * dice.scale(0.0002, 0.002), stepA: fullScaleA / dice.pick([1024, 4096, 32768]), fullScaleA, remanence: dice.between(0, 0.0004), humA: hum, cornerHz: dice.scale(60, 20_000), order: dice.chance(0.5) ? 1 : 2 };
  }
  const ohm = dice.pick([0.0005, 0.001, 0.002].filter((value) => value * peakA < 0.0819).concat(0.0005));
  return { ...common, rateHz: dice.pick([200, 240, 470, 850, 1500, 1700, 3500, 4900, 7000]), noiseA: 3e-6 / ohm, stepA: 2.5e-6 / ohm, fullScaleA: 0.08192 / ohm, offsetA: offsetA * 0.1, driftAPerS: driftAPerS * 0.1, remanence: 0, humA: hum * 0.3, cornerHz: 0, order: -1 };
}

/** Reads the course from `fromS` to `toS`; the trace's own clock starts at 0 there. */
export function read(dice: Dice, meter: Meter, track: Track, fromS: number, toS: number, voltage: 'motor' | 'battery' | 'none', signed: boolean): Reading {
  const smooth = lowPass(track.currentA, meter, track.stepS);
  const periodS = 1 / meter.rateHz;
  const times: number[] = [];
  const clean: number[] = [];
  const amps: number[] = [];
  const volts: number[] = [];
  const holeS = meter.hole ? dice.between(fromS, toS) : Infinity;
  const holeEndS = holeS + dice.between(4 * periodS, Math.max(0.02, 12 * periodS));
  let remanentA = 0;
  let humPhase = dice.between(0, 6);
  const source = voltage === 'motor' ? track.motorV : track.batteryV;
  for (let n = 1; ; n++) {
    const trueS = fromS + n * periodS + meter.jitter * periodS * dice.between(-0.5, 0.5);
    if (trueS >= toS) break;
    const slot = Math.max(0, trueS / track.stepS);
    const index = Math.min(smooth.length - 2, Math.floor(slot));
    const share = Math.min(1, slot - index);
    const value = smooth[index] + (smooth[index + 1] - smooth[index]) * share;
    // remanence follows the largest recent current and fades in a few seconds
    const pull = meter.remanence * value;
    remanentA += (Math.abs(pull) > Math.abs(remanentA) ? 0.3 : 0.0002) * (pull - remanentA);
    humPhase += meter.humHz * 2 * Math.PI * periodS * (1 + 0.0005 * dice.between(-1, 1));
    if (dice.chance(meter.missing) || (trueS > holeS && trueS < holeEndS)) continue;
    const hum = meter.humA * (Math.cos(humPhase) + 0.3 * Math.cos(3 * humPhase + 1));
    const raw = value + meter.offsetA + meter.driftAPerS * (trueS - fromS) + remanentA + hum + meter.noiseA * dice.normal();
    const coded = Math.round(Math.max(-meter.fullScaleA, Math.min(meter.fullScaleA, raw)) / meter.stepA) * meter.stepA;
    times.push(trueS - fromS);
    clean.push(value);
    amps.push(coded);
    if (voltage !== 'none') volts.push(Math.round(((signed ? source[index] : Math.abs(source[index])) + 0.015 * dice.normal()) / 0.004) * 0.004);
  }
  const timeS = Float64Array.from(times);
  const gaps: Gap[] = findHoles(timeS).map((i) => ({ startS: timeS[i - 1], endS: timeS[i] }));
  return {
    trace: { timeS, currentA: Float32Array.from(amps), voltageV: voltage === 'none' ? null : Float32Array.from(volts), gaps },
    cleanA: Float64Array.from(clean),
  };
}

function lowPass(input: Float64Array, meter: Meter, stepS: number): Float64Array {
  const output = new Float64Array(input.length);
  if (meter.order === 0) return input;
  if (meter.order === -1) {
    const width = Math.max(1, Math.round(1 / meter.rateHz / stepS));
    let sum = 0;
    for (let i = 0; i < input.length; i++) {
      sum += input[i] - (i >= width ? input[i - width] : 0);
      output[i] = sum / width;
    }
    return output;
  }
  const keep = Math.exp(-2 * Math.PI * meter.cornerHz * stepS);
  let [one, two] = [0, 0];
  for (let i = 0; i < input.length; i++) {
    one += (1 - keep) * (input[i] - one);
    two += (1 - keep) * (one - two);
    output[i] = meter.order === 1 ? one : two;
  }
  return output;
}
