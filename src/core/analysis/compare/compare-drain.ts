import type { Problem } from '../../problems.ts';
import { formatCurrent } from '../../units.ts';
import { RESULT_SCHEMA, type DrainResult } from '../results.ts';
import { carriedProblems } from './carried.ts';
import type { CompareOptions } from './compare-actuation.ts';
import { DRAIN_METRICS } from './drain-metrics.ts';
import { comparedPair } from './pair.ts';
import type { ComparedMetric, CompareResult } from './results.ts';
import { mixedUnits } from './units-check.ts';
import { drainVerdict, unitVerdict } from './verdict.ts';

/** What changed between two key-off tests: level asleep, time until asleep, average, wake-ups. */
export function compareDrain(before: DrainResult, after: DrainResult, options: CompareOptions = {}): CompareResult {
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
  const problems = drainProblems(before, after);
  return {
    schema: RESULT_SCHEMA,
    test: 'drain',
    before_finding: before.verdict.finding,
    after_finding: after.verdict.finding,
    pairs,
    problems: [...(wrongUnit === null ? [] : [wrongUnit]), ...problems, ...carriedProblems(before, after)],
    verdict: wrongUnit === null ? drainVerdict(before, after, pairs) : unitVerdict(before, after, wrongUnit),
  };
}

function drainProblems(before: DrainResult, after: DrainResult): Problem[] {
  const problems: Problem[] = [];
  const awake = [before, after].filter(({ asleep }) => asleep === null).length;
  if (awake === 2) problems.push({ code: 'too-short', text: 'Neither trace settled, so currents asleep cannot be compared; the levels at their ends can.' });
  else if (awake === 1) {
    problems.push({ code: 'too-short', text: `The ${before.asleep === null ? 'first' : 'second'} trace never settled, so its current asleep cannot be compared; the findings and the averages can be set side by side.` });
  }
  if (before.limit_a !== after.limit_a) {
    problems.push({ code: 'different-limit', text: `The first trace was judged against ${formatCurrent(before.limit_a)}, the second against ${formatCurrent(after.limit_a)}: their findings are not of one measure. The currents compare.` });
  }
  return problems;
}
