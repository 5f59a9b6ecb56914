import type { CompareResult } from '../analysis/compare/results.ts';
import type { Finding } from '../analysis/findings.ts';
import type { AnalysisResult } from '../analysis/results.ts';
import type { ProofState } from '../reason/proof.ts';
import type { Repair } from '../tracefile/record.ts';
import { en } from './en/index.ts';
import { localDay } from './local-time.ts';

/** What the two sentences on top of the customer's page are made of. */
export interface CustomerCase {
  readonly repair: Repair | null;
  readonly proof: ProofState | null;
  readonly comparison: CompareResult | null;
  readonly traces: readonly { readonly start: string; readonly result: AnalysisResult | null }[];
  readonly timeZone: string;
}

const PROVES: ReadonlySet<ProofState> = new Set(['confirmed', 'works', 'works-otherwise']);

/** What was wrong and what was done; how it is proven. Two plain sentences, which claim nothing that the traces do not carry. */
export function customerSentences(about: CustomerCase): readonly [string, string] {
  return [first(about), second(about)];
}

function first({ repair, timeZone }: CustomerCase): string {
  const { found, part: partWords, repair: sentence, noRepair } = en.customer;
  if (repair === null) return noRepair;
  const done = [plain(repair.work), repair.part.trim() === '' ? '' : partWords(plain(repair.part))].filter((text) => text !== '').join('; ');
  return sentence(repair.cause === null ? null : found[repair.cause], done, localDay(repair.at, timeZone));
}

function second({ repair, proof, comparison, traces, timeZone }: CustomerCase): string {
  const words = en.customer;
  if (comparison !== null) {
    if (comparison.verdict.claims === false) return words.noClaim;
    const [before, after] = [pastOf(comparison.before_finding, traces[0]?.result), pastOf(comparison.after_finding, traces[1]?.result)];
    if (repair === null) return words.twice(before, after);
    const proven = comparison.verdict.finding === 'repaired' && (proof === null || PROVES.has(proof));
    return proven ? words.proven(before, after) : words.notProven(before, after);
  }
  const last = traces.findLast(({ result }) => result !== null);
  if (last === undefined) return words.untested;
  const past = pastOf(last.result!.verdict.finding, last.result);
  if (repair === null) return words.once(localDay(last.start, timeZone), past);
  return Date.parse(last.start) < Date.parse(repair.at) || proof === 'not-tested' ? words.untested : words.afterAlone(past, proof !== null && PROVES.has(proof));
}

function pastOf(finding: string, result: AnalysisResult | null | undefined): string {
  const { past } = en.customer;
  if (finding === 'normal' && result?.test === 'actuation' && result.verdict.basis === 'none') return past.unjudged;
  return Object.hasOwn(past, finding) ? past[finding as Finding] : past.unclear;
}

/** A person's own words, to stand inside a sentence. */
function plain(text: string): string {
  return text.trim().replaceAll(/\s*\n+\s*/g, '; ').replace(/[.;\s]+$/, '');
}
