import type { Problem } from '../../problems.ts';
import { significant } from '../../units.ts';
import { RESULT_SCHEMA, type ActuationResult, type Direction } from '../results.ts';
import type { Measured } from './change.ts';
import { ACTUATION_METRICS, actuationsOf, type Metric } from './metrics.ts';
import { comparedPair } from './pair.ts';
import type { ComparedMetric, CompareResult } from './results.ts';
import { scaled, supplyScale, type SupplyScale } from './supply.ts';
import { actuationVerdict } from './verdict.ts';

export interface CompareOptions {
  /** a change smaller than this share of the before value counts as the same; default: each metric's own */
  readonly tolerance?: number;
}

/**
 * What changed between two motor tests: every figure, by direction, as the mean over the actuations of that direction, with 95 %
 * bounds of the change (see change.ts for how) and whether the change is larger than its doubt. Traces of different rate, length,
 * offset and noise compare, because figures are compared and not samples; a different supply voltage is scaled away and said so.
 */
export function compareActuation(before: ActuationResult, after: ActuationResult, options: CompareOptions = {}): CompareResult {
  const problems: Problem[] = [];
  const scale = supplyScale(before, after);
  if (scale !== null) problems.push(supplyProblem(scale));
  const pairs: ComparedMetric[] = [];
  for (const direction of ['forward', 'reverse'] as const) {
    for (const metric of ACTUATION_METRICS) {
      const pair = comparedMetric(before, after, direction, metric, scale, options);
      if (pair !== null) pairs.push(pair);
    }
  }
  problems.push(...pairingProblems(before, after));
  return {
    schema: RESULT_SCHEMA,
    test: 'actuation',
    before_finding: before.verdict.finding,
    after_finding: after.verdict.finding,
    pairs,
    problems,
    verdict: actuationVerdict(before, after, pairs),
  };
}

function comparedMetric(
  before: ActuationResult,
  after: ActuationResult,
  direction: Direction,
  metric: Metric,
  scale: SupplyScale | null,
  options: CompareOptions,
): ComparedMetric | null {
  const read = (result: ActuationResult): Measured[] =>
    actuationsOf(result, direction).flatMap((actuation) => {
      const measured = metric.read(actuation);
      return measured === null ? [] : [measured];
    });
  return comparedPair({
    direction,
    metric: metric.name,
    before: read(before),
    after: read(after).map((measured) => scaled(measured, metric, scale)),
    tolerance: options.tolerance ?? metric.tolerance,
    floor: metric.floor,
  });
}

function supplyProblem({ beforeV, afterV }: SupplyScale): Problem {
  return {
    code: 'different-supply',
    text:
      `The supply under load was ${significant(beforeV, 3)} V before and ${significant(afterV, 3)} V after. Stall and inrush current, speed and ` +
      'time moving of the second trace are scaled to the first one\'s voltage by the motor\'s equations, under the same load; the running current needs no scaling.',
  };
}

function pairingProblems(before: ActuationResult, after: ActuationResult): Problem[] {
  if (before.actuations.length === 0 || after.actuations.length === 0) {
    const which = before.actuations.length === 0 ? (after.actuations.length === 0 ? 'Neither trace' : 'The first trace') : 'The second trace';
    const verb = which === 'Neither trace' ? 'has' : 'has no';
    return [{ code: 'no-pairs', text: `${which} ${verb} ${verb === 'has' ? 'an ' : ''}actuation, so only the findings can be set side by side. Record it again with the switch cycled.` }];
  }
  const problems: Problem[] = [];
  for (const direction of ['forward', 'reverse'] as const) {
    const counts = [actuationsOf(before, direction).length, actuationsOf(after, direction).length];
    if (counts[0] === 0 && counts[1] !== 0) problems.push({ code: 'no-pairs', text: `Only the second trace has ${direction} actuations; that direction is not compared.` });
    if (counts[1] === 0 && counts[0] !== 0) problems.push({ code: 'no-pairs', text: `Only the first trace has ${direction} actuations; that direction is not compared.` });
    if (Math.min(counts[0], counts[1]) === 1) {
      problems.push({
        code: 'few-traces',
        text: `One ${direction} actuation stands for a side: how much such actuations differ by themselves is not known. Three or more a side make a firmer answer.`,
      });
    }
  }
  return problems;
}
