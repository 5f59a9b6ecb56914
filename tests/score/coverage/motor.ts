import type { Trace } from '../../../src/core/trace.ts';
import type { Chance } from '../second-drain/chance.ts';

/** Steps of the circuit's equations a second; and how the readings of every channel are taken from them. */
const SOLVED_HZ = 10_000;

interface Press {
  readonly onS: number;
  readonly offS: number;
  readonly sign: 1 | -1;
  /** of the usual load */
  readonly load: number;
  /** from here on the mechanism is at its stop; Infinity: never */
  readonly stopS: number;
}

/** What flowed, before any sensor: current and volts at the motor's feed, at SOLVED_HZ. */
export interface Circuit {
  readonly currentA: Float64Array;
  readonly feedV: Float64Array;
  readonly presses: readonly Press[];
  readonly sourceOhm: number;
  /** forward over reverse, of all the presses this circuit could make: what the run ratio estimates */
  readonly runRatio: number;
}

/** Presses of one direction differ by this share of their load, one standard deviation. */
const PRESSES_DIFFER = 0.02;

/** A brushed motor by its equations (v = R i + L di/dt + k w; J dw/dt = k i - load) on a feed of `sourceOhm`, pressed six times. */
export function solveCircuit(chance: Chance): Circuit {
  const openV = chance.between(11.9, 12.9);
  const sourceOhm = chance.spread(0.06, 0.3);
  const motorOhm = chance.spread(0.35, 1.1);
  const henry = motorOhm * chance.spread(0.0012, 0.004);
  const loop = sourceOhm + motorOhm;
  const standA = openV / loop;
  // a run at a quarter of the standing current, and the time in which it is reached
  const runA = standA * chance.between(0.16, 0.32);
  const constant = chance.spread(0.02, 0.05);
  const inertia = (chance.spread(0.05, 0.12) * constant * constant) / loop;
  const segments = chance.whole(8, 14);
  const rippled = chance.between(0.004, 0.012);
  const runRatio = chance.between(0.8, 1.25);
  const presses = script(chance, runRatio);
  const count = Math.round((presses[presses.length - 1].offS + 1.2) * SOLVED_HZ);
  const currentA = new Float64Array(count);
  const feedV = new Float64Array(count);
  let amps = 0;
  let speed = 0;
  let angle = 0;
  let press = 0;
  for (let i = 0; i < count; i++) {
    const atS = i / SOLVED_HZ;
    if (press < presses.length - 1 && atS >= presses[press].offS) press++;
    const { onS, offS, sign, stopS, load: share } = presses[press];
    const isOn = atS >= onS && atS < offS;
    if (!isOn) {
      amps = 0;
      speed *= 1 - 30 / SOLVED_HZ;
    } else {
      amps += ((openV - loop * amps - constant * speed) / henry) / SOLVED_HZ;
      const load = constant * runA * share * (1 + 0.01 * Math.sin(2 * Math.PI * 1.3 * atS + 2 * press));
      speed = atS >= stopS ? Math.max(0, speed - (speed * 400) / SOLVED_HZ) : Math.max(0, speed + ((constant * amps - load) / inertia) / SOLVED_HZ);
      angle += speed / SOLVED_HZ;
    }
    const flows = isOn ? amps * (1 + (speed > 1 ? rippled * Math.sin(segments * angle) : 0)) : 0;
    currentA[i] = sign * flows;
    feedV[i] = isOn ? openV - sourceOhm * flows : 0;
  }
  return { currentA, feedV, presses, sourceOhm, runRatio };
}

function script(chance: Chance, runRatio: number): Press[] {
  const presses: Press[] = [];
  let atS = chance.between(0.8, 1.2);
  for (const [sign, stops] of [[1, false], [-1, false], [1, false], [-1, false], [-1, false], [1, true]] as const) {
    const runsS = chance.between(1.2, 1.7);
    const stopS = stops ? atS + runsS : Infinity;
    const offS = atS + runsS + (stops ? chance.between(0.9, 1.3) : 0);
    presses.push({ onS: atS, offS, sign, stopS, load: (sign > 0 ? runRatio : 1) * (1 + PRESSES_DIFFER * chance.normal()) });
    atS = offS + chance.between(0.7, 1);
  }
  return presses;
}

