import { RESULT_SCHEMA, type AnalysisResult } from '../results.ts';
import { carriedProblems } from './carried.ts';
import type { CompareProblem, Side } from './codes.ts';
import type { ComparedMetric, CompareVerdict, ComparisonReading } from './results.ts';
import { virtualSide, type SensorPair } from './sensors.ts';
import { wrongUnitProblem } from './units-check.ts';
import { noClaim } from './verdict.ts';

/** What a comparison of either test has found so far. */
interface Compared {
  readonly before: AnalysisResult;
  readonly after: AnalysisResult;
  readonly pairs: ComparedMetric[];
  /** the trace that was probably read in the wrong unit */
  readonly wrongUnit: Side | null;
  readonly sensors: SensorPair | undefined;
  readonly problems: readonly CompareProblem[];
}

/** The whole answer: the figures, what to know of both traces, and what it comes to. Where the traces do not belong together no verdict of figures is asked for. */
export function comparisonReading({ before, after, pairs, wrongUnit, sensors, problems }: Compared, verdict: () => CompareVerdict): ComparisonReading {
  const virtual = virtualSide(sensors);
  return {
    schema: RESULT_SCHEMA,
    test: before.test,
    before_finding: before.verdict.finding,
    after_finding: after.verdict.finding,
    pairs,
    problems: [...wrongUnitProblem(wrongUnit), ...problems, ...carriedProblems(before, after)],
    verdict: virtual !== null ? noClaim(before, after, { code: 'one-virtual', side: virtual }) : wrongUnit !== null ? noClaim(before, after, { code: 'wrong-unit', side: wrongUnit }) : verdict(),
  };
}
