import type { ManyResult } from '../../analysis/compare/many/result.ts';
import { language } from '../language.ts';
import type { VerdictBasis } from '../../analysis/results.ts';
import { judgedWords, type FindingWords } from './finding-words.ts';

type ManyFinding = ManyResult['verdict']['finding'];

/** Alike is not the same as good: all of them may have the same fault. */
const TONES: Readonly<Record<ManyFinding, FindingWords['tone']>> = { 'one-stands-out': 'fault', alike: 'open', 'cannot-tell': 'open' };

/** What is said of one of several that does not stand out in its figures: that alone makes it like the others only where it reads as most of them do. */
export function likeWords(own: Judged, all: readonly Judged[]): string {
  const same = all.filter(({ finding }) => finding === own.finding).length;
  return 2 * same > all.length ? language.compare.like : language.compare.otherFinding(judgedTitle(own).toLowerCase());
}

/** The finding of one of several, as it is called everywhere else: one that nothing judged is not called normal. */
export function judgedTitle({ finding, basis }: Judged): string {
  return judgedWords(finding, basis).title;
}

interface Judged {
  readonly finding: string;
  readonly basis?: VerdictBasis;
}

/** What several traces side by side show. */
export function manyWords(finding: ManyFinding): FindingWords {
  return { ...language.compare.many[finding], tone: TONES[finding] };
}
