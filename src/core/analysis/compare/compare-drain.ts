import { RESULT_SCHEMA, type DrainResult } from '../results.ts';
import { carriedProblems } from './carried.ts';
import type { CompareProblem } from './codes.ts';
import type { CompareOptions } from './compare-actuation.ts';
import { DRAIN_METRICS } from './drain-metrics.ts';
import { comparedPair } from './pair.ts';
import type { ComparedMetric, ComparisonReading } from './results.ts';
import { mixedUnits, wrongUnitProblem } from './units-check.ts';
import { drainVerdict, unitVerdict } from './verdict.ts';

/** What changed between two key-off tests: level asleep, time until asleep, average, wake-ups. */
export function drainComparison(before: DrainResult, after: DrainResult, options: CompareOptions = {}): ComparisonReading {
  const wrongUnit = mixedUnits(before, after);
  const pairs: ComparedMetric[] = [];
  for (const metric of DRAIN_METRICS) {
    const { name, floor, unit } = metric;
    const pair = comparedPair({
      direction: null,
      metric: name,
      before: metric.read(before),
      after: metric.read(after),
      tolerance: options.tolerance ?? metric.tolerance,
      floor,
      unjudged: wrongUnit !== null && unit !== 's' && unit !== '',
    });
    if (pair !== null) pairs.push(pair);
  }
  return {
    schema: RESULT_SCHEMA,
    test: 'drain',
    before_finding: before.verdict.finding,
    after_finding: after.verdict.finding,
    pairs,
    problems: [...wrongUnitProblem(wrongUnit), ...drainProblems(before, after), ...carriedProblems(before, after)],
    verdict: wrongUnit === null ? drainVerdict(before, after, pairs) : unitVerdict(before, after, wrongUnit),
  };
}

function drainProblems(before: DrainResult, after: DrainResult): CompareProblem[] {
  const problems: CompareProblem[] = [];
  const [first, second] = [before.asleep === null, after.asleep === null];
  if (first || second) problems.push({ problem: 'too-short', code: 'never-settled', side: first && second ? 'both' : first ? 'first' : 'second' });
  if (before.limit_a !== after.limit_a) problems.push({ problem: 'different-limit', code: 'other-limit', beforeA: before.limit_a, afterA: after.limit_a });
  return problems;
}
