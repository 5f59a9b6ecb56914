import type { Trace } from '../../../src/core/trace.ts';
import { seeded, type Random } from '../actuation/random.ts';

/**
 * A motor on a mechanism in SI units, for pairs of recordings that differ by known amounts. Permanent-magnet equations of any textbook:
 *   L di/dt = V - R i - k w        J dw/dt = k i - dry - viscous w
 * Its own code, apart from the virtual vehicle and from the accuracy score: three that agree are worth more than one.
 */
export interface Circuit {
  readonly batteryV: number;
  readonly sourceOhm: number;
  readonly motorOhm: number;
  readonly henry: number;
  /** V s = N m / A */
  readonly k: number;
  readonly inertia: number;
  readonly dryNm: number;
  readonly viscousNms: number;
  /** each press meets the load times 1 + this much, at random (one sigma) */
  readonly pressToPress: number;
  /** radians from end to end; Infinity: the hand ends every press */
  readonly travel: number;
  /** what happens at the end: a limit switch cuts the current, or the mechanism is held against a stop */
  readonly end: 'switch' | 'stop';
  /** radians into every forward press at which something jams; null: free */
  readonly jamAt: number | null;
  readonly locked: boolean;
  readonly dropouts: number;
  readonly ripplesPerTurn: number;
  readonly rippleShare: number;
}

export const SOUND: Circuit = {
  batteryV: 12.6, sourceOhm: 0.05, motorOhm: 0.85, henry: 0.002, k: 0.045, inertia: 1.2e-4, dryNm: 0.17, viscousNms: 4e-5,
  pressToPress: 0.01, travel: Infinity, end: 'switch', jamAt: null, locked: false, dropouts: 0, ripplesPerTurn: 16, rippleShare: 0.04,
};

export interface Recording {
  readonly rateHz: number;
  readonly noiseA: number;
  readonly offsetA: number;
  readonly presses: number;
  /** how long the hand holds, s */
  readonly holdS: number;
  /** both ways in turn, or only forward */
  readonly bothWays: boolean;
  readonly lead: 'motor' | 'battery' | null;
}

export const USUAL: Recording = { rateHz: 1000, noiseA: 0.05, offsetA: 0, presses: 6, holdS: 2.5, bothWays: true, lead: null };

export interface Recorded {
  readonly trace: Trace;
  /** mean current while running, by direction, of each press; what an ideal sensor would read */
  readonly runA: Readonly<Record<'forward' | 'reverse', number[]>>;
}

export function recordCircuit(circuit: Circuit, recording: Recording, seed: number): Recorded {
  const random = seeded(seed * 104_729 + 11);
  for (let i = 0; i < 5; i++) random.next();
  const timeS: number[] = [];
  const currentA: number[] = [];
  const voltageV: number[] = [];
  const runA = { forward: [] as number[], reverse: [] as number[] };
  const stepS = 1 / (recording.rateHz * Math.ceil(10_000 / recording.rateHz));
  const perSample = Math.round(1 / (recording.rateHz * stepS));
  let steps = 0;
  const take = (amps: number, volts: number): void => {
    if (steps++ % perSample !== 0) return;
    timeS.push(steps * stepS);
    currentA.push(amps + recording.offsetA + recording.noiseA * random.normal());
    voltageV.push(volts + 0.01 * random.normal());
  };
  const rest = (lastsS: number): void => {
    for (let i = 0; i < lastsS / stepS; i++) take(0, recording.lead === 'battery' ? circuit.batteryV : 0);
  };
  rest(0.8 + random.next());
  for (let press = 0; press < recording.presses; press++) {
    const reverse = recording.bothWays && press % 2 === 1;
    const load = 1 + circuit.pressToPress * random.normal();
    const meanA = onePress(circuit, recording, reverse, load, stepS, take, random);
    if (meanA !== null) runA[reverse ? 'reverse' : 'forward'].push(meanA);
    rest(0.7 + random.next());
  }
  return {
    trace: { timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: recording.lead === null ? null : Float32Array.from(voltageV), gaps: [] },
    runA,
  };
}

/** Mean current of the steady part; null when it never ran. */
function onePress(circuit: Circuit, recording: Recording, reverse: boolean, load: number, stepS: number, take: (amps: number, volts: number) => void, random: Random): number | null {
  const { batteryV, sourceOhm, motorOhm, henry, k, inertia, dryNm, viscousNms } = circuit;
  const holdS = recording.holdS * (0.85 + 0.3 * random.next());
  const lost = Array.from({ length: circuit.dropouts }, (_, i) => ((i + 0.4 + 0.2 * random.next()) / circuit.dropouts) * holdS);
  const sign = reverse ? -1 : 1;
  let i = 0;
  let w = 0;
  let angle = 0;
  let sum = 0;
  let count = 0;
  for (let atS = 0; atS < holdS; atS += stepS) {
    const closed = !lost.some((fromS) => atS > fromS && atS < fromS + 0.06) && !(circuit.end === 'switch' && angle > circuit.travel);
    const ohm = motorOhm + sourceOhm;
    if (closed) {
      const goal = (batteryV - k * w) / ohm;
      i = goal + (i - goal) * Math.exp((-stepS * ohm) / henry);
    } else i *= Math.exp(-stepS / 3e-4);
    const blocked = circuit.locked || (!reverse && circuit.jamAt !== null && angle > circuit.jamAt) || (circuit.end === 'stop' && angle > circuit.travel);
    if (blocked) w = 0;
    else {
      w += ((k * i - dryNm * load - viscousNms * w) / inertia) * stepS;
      if (w < 0) w = 0;
    }
    angle += w * stepS;
    const rippled = i * (1 + (w > 1 ? circuit.rippleShare * Math.sin(circuit.ripplesPerTurn * angle) : 0));
    // steady: after the rise and after any lost contact, before whatever ends the movement
    if (closed && !blocked && !lost.some((fromS) => atS > fromS && atS < fromS + 0.4) && atS > 0.35 && atS < holdS - 0.05) {
      sum += i;
      count++;
    }
    const volts = closed ? batteryV - i * sourceOhm * (recording.lead === 'battery' ? 0.4 : 1) : recording.lead === 'battery' ? batteryV : 0;
    take(sign * rippled, recording.lead === 'motor' ? sign * volts : volts);
  }
  for (let atS = 0; atS < 0.02; atS += stepS) {
    i *= Math.exp(-stepS / 3e-4);
    take(sign * i, recording.lead === 'battery' ? batteryV : 0);
  }
  return count * stepS < 0.1 ? null : sum / count;
}
