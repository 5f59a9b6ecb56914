import type { BoundsMethod, CompareFinding, Judgement } from '../analysis/compare/results.ts';
import type { FindingWords } from './words.ts';

/** What a comparison found, in the words that page and report share. */
export const COMPARE_WORDS: Readonly<Record<CompareFinding, FindingWords>> = {
  repaired: { title: 'Repaired', sentence: 'The fault that the first recording shows is not in the second one.', tone: 'good' },
  better: { title: 'Better', sentence: 'The second recording is better than the first; something may be left.', tone: 'open' },
  unchanged: { title: 'No change', sentence: 'The two recordings show no change larger than the doubt of the measurement.', tone: 'open' },
  worse: { title: 'Worse', sentence: 'The second recording is worse than the first.', tone: 'fault' },
};

export const JUDGEMENT_WORDS: Readonly<Record<Judgement, string>> = { higher: 'higher', lower: 'lower', same: 'same', unsure: 'cannot tell' };

export const METHOD_WORDS: Readonly<Record<BoundsMethod, string>> = {
  bootstrap: 'by resampling over the actuations',
  welch: 'by Welch\'s t over few actuations',
  within: 'from the doubt within single readings',
  none: 'no basis for bounds',
};
