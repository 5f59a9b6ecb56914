import { analyseActuation } from '../../analyse.ts';
import { compareActuation } from '../../../src/core/present/documents/document-compare.ts';
import type { CompareFinding, CompareResult } from '../../../src/core/analysis/compare/results.ts';
import { generateTrace } from '../actuation/generate.ts';
import type { LabelledTrace } from '../actuation/labels.ts';

/** Pairs out of the generator of the accuracy score: of one seed both are the same motor, with other sensors, loads and hands. */
export const DRAWN_PAIRS: readonly { readonly before: string; readonly after: string; readonly expected: CompareFinding }[] = [
  { before: 'heavy', after: 'normal', expected: 'repaired' },
  { before: 'jam', after: 'normal', expected: 'repaired' },
  { before: 'locked', after: 'normal', expected: 'repaired' },
  { before: 'intermittent', after: 'normal', expected: 'repaired' },
  { before: 'locked', after: 'jam', expected: 'better' },
  { before: 'normal', after: 'heavy', expected: 'worse' },
  { before: 'normal', after: 'jam', expected: 'worse' },
  { before: 'normal', after: 'reversal', expected: 'unchanged' },
];

export interface DrawnJudgement {
  readonly result: CompareResult;
  /** what the two analyses alone got right: without that no comparison can be */
  readonly readRight: boolean;
  readonly run: readonly { readonly trueA: number; readonly low: number; readonly high: number }[];
}

export function judgeDrawn(before: string, after: string, seed: number): DrawnJudgement {
  const [first, second] = [generateTrace(seed, before), generateTrace(seed, after)];
  // the person knows the circuit's usual range or does not; both traces are read with the same knowledge
  const options = { ...second.options, ...first.options };
  const [a, b] = [analyseActuation(first.trace, options), analyseActuation(second.trace, options)];
  const result = compareActuation(a, b);
  return { result, readRight: a.verdict.finding === first.finding && b.verdict.finding === second.finding, run: runChanges(result, first, second) };
}

function runChanges(result: CompareResult, before: LabelledTrace, after: LabelledTrace): DrawnJudgement['run'] {
  return (['forward', 'reverse'] as const).flatMap((direction) => {
    const pair = result.pairs.find((one) => one.metric === 'run_a' && one.direction === direction);
    const runs = [before, after].map(({ presses }) => presses.filter((press) => press.direction === direction && press.runA !== null).map(({ runA }) => runA as number));
    if (pair === undefined || pair.low === null || pair.high === null || runs[0].length !== pair.before_count || runs[1].length !== pair.after_count) return [];
    const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length;
    return [{ trueA: mean(runs[1]) - mean(runs[0]), low: pair.low, high: pair.high }];
  });
}
