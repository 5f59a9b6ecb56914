import { RESULT_SCHEMA, type AnalysisResult } from '../results.ts';
import { carriedProblems } from './carried.ts';
import type { CompareProblem, Side } from './codes.ts';
import type { ComparedMetric, CompareVerdict, ComparisonReading } from './results.ts';
import { wrongUnitProblem } from './units-check.ts';
import { unitVerdict } from './verdict.ts';

/** What a comparison of either test has found so far. */
interface Compared {
  readonly before: AnalysisResult;
  readonly after: AnalysisResult;
  readonly pairs: ComparedMetric[];
  /** the trace that was probably read in the wrong unit */
  readonly wrongUnit: Side | null;
  readonly problems: readonly CompareProblem[];
}

/** The whole answer: the figures, what to know of both traces, and what it comes to. With a unit in question no verdict of figures is asked for. */
export function comparisonReading({ before, after, pairs, wrongUnit, problems }: Compared, verdict: () => CompareVerdict): ComparisonReading {
  return {
    schema: RESULT_SCHEMA,
    test: before.test,
    before_finding: before.verdict.finding,
    after_finding: after.verdict.finding,
    pairs,
    problems: [...wrongUnitProblem(wrongUnit), ...problems, ...carriedProblems(before, after)],
    verdict: wrongUnit === null ? verdict() : unitVerdict(before, after, wrongUnit),
  };
}
