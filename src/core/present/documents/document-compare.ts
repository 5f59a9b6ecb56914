import { actuationComparison, type CompareOptions } from '../../analysis/compare/compare-actuation.ts';
import { drainComparison } from '../../analysis/compare/compare-drain.ts';
import { knownGoodLimits, type KnownGood } from '../../analysis/compare/known-good/known-good.ts';
import { manyReading } from '../../analysis/compare/many/many.ts';
import type { ManyResult, NamedResult } from '../../analysis/compare/many/result.ts';
import type { ComparisonReading, CompareResult } from '../../analysis/compare/results.ts';
import type { ActuationResult, DrainResult } from '../../analysis/results.ts';
import { language } from '../language.ts';
import { sentence, type SentencesOf } from '../texts/sentences.ts';
import type { Problem, ProblemCode } from '../../problems.ts';
import type { Words } from '../words.ts';

/** What changed between two motor tests, with its sentences. */
export function compareActuation(before: ActuationResult, after: ActuationResult, options: CompareOptions = {}): CompareResult {
  return documentComparison(actuationComparison(before, after, options), language);
}

/** What changed between two key-off tests, with its sentences. */
export function compareDrain(before: DrainResult, after: DrainResult, options: CompareOptions = {}): CompareResult {
  return documentComparison(drainComparison(before, after, options), language);
}

/** Several traces of one test side by side, with their sentences. */
export function compareMany(given: readonly NamedResult[]): ManyResult {
  const { compare } = language;
  const reading = manyReading(given);
  const worded = <Item extends { because: Parameters<typeof compare.standsOut>[0] | null }>(item: Item): Omit<Item, 'because'> & { because: string } => ({
    ...item,
    because: item.because === null ? '' : compare.standsOut(item.because),
  });
  return {
    ...reading,
    traces: reading.traces.map(worded),
    actuations: reading.actuations.map(worded),
    problems: problemsOf(reading.problems, compare.manyProblems),
    verdict: {
      finding: reading.verdict.finding,
      because: reading.verdict.because.map((said) => sentence(compare.manyBecause, said)),
      next: reading.verdict.next.map(({ code }) => compare.manyNext[code]),
    },
  };
}

/** Limits learnt from known-good traces, with what is to be said of them. */
export function learnKnownGood(circuit: string, results: readonly ActuationResult[]): KnownGood {
  const reading = knownGoodLimits(circuit, results);
  return { ...reading, problems: problemsOf(reading.problems, language.compare.knownGoodProblems) };
}

function documentComparison(reading: ComparisonReading, { compare }: Words): CompareResult {
  const { because, next, ...verdict } = reading.verdict;
  return {
    ...reading,
    problems: problemsOf(reading.problems, compare.problems),
    verdict: { ...verdict, because: because.map((said) => sentence(compare.because, said)), next: next.map(({ code }) => compare.next[code]) },
  };
}

function problemsOf<Code extends { readonly problem: ProblemCode; readonly code: string }>(problems: readonly Code[], sentences: SentencesOf<Code>): Problem[] {
  return problems.map((said) => ({ code: said.problem, text: sentence(sentences, said) }));
}
