import { normalQuantile } from '../../distributions.ts';
import type { Problem } from '../../problems.ts';
import { SECONDS_PER_HOUR } from '../../units.ts';
import { RESULT_SCHEMA, type DrainResult } from '../results.ts';
import type { Measured } from './change.ts';
import type { CompareOptions } from './compare-actuation.ts';
import { comparedPair } from './pair.ts';
import type { ComparedMetric, CompareResult } from './results.ts';
import { drainVerdict } from './verdict.ts';

interface DrainMetric {
  readonly name: string;
  /** share of the before value, and an absolute floor, below which a change counts as the same */
  readonly tolerance: number;
  readonly floor: number;
  read(result: DrainResult): Measured[];
}

const HALF_WIDTH_95 = normalQuantile(0.975);
/** A millimeter clamp's or shunt's own step is about a milliamp (outside-numbers 7.3: 3.3 mA a step at 100 A, 1 mA finer). */
const CURRENT_FLOOR_A = 0.002;

const METRICS: readonly DrainMetric[] = [
  {
    name: 'asleep_a', tolerance: 0.05, floor: CURRENT_FLOOR_A,
    read: ({ asleep }) => (asleep === null ? [] : [{ value: asleep.level_a, sigma: (asleep.high_a - asleep.low_a) / (2 * HALF_WIDTH_95) }]),
  },
  { name: 'asleep_at_s', tolerance: 0.1, floor: 10, read: ({ asleep }) => (asleep === null ? [] : [{ value: asleep.at_s, sigma: SLEEP_MOMENT_SIGMA_S }]) },
  { name: 'average_a', tolerance: 0.05, floor: CURRENT_FLOOR_A, read: (result) => [{ value: result.average_a, sigma: averageSigma(result) }] },
  { name: 'wakeups_per_h', tolerance: 0.1, floor: 0.5, read: (result) => wakeUpsPerHour(result) },
  { name: 'wakeup_charge_c', tolerance: 0.1, floor: 0.5, read: ({ wakeups }) => wakeups.map(({ charge_c: charge }) => ({ value: charge, sigma: null })) },
];

/** The moment of sleep is found within 5 s in 95 of 100 noisy logs: the goal the drain test is scored against. */
const SLEEP_MOMENT_SIGMA_S = 5 / HALF_WIDTH_95;

/** What changed between two key-off tests: level asleep, time until asleep, average, wake-ups. */
export function compareDrain(before: DrainResult, after: DrainResult, options: CompareOptions = {}): CompareResult {
  const pairs: ComparedMetric[] = [];
  const problems: Problem[] = [];
  for (const metric of METRICS) {
    const { name, floor } = metric;
    const pair = comparedPair({
      direction: null,
      metric: name,
      before: metric.read(before),
      after: metric.read(after),
      tolerance: options.tolerance ?? metric.tolerance,
      floor,
    });
    if (pair !== null) pairs.push(pair);
  }
  for (const [name, result] of [['first', before], ['second', after]] as const) {
    if (result.asleep === null) problems.push({ code: 'too-short', text: `The ${name} trace never settled, so its current asleep cannot be compared; its average can.` });
  }
  return {
    schema: RESULT_SCHEMA,
    test: 'drain',
    before_finding: before.verdict.finding,
    after_finding: after.verdict.finding,
    pairs,
    problems,
    verdict: drainVerdict(before, after, pairs),
  };
}

/** The average's doubt: that of the level asleep, and of the number of wake-ups (counts scatter as their root). */
function averageSigma(result: DrainResult): number | null {
  if (result.asleep === null) return null;
  const levelSigma = (result.asleep.high_a - result.asleep.low_a) / (2 * HALF_WIDTH_95);
  const charges = result.wakeups.map(({ charge_c: charge }) => charge);
  const countSigma = Math.sqrt(charges.reduce((sum, charge) => sum + charge ** 2, 0)) / Math.max(result.trace.duration_s, 1);
  return Math.hypot(levelSigma, countSigma);
}

function wakeUpsPerHour(result: DrainResult): Measured[] {
  const asleepS = result.trace.duration_s - (result.asleep?.at_s ?? result.trace.duration_s);
  if (asleepS < SECONDS_PER_HOUR / 2) return [];
  const count = result.wakeups.length;
  return [{ value: (count * SECONDS_PER_HOUR) / asleepS, sigma: (Math.sqrt(Math.max(count, 1)) * SECONDS_PER_HOUR) / asleepS }];
}
