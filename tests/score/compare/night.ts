import { analyseDrain } from '../../analyse.ts';
import { compareDrain } from '../../../src/core/present/documents/document-compare.ts';
import type { CompareFinding, CompareResult } from '../../../src/core/analysis/compare/results.ts';
import type { Trace } from '../../../src/core/trace.ts';
import { seeded } from '../actuation/random.ts';

/** A parked vehicle, as plain as can be: stages after key-off, a level asleep, wake-ups that add to it. */
export interface Night {
  readonly asleepA: number;
  /** s after the start at which the last controller goes to sleep; Infinity: never */
  readonly sleepS: number;
  readonly awakeA: number;
  readonly lengthS: number;
  /** a wake-up every so often; null: none */
  readonly wake: { readonly everyS: number; readonly forS: number; readonly addedA: number } | null;
  readonly rateHz: number;
  readonly noiseA: number;
}

export const QUIET: Night = { asleepA: 0.022, sleepS: 600, awakeA: 0.9, lengthS: 5400, wake: null, rateHz: 2, noiseA: 0.003 };

export function recordNight(night: Night, seed: number): Trace {
  const random = seeded(seed * 6151 + 3);
  const count = Math.round(night.lengthS * night.rateHz);
  const timeS = new Float64Array(count);
  const currentA = new Float32Array(count);
  const sleepS = night.sleepS * (0.95 + 0.1 * random.next());
  const firstWakeS = sleepS + 200 + 100 * random.next();
  for (let i = 0; i < count; i++) {
    const atS = i / night.rateHz;
    let amps = night.asleepA;
    if (atS < 30) amps += 3;
    if (atS < sleepS) amps += night.awakeA;
    else if (night.wake !== null && atS > firstWakeS && (atS - firstWakeS) % night.wake.everyS < night.wake.forS) amps += night.wake.addedA;
    timeS[i] = atS;
    currentA[i] = amps + night.noiseA * random.normal();
  }
  return { timeS, currentA, voltageV: null, gaps: [] };
}

export interface NightKind {
  readonly name: string;
  readonly before: Partial<Night>;
  readonly after: Partial<Night>;
  readonly expected: CompareFinding;
}

const WAKES = { everyS: 600, forS: 45, addedA: 0.135 };

export const NIGHT_KINDS: readonly NightKind[] = [
  { name: 'drain cured', before: { asleepA: 0.4 }, after: {}, expected: 'repaired' },
  { name: 'small drain cured', before: { asleepA: 0.09 }, after: {}, expected: 'repaired' },
  { name: 'never slept, then asleep', before: { sleepS: Infinity }, after: {}, expected: 'repaired' },
  { name: 'drain lower, still over', before: { asleepA: 0.4 }, after: { asleepA: 0.12 }, expected: 'better' },
  { name: 'drain a little lower', before: { asleepA: 0.3 }, after: { asleepA: 0.25 }, expected: 'better' },
  { name: 'never slept, then a drain', before: { sleepS: Infinity }, after: { asleepA: 0.2 }, expected: 'better' },
  { name: 'same drain', before: { asleepA: 0.3 }, after: { asleepA: 0.3 }, expected: 'unchanged' },
  { name: 'same drain, other logger', before: { asleepA: 0.3 }, after: { asleepA: 0.3, rateHz: 1, noiseA: 0.01 }, expected: 'unchanged' },
  { name: 'same drain, begun later and longer', before: { asleepA: 0.3 }, after: { asleepA: 0.3, sleepS: 240, lengthS: 9000 }, expected: 'unchanged' },
  { name: 'same sleep', before: {}, after: {}, expected: 'unchanged' },
  { name: 'same sleep, begun later', before: {}, after: { sleepS: 200 }, expected: 'unchanged' },
  { name: 'same sleep with wake-ups', before: { wake: WAKES }, after: { wake: WAKES }, expected: 'unchanged' },
  { name: 'same drain with wake-ups', before: { wake: WAKES, asleepA: 0.3 }, after: { wake: WAKES, asleepA: 0.3 }, expected: 'unchanged' },
  { name: 'never slept, twice', before: { sleepS: Infinity }, after: { sleepS: Infinity }, expected: 'unchanged' },
  { name: 'drain came', before: {}, after: { asleepA: 0.3 }, expected: 'worse' },
  { name: 'drain grew', before: { asleepA: 0.2 }, after: { asleepA: 0.3 }, expected: 'worse' },
  { name: 'does not sleep any more', before: {}, after: { sleepS: Infinity }, expected: 'worse' },
  { name: 'never slept, draws less', before: { sleepS: Infinity }, after: { sleepS: Infinity, awakeA: 0.4 }, expected: 'better' },
];

export interface JudgedNight {
  readonly result: CompareResult;
  readonly trueA: number;
}

export function judgeNight(kind: NightKind, seed: number): JudgedNight {
  const before = { ...QUIET, ...kind.before };
  const after = { ...QUIET, ...kind.after };
  const result = compareDrain(analyseDrain(recordNight(before, seed * 2), [], {}), analyseDrain(recordNight(after, seed * 2 + 1), [], {}));
  return { result, trueA: after.asleepA - before.asleepA };
}
