import { describeMetric } from '../../analysis/compare/describe.ts';
import type { MetricName } from '../../analysis/compare/metrics/metric-names.ts';
import type { ComparedMetric, CompareResult } from '../../analysis/compare/results.ts';
import type { Finding } from '../../analysis/findings.ts';
import type { AnalysisResult } from '../../analysis/results.ts';
import type { ProofState } from '../../reason/proof.ts';
import type { Repair } from '../../tracefile/record.ts';
import { changeWords } from './compare-words.ts';
import { language } from '../language.ts';
import { localDay } from '../local-time.ts';

/** What the two sentences on top of the customer's page are made of. */
interface CustomerCase {
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
  const { found, part: partWords, repair: sentence, noRepair } = language.customer;
  if (repair === null) return noRepair;
  const done = [plain(repair.work), repair.part.trim() === '' ? '' : partWords(plain(repair.part))].filter((text) => text !== '').join('; ');
  return sentence(repair.cause === null ? null : found[repair.cause], done, localDay(repair.at, timeZone));
}

function second({ repair, proof, comparison, traces, timeZone }: CustomerCase): string {
  const words = language.customer;
  if (comparison !== null) {
    if (comparison.verdict.claims === false) return words.noClaim;
    const [before, after] = [pastOf(comparison.before_finding, traces[0]?.result), pastOf(comparison.after_finding, traces[1]?.result)];
    if (repair === null) return words.twice(before, after);
    const proven = comparison.verdict.finding === 'repaired' && (proof === null || PROVES.has(proof));
    if (proven) return words.proven(before, after);
    const figures = before === after && comparison.verdict.finding === 'better' && proof !== 'still-open' ? movedInPlainWords(comparison).slice(0, MOST_IN_A_SENTENCE) : [];
    return figures.length === 0 ? words.notProven(before, after) : words.better(figures.map(({ name, pair }) => words.figureMoved(name, changeWords(pair).before, changeWords(pair).after)));
  }
  const last = traces.findLast(({ result }) => result !== null);
  if (last === undefined) return words.untested;
  const past = pastOf(last.result!.verdict.finding, last.result);
  if (repair === null) return words.once(localDay(last.start, timeZone), past);
  return Date.parse(last.start) < Date.parse(repair.at) || proof === 'not-tested' ? words.untested : words.afterAlone(past, proof !== null && PROVES.has(proof));
}

/** More would be read by nobody who pays. */
const MOST_IN_A_SENTENCE = 2;

/** A compared figure that moved by more than could be chance, under a name that needs no trade. */
interface MovedFigure {
  readonly name: string;
  readonly pair: ComparedMetric;
}

/** Those that decide first. Where the way to the end of travel is known, the time in motion says the same again. */
export function movedInPlainWords({ pairs }: CompareResult): MovedFigure[] {
  const bothWays = new Set(pairs.flatMap(({ direction }) => direction ?? [])).size > 1;
  const knowsTravel = pairs.some(({ metric, change }) => metric === 'travel_s' && change !== null);
  const { figures, ways } = language.customer;
  const moved = pairs.flatMap((pair): MovedFigure[] => {
    const plainName = figures[pair.metric as MetricName];
    if (plainName === undefined || (pair.metric === 'moving_s' && knowsTravel) || !(isGone(pair) || pair.judgement === 'higher' || pair.judgement === 'lower')) return [];
    return [{ name: bothWays && pair.direction !== null ? `${plainName}, ${ways[pair.direction]}` : plainName, pair }];
  });
  const rank = ({ pair }: MovedFigure): number => (isGone(pair) ? 2 : Number(describeMetric(pair.metric).decides));
  return moved.sort((a, b) => rank(b) - rank(a));
}

/** A stall that was there before and is not after has no current to compare, and is what the customer came for. */
function isGone({ metric, before, after }: ComparedMetric): boolean {
  return metric === 'stall_a' && before !== null && after === null;
}

function pastOf(finding: string, result: AnalysisResult | null | undefined): string {
  const { past } = language.customer;
  if (finding === 'normal' && result?.test === 'actuation' && result.verdict.basis === 'none') return past.unjudged;
  return Object.hasOwn(past, finding) ? past[finding as Finding] : past.unclear;
}

/** A person's own words, to stand inside a sentence. */
function plain(text: string): string {
  return text.trim().replaceAll(/[.;\s]*\n+\s*/g, '; ').replace(/[.;\s]+$/, '');
}
