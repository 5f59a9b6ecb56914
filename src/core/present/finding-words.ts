import { FINDINGS, type Finding } from '../analysis/findings.ts';
import type { AnalysisResult } from '../analysis/results.ts';
import { en } from './en/index.ts';

export interface FindingWords {
  readonly title: string;
  readonly sentence: string;
  /** good: nothing to repair seen · fault: something to repair seen · open: cannot tell, or not yet */
  readonly tone: 'good' | 'fault' | 'open';
}

/** Title, sentence and tone of a finding; one that this version does not know is shown as it came. */
export function findingWords(finding: string): FindingWords {
  if (!Object.hasOwn(FINDINGS, finding)) return { title: finding, sentence: '', tone: 'open' };
  const known = finding as Finding;
  return { ...en.findings[known], tone: FINDINGS[known].tone };
}

/** The same for a whole test: `normal` is good news only where there was something to judge it by. */
export function resultWords(result: AnalysisResult): FindingWords {
  const { verdict } = result;
  if (result.test === 'actuation' && verdict.finding === 'normal' && result.verdict.basis === 'none') return { ...en.unjudged, tone: 'open' };
  return findingWords(verdict.finding);
}
