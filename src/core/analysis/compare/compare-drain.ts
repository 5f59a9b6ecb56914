import type { DrainResult } from '../results.ts';
import type { CompareProblem } from './codes.ts';
import type { CompareOptions } from './compare-actuation.ts';
import { DRAIN_METRICS } from './metrics/drain-metrics.ts';
import { comparedPair } from './pair.ts';
import type { ComparedMetric, ComparisonReading } from './results.ts';
import { goesWithScale, sensorProblems } from './sensors.ts';
import { comparisonReading } from './reading.ts';
import { mixedUnits } from './units-check.ts';
import { drainVerdict } from './verdict.ts';

/** What changed between two key-off tests: level asleep, time until asleep, average, wake-ups. */
export function drainComparison(first: DrainResult, second: DrainResult, options: CompareOptions = {}): ComparisonReading {
  const before = settled(first);
  const after = settled(second);
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
      ...(options.sensors === undefined || !goesWithScale(unit) ? {} : { sensors: options.sensors }),
      unjudged: wrongUnit !== null && unit !== 's' && unit !== '',
    });
    if (pair !== null) pairs.push(pair);
  }
  const problems = [...sensorProblems(options.sensors), ...drainProblems(before, after)];
  return comparisonReading({ before, after, pairs, wrongUnit, sensors: options.sensors, problems }, () => drainVerdict(before, after, pairs));
}

/** A level that held at the end, while a time-out might still have ended it, is compared like one at rest. */
function settled(result: DrainResult): DrainResult {
  const { held, limit_a: limitA } = result;
  if (result.asleep !== null || held == null) return result;
  return { ...result, asleep: { at_s: held.since_s, level_a: held.level_a, low_a: held.low_a, high_a: held.high_a }, over_limit: held.low_a > limitA ? true : null };
}

function drainProblems(before: DrainResult, after: DrainResult): CompareProblem[] {
  const problems: CompareProblem[] = [];
  const [first, second] = [before.asleep === null, after.asleep === null];
  if (first || second) problems.push({ problem: 'too-short', code: 'never-settled', side: first && second ? 'both' : first ? 'first' : 'second' });
  if (before.limit_a !== after.limit_a) problems.push({ problem: 'different-limit', code: 'other-limit', beforeA: before.limit_a, afterA: after.limit_a });
  return problems;
}
