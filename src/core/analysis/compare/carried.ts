import type { ProblemCode } from '../../problems.ts';
import type { AnalysisResult } from '../results.ts';
import type { CompareProblem, Side } from './codes.ts';

/** Of each trace, so that a badly damaged one does not bury the comparison. */
const MOST_EACH = 5;
/** What takes samples away: the rest is whole and is compared. */
const LOST: ReadonlySet<ProblemCode> = new Set(['damaged-block', 'cut-short', 'skipped-rows']);

/** What was wrong with either trace by itself, said beside the comparison that rests on it. */
export function carriedProblems(before: AnalysisResult, after: AnalysisResult): CompareProblem[] {
  return [...carried('first', before), ...carried('second', after)];
}

function carried(side: Side, { problems }: AnalysisResult): CompareProblem[] {
  const list = problems.slice(0, MOST_EACH).map(({ code, text }): CompareProblem => ({ problem: code, code: 'carried', side, text, lost: LOST.has(code) }));
  if (problems.length > MOST_EACH) list.push({ problem: problems[MOST_EACH].code, code: 'carried-more', side, count: problems.length - MOST_EACH });
  return list;
}
