import type { Part } from './parts.ts';

/** Battery, cable and what else the supply does. */
export interface Feed {
  readonly openV: number;
  readonly batteryOhm: number;
  /** wire, fuse and switch up to the loads; it may grow while it warms */
  readonly wireOhm: number;
  readonly wireGrowsPerS: number;
  /** an engine running: the alternator's ripple on the open volts (peak, Hz), and through it on the current of other loads */
  readonly rippleV: number;
  readonly rippleHz: number;
}

/** Where and how the logger looks, before the sensor's own faults. */
export interface Looking {
  readonly rateHz: number;
  readonly durationS: number;
  /** low-pass of the clamp (first order), Hz */
  readonly bandwidthHz: number;
  /** round the motor's own wire (signed) or round the feed of all loads */
  readonly clampAt: 'motor' | 'feed';
  readonly tap: 'motor' | 'battery' | 'none';
  /** moments of reading wander by this share of the period (standard deviation) */
  readonly jitter: number;
  /** longest step of the calculation, s */
  readonly stepS: number;
}

/** What a perfect observer has, reading by reading, beside what the clamp's core feels. */
export interface Record {
  readonly timeS: Float64Array;
  /** after the clamp's bandwidth */
  readonly feltA: Float64Array;
  /** mean and greatest size of the current under the clamp since the reading before */
  readonly meanA: Float64Array;
  readonly peakA: Float64Array;
  readonly tapV: Float64Array | null;
  /** per motor: speed in turns a second (signed) and angle in turns */
  readonly turnsPerS: readonly Float64Array[];
  readonly turns: readonly Float64Array[];
}

/** What the bench has to know of a motor to record it, whatever its equations are. */
export interface Driven {
  /** current in the motor's own wire, signed */
  readonly wireA: number;
  /** volts across the motor's terminals */
  terminalV: number;
  readonly motor: { readonly speed: number; readonly angle: number; readonly ripples: number; readonly spec: { readonly kVs: number } };
}

export interface Bench {
  readonly feed: Feed;
  readonly parts: readonly Part[];
  /** those of the parts that are motors, the judged one first */
  readonly motors: readonly Driven[];
  /** draws that the clamp does not see (another circuit of the battery) */
  readonly elsewhereA?: (timeS: number) => number;
}

/** the `jitterNormal` deviates must not depend on the step, so they are drawn by the caller */
export function runBench(bench: Bench, look: Looking, jitterNormal: () => number): Record {
  const { feed, parts, motors } = bench;
  const count = Math.floor(look.durationS * look.rateHz);
  const perReading = Math.max(1, Math.ceil(1 / (look.rateHz * look.stepS)));
  const stepS = 1 / (look.rateHz * perReading);
  const record = blank(count, look, motors.length);
  const follow = 1 - Math.exp(-2 * Math.PI * look.bandwidthHz * stepS);
  let felt = 0;
  let sum = 0;
  let peak = 0;
  let steps = 0;
  let index = 0;
  let due = 0;
  for (let step = 0; index < count; step++) {
    const timeS = step * stepS;
    const elsewhereA = bench.elsewhereA?.(timeS) ?? 0;
    const nodeV = solve(feed, parts, timeS, elsewhereA);
    let feedA = 0;
    for (const part of parts) {
      feedA += part.heldA + part.siemens * nodeV;
      part.advance(nodeV, stepS, timeS);
    }
    const wireA = look.clampAt === 'feed' ? feedA : motors[0]!.wireA;
    // the clamp has hung there for long when the recording begins
    felt = step === 0 ? wireA : felt + follow * (wireA - felt);
    sum += wireA;
    steps++;
    if (Math.abs(wireA) > Math.abs(peak)) peak = wireA;
    if (step < due) continue;
    record.timeS[index] = timeS;
    record.feltA[index] = felt;
    record.meanA[index] = sum / steps;
    record.peakA[index] = peak;
    if (record.tapV !== null) record.tapV[index] = look.tap === 'motor' ? motors[0]!.terminalV : openVolts(feed, timeS) - feed.batteryOhm * (feedA + elsewhereA);
    for (let motor = 0; motor < motors.length; motor++) {
      record.turnsPerS[motor]![index] = motors[motor]!.motor.speed / (2 * Math.PI);
      record.turns[motor]![index] = motors[motor]!.motor.angle / (2 * Math.PI);
    }
    sum = 0;
    steps = 0;
    peak = 0;
    index++;
    const nominal = index * perReading;
    const wander = look.jitter === 0 ? 0 : Math.max(-0.45, Math.min(0.45, look.jitter * jitterNormal())) * perReading;
    due = Math.max(step + 1, Math.round(nominal + wander));
  }
  return record;
}

function openVolts(feed: Feed, timeS: number): number {
  return feed.rippleV === 0 ? feed.openV : feed.openV + feed.rippleV * Math.abs(Math.sin(Math.PI * feed.rippleHz * timeS)) - feed.rippleV * (2 / Math.PI);
}

/** Asks every part what it draws, and solves the one node they share. */
function solve(feed: Feed, parts: readonly Part[], timeS: number, elsewhereA: number): number {
  let held = 0;
  let siemens = 0;
  for (const part of parts) {
    part.prepare(timeS);
    held += part.heldA;
    siemens += part.siemens;
  }
  const ohm = feed.batteryOhm + feed.wireOhm * (1 + feed.wireGrowsPerS * timeS);
  return (openVolts(feed, timeS) - feed.batteryOhm * elsewhereA - ohm * held) / (1 + ohm * siemens);
}

function blank(count: number, look: Looking, motors: number): Record {
  const column = (): Float64Array => new Float64Array(count);
  return {
    timeS: column(), feltA: column(), meanA: column(), peakA: column(), tapV: look.tap === 'none' ? null : column(),
    turnsPerS: Array.from({ length: motors }, column), turns: Array.from({ length: motors }, column),
  };
}
