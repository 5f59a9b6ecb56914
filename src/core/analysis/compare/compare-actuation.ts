import type { ActuationResult, Direction } from '../results.ts';
import type { Measured } from './change.ts';
import { actuationProblems, peaksDiffer } from './actuation-problems.ts';
import { ACTUATION_METRICS, actuationsOf, FAULTY_SHARE, type Metric } from './metrics/metrics.ts';
import { comparedPair, comparedShare } from './pair.ts';
import type { ComparedMetric, ComparisonReading } from './results.ts';
import { goesWithScale, sensorProblems, type SensorPair } from './sensors.ts';
import { leadsDiffer, modelUncertainty, scaled, supplyScale, type SupplyScale } from './supply.ts';
import { comparisonReading } from './reading.ts';
import { mixedUnits } from './units-check.ts';
import { actuationVerdict } from './verdict.ts';

export interface CompareOptions {
  /** a change smaller than this share of the before value counts as the same; default: each metric's own */
  readonly tolerance?: number;
  /** the sensors behind the traces; absent: one sensor recorded both */
  readonly sensors?: SensorPair;
}

/**
 * What changed between two motor tests: every figure, by direction, as the mean over the actuations of that direction, with 95 %
 * bounds of the change (see change.ts for how) and whether the change is larger than its uncertainty. Traces of different rate, length,
 * offset and noise compare, because figures are compared and not samples; a different supply voltage is scaled away and said so.
 */
export function actuationComparison(before: ActuationResult, after: ActuationResult, options: CompareOptions = {}): ComparisonReading {
  const scale = supplyScale(before, after);
  const wrongUnit = mixedUnits(before, after);
  const pairs: ComparedMetric[] = [];
  for (const direction of ['forward', 'reverse'] as const) {
    for (const metric of ACTUATION_METRICS) {
      const pair = comparedMetric(before, after, direction, metric, scale, options);
      if (pair !== null) pairs.push(wrongUnit === null || metric.unit === 's' ? pair : { ...pair, judgement: 'unsure' });
    }
  }
  const share = comparedShare(null, FAULTY_SHARE.name, faulty(before), faulty(after), FAULTY_SHARE.floor);
  if (share !== null) pairs.push(share);
  const problems = [...sensorProblems(options.sensors), ...actuationProblems(before, after, scale)];
  return comparisonReading({ before, after, pairs, wrongUnit, sensors: options.sensors, problems }, () => actuationVerdict(before, after, pairs));
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
  const first = read(before);
  const second = read(after).map((measured) => scaled(measured, metric, scale));
  const model = modelUncertainty(metric, second, scale);
  return comparedPair({
    direction,
    metric: metric.name,
    before: first,
    after: second,
    tolerance: options.tolerance ?? metric.tolerance,
    floor: metric.floor,
    unjudged: (metric.name === 'source_ohm' && leadsDiffer(before, after)) || (metric.name === 'inrush_peak_a' && peaksDiffer(before, after)),
    ...(model === undefined ? {} : { modelUncertainty: model }),
    ...(options.sensors === undefined || !goesWithScale(metric.unit) ? {} : { sensors: options.sensors }),
  });
}

function faulty({ actuations }: ActuationResult): { count: number; of: number } {
  // a press that the recording cuts, or that shows too little, is no evidence
  const judged = actuations.filter(({ cut, finding }) => cut === undefined && finding !== 'unclear');
  return { count: judged.filter(({ finding }) => finding !== 'normal').length, of: judged.length };
}