/** What the analysis knows of the sensor; the errors themselves are drawn from it. */
export interface MotorSensor {
  readonly gainUncertaintyPercent: number;
  readonly zeroUncertaintyA: number;
  readonly zeroDriftAPerHour: number;
  readonly voltageGainPercent: number;
  readonly sensorBandwidthHz: number;
}

/** The circuit as a logger records it: scale, zero, drift, bandwidth, noise and converter's steps of one clamp and one voltage channel. */
export function recordCircuit({ currentA, feedV }: Circuit, chance: Chance): { readonly trace: Trace; readonly sensor: MotorSensor } {
  const sensor: MotorSensor = {
    gainUncertaintyPercent: chance.between(0.4, 1.6),
    zeroUncertaintyA: chance.spread(0.005, 0.05),
    zeroDriftAPerHour: chance.spread(0.05, 0.5),
    voltageGainPercent: chance.between(0.2, 0.6),
    sensorBandwidthHz: chance.spread(600, 4000),
  };
  const gain = 1 + (sensor.gainUncertaintyPercent / 100) * chance.normal();
  const voltGain = 1 + (sensor.voltageGainPercent / 100) * chance.normal();
  const zeroA = sensor.zeroUncertaintyA * chance.normal();
  const driftAPerS = (sensor.zeroDriftAPerHour / 3600) * chance.normal();
  const noiseA = chance.spread(0.008, 0.04);
  const stepA = chance.oneOf([0, 0.01, 0.02]);
  const stride = Math.round(SOLVED_HZ / chance.oneOf([1000, 2000]));
  const keeps = Math.exp((-2 * Math.PI * sensor.sensorBandwidthHz) / SOLVED_HZ);
  const count = Math.floor(currentA.length / stride);
  const timeS = new Float64Array(count);
  const readA = new Float32Array(count);
  const readV = new Float32Array(count);
  const onStep = (value: number, step: number): number => (step > 0 ? Math.round(value / step) * step : value);
  let slowA = 0;
  let k = 0;
  for (let i = 0; i < currentA.length && k < count; i++) {
    slowA = keeps * slowA + (1 - keeps) * currentA[i];
    if (i % stride !== 0) continue;
    timeS[k] = i / SOLVED_HZ;
    readA[k] = onStep(gain * slowA + zeroA + driftAPerS * timeS[k] + noiseA * chance.normal(), stepA);
    readV[k] = onStep(voltGain * feedV[i] + 0.008 * chance.normal(), 0.005);
    k++;
  }
  return { trace: { timeS, currentA: readA, voltageV: readV, gaps: [] }, sensor };
}

/** Mean of what flowed in [fromS, toS), its magnitude, A. */
export function meanFlow({ currentA }: Circuit, fromS: number, toS: number): number {
  let sum = 0;
  const [from, to] = [Math.round(fromS * SOLVED_HZ), Math.min(currentA.length, Math.round(toS * SOLVED_HZ))];
  for (let i = from; i < to; i++) sum += Math.abs(currentA[i]);
  return sum / Math.max(1, to - from);
}

/** Middle of what flowed in [fromS, toS), its magnitude, A: what a running level is by its definition. */
export function middleFlow({ currentA }: Circuit, fromS: number, toS: number): number {
  const values = currentA.slice(Math.round(fromS * SOLVED_HZ), Math.round(toS * SOLVED_HZ)).map(Math.abs).sort();
  return values.length === 0 ? 0 : (values[(values.length - 1) >> 1] + values[values.length >> 1]) / 2;
}

/** Peak, charge and I²t from the switch-on at `onS` to `toS`. */
export function startOf({ currentA }: Circuit, onS: number, toS: number): { readonly peakA: number; readonly chargeC: number; readonly i2tA2s: number } {
  let [peakA, chargeC, i2tA2s] = [0, 0, 0];
  for (let i = Math.round(onS * SOLVED_HZ); i < Math.min(currentA.length, toS * SOLVED_HZ); i++) {
    const amps = Math.abs(currentA[i]);
    peakA = Math.max(peakA, amps);
    chargeC += amps / SOLVED_HZ;
    i2tA2s += (amps * amps) / SOLVED_HZ;
  }
  return { peakA, chargeC, i2tA2s };
}
