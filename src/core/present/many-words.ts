import type { ManyResult } from '../analysis/compare/many-result.ts';
import type { FindingWords } from './finding-words.ts';

/** What several traces side by side show, in the words that page and report share. */
export const MANY_WORDS: Readonly<Record<ManyResult['verdict']['finding'], FindingWords>> = {
  'one-stands-out': { title: 'One stands out', sentence: 'At least one differs from the others by more than they differ among themselves.', tone: 'fault' },
  alike: { title: 'Alike', sentence: 'None differs from the others by more than they differ among themselves.', tone: 'good' },
  'cannot-tell': { title: 'Cannot tell', sentence: 'There are too few to say which one is the odd one.', tone: 'open' },
};
