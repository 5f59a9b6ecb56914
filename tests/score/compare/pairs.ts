import { analyseActuation } from '../../analyse.ts';
import { compareActuation } from '../../../src/core/present/documents/document-compare.ts';
import type { CompareFinding, CompareResult } from '../../../src/core/analysis/compare/results.ts';
import type { ActuationOptions } from '../../../src/core/analysis/options.ts';
import { seeded } from '../actuation/random.ts';
import { recordCircuit, SOUND, USUAL, type Circuit, type Recorded, type Recording } from './motor.ts';

/** A pair of recordings whose answer is known because the circuit was changed by known amounts between them. */
export interface PairKind {
  readonly name: string;
  readonly before: Partial<Circuit>;
  readonly after: Partial<Circuit>;
  readonly recording?: Partial<Recording>;
  /** of the second recording, where it differs */
  readonly second?: Partial<Recording>;
  readonly options?: ActuationOptions;
  readonly expected: CompareFinding;
}

const DRAG = { dryNm: SOUND.dryNm * 1.8 };
const LIMITS: ActuationOptions = { runLimitsA: [3, 5] };

export const PAIR_KINDS: readonly PairKind[] = [
  { name: 'same again', before: {}, after: {}, expected: 'unchanged' },
  { name: 'same again, other logger', before: {}, after: {}, second: { rateHz: 2000, noiseA: 0.12, offsetA: 0.2 }, expected: 'unchanged' },
  { name: 'same again, slow logger', before: {}, after: {}, second: { rateHz: 250, noiseA: 0.02 }, expected: 'unchanged' },
  { name: 'same again, held longer', before: {}, after: {}, second: { holdS: 4 }, expected: 'unchanged' },
  { name: 'same again, held shorter', before: {}, after: {}, second: { holdS: 1.5 }, expected: 'unchanged' },
  { name: 'same again, fewer presses', before: {}, after: {}, second: { presses: 2 }, expected: 'unchanged' },
  { name: 'same again, one way', before: {}, after: {}, recording: { bothWays: false, presses: 1 }, expected: 'unchanged' },
  { name: 'same again, uneven load', before: { pressToPress: 0.06 }, after: { pressToPress: 0.06 }, expected: 'unchanged' },
  { name: 'same again, voltage', before: {}, after: {}, recording: { lead: 'motor' }, expected: 'unchanged' },
  { name: 'same again, charger on', before: {}, after: { batteryV: 14.2 }, recording: { lead: 'motor' }, expected: 'unchanged' },
  { name: 'same again, charger on, no lead', before: {}, after: { batteryV: 14.2 }, expected: 'unchanged' },
  { name: 'same again, flat battery', before: {}, after: { batteryV: 11.2 }, recording: { lead: 'battery' }, expected: 'unchanged' },
  { name: 'same end stop', before: { travel: 200, end: 'stop' }, after: { travel: 200, end: 'stop' }, expected: 'unchanged' },
  { name: 'same end stop, held longer', before: { travel: 200, end: 'stop' }, after: { travel: 200, end: 'stop' }, second: { holdS: 4 }, expected: 'unchanged' },
  { name: 'same jam', before: { jamAt: 150 }, after: { jamAt: 150 }, expected: 'unchanged' },
  { name: 'same drag', before: DRAG, after: DRAG, options: LIMITS, expected: 'unchanged' },
  { name: 'jam freed', before: { jamAt: 150 }, after: {}, expected: 'repaired' },
  { name: 'jam freed, travel with switches', before: { jamAt: 150, travel: 300 }, after: { travel: 300 }, expected: 'repaired' },
  { name: 'lock freed', before: { locked: true }, after: {}, expected: 'repaired' },
  { name: 'drag freed, limits known', before: DRAG, after: {}, options: LIMITS, expected: 'repaired' },
  { name: 'drag freed, limits unknown', before: DRAG, after: {}, expected: 'better' },
  { name: 'contact cleaned', before: { dropouts: 3 }, after: {}, expected: 'repaired' },
  { name: 'contact a little better', before: { dropouts: 5 }, after: { dropouts: 1 }, expected: 'better' },
  { name: 'drag eased', before: { dryNm: SOUND.dryNm * 2.2 }, after: { dryNm: SOUND.dryNm * 1.5 }, options: LIMITS, expected: 'better' },
  { name: 'drag a little eased', before: { dryNm: SOUND.dryNm * 1.8 }, after: { dryNm: SOUND.dryNm * 1.5 }, options: LIMITS, expected: 'better' },
  { name: 'lock became jam', before: { locked: true }, after: { jamAt: 150 }, expected: 'better' },
  { name: 'heavier', before: {}, after: { dryNm: SOUND.dryNm * 1.3 }, expected: 'worse' },
  { name: 'a little heavier', before: {}, after: { dryNm: SOUND.dryNm * 1.12 }, expected: 'worse' },
  { name: 'heavier, limits known', before: {}, after: DRAG, options: LIMITS, expected: 'worse' },
  { name: 'drag grew', before: { dryNm: SOUND.dryNm * 1.5 }, after: { dryNm: SOUND.dryNm * 2 }, options: LIMITS, expected: 'worse' },
  { name: 'jam came', before: {}, after: { jamAt: 150 }, expected: 'worse' },
  { name: 'lock came', before: {}, after: { locked: true }, expected: 'worse' },
  { name: 'contact came loose', before: {}, after: { dropouts: 3 }, expected: 'worse' },
  { name: 'feed corroded', before: {}, after: { sourceOhm: 0.35 }, recording: { lead: 'motor' }, expected: 'worse' },
  { name: 'feed cleaned', before: { sourceOhm: 0.35 }, after: {}, recording: { lead: 'motor' }, expected: 'better' },
];

export interface JudgedPair {
  readonly result: CompareResult;
  /**
   * by direction, the 95 % bounds of the running current's change, what really changed between these presses, and, where the circuit is
   * the same twice, what changed between all presses it could have made: nothing
   */
  readonly run: readonly { readonly trueA: number; readonly populationA: number | null; readonly low: number; readonly high: number }[];
}

/** One pair with physics, hand and sensor drawn from the seed. */
export function judgePair(kind: PairKind, seed: number): JudgedPair {
  const random = seeded(seed * 31 + 7);
  const base: Circuit = { ...SOUND, batteryV: random.between(12.2, 13), inertia: SOUND.inertia * random.scale(0.6, 1.8), rippleShare: random.between(0.01, 0.06) };
  const first: Recording = { ...USUAL, noiseA: random.scale(0.01, 0.12), presses: 6, ...kind.recording };
  const before = recordCircuit({ ...base, ...kind.before }, first, seed * 2);
  const after = recordCircuit({ ...base, ...kind.after }, { ...first, ...kind.second }, seed * 2 + 1);
  const options = kind.options ?? {};
  const result = compareActuation(analyseActuation(before.trace, options), analyseActuation(after.trace, options));
  const same = JSON.stringify(kind.before) === JSON.stringify(kind.after);
  return { result, run: runChanges(result, before, after, same) };
}

function runChanges(result: CompareResult, before: Recorded, after: Recorded, same: boolean): JudgedPair['run'] {
  return (['forward', 'reverse'] as const).flatMap((direction) => {
    const pair = result.pairs.find((one) => one.metric === 'run_a' && one.direction === direction);
    if (pair === undefined || pair.low === null || pair.high === null) return [];
    const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    return [{ trueA: mean(after.runA[direction]) - mean(before.runA[direction]), populationA: same ? 0 : null, low: pair.low, high: pair.high }];
  });
}
