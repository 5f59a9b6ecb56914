import type { ManyResult } from '../analysis/compare/many-result.ts';
import { en } from './en/index.ts';
import type { FindingWords } from './finding-words.ts';

type ManyFinding = ManyResult['verdict']['finding'];

const TONES: Readonly<Record<ManyFinding, FindingWords['tone']>> = { 'one-stands-out': 'fault', alike: 'good', 'cannot-tell': 'open' };

/** What several traces side by side show. */
export function manyWords(finding: ManyFinding): FindingWords {
  return { ...en.compare.many[finding], tone: TONES[finding] };
}
