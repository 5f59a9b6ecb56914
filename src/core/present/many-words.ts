import type { ManyResult } from '../analysis/compare/many/result.ts';
import { language } from './language.ts';
import { findingWords, type FindingWords } from './finding-words.ts';

type ManyFinding = ManyResult['verdict']['finding'];

const TONES: Readonly<Record<ManyFinding, FindingWords['tone']>> = { 'one-stands-out': 'fault', alike: 'good', 'cannot-tell': 'open' };

/** What is said of one of several that does not stand out in its figures: that alone makes it like the others only where it reads as most of them do. */
export function likeWords(finding: string, all: readonly string[]): string {
  const same = all.filter((one) => one === finding).length;
  return 2 * same > all.length ? language.compare.like : language.compare.otherFinding(findingWords(finding).title.toLowerCase());
}

/** What several traces side by side show. */
export function manyWords(finding: ManyFinding): FindingWords {
  return { ...language.compare.many[finding], tone: TONES[finding] };
}
