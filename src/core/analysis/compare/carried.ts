import type { Problem, ProblemCode } from '../../problems.ts';
import type { AnalysisResult } from '../results.ts';

/** Of each trace, so that a badly damaged one does not bury the comparison. */
const MOST_EACH = 5;
/** What takes samples away: the rest is whole and is compared. */
const LOST: ReadonlySet<ProblemCode> = new Set(['damaged-block', 'cut-short', 'skipped-rows']);

/** What was wrong with either trace by itself, said beside the comparison that rests on it. */
export function carriedProblems(before: AnalysisResult, after: AnalysisResult): Problem[] {
  return [['First', before], ['Second', after]].flatMap(([which, result]) => {
    const { problems } = result as AnalysisResult;
    const carried = problems.slice(0, MOST_EACH).map(({ code, text }) => ({ code, text: `${which as string} trace: ${text}${LOST.has(code) ? ' What is whole was compared.' : ''}` }));
    if (problems.length > MOST_EACH) carried.push({ code: problems[MOST_EACH].code, text: `${which as string} trace: ${problems.length - MOST_EACH} more remarks; analyse it by itself to see them.` });
    return carried;
  });
}
