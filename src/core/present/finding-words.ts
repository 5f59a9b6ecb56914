import { FINDINGS, type Finding } from '../analysis/findings.ts';
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
