import { FINDINGS, type Finding } from '../../analysis/findings.ts';
import { isMotorKind, type Actuation, type AnalysisResult, type VerdictBasis } from '../../analysis/results.ts';
import { language } from '../language.ts';

export interface FindingWords {
  readonly title: string;
  readonly sentence: string;
  /** good: nothing to repair seen · fault: something to repair seen · open: cannot tell, or not yet */
  readonly tone: 'good' | 'fault' | 'open';
  /** nobody has worked the switch yet: there is no finding to give reasons for */
  readonly waits?: true;
}

/** Title, sentence and tone of a finding; one that this version does not know is shown as it came. */
export function findingWords(finding: string): FindingWords {
  if (!Object.hasOwn(FINDINGS, finding)) return { title: finding, sentence: '', tone: 'open' };
  const known = finding as Finding;
  return { ...language.findings[known], tone: FINDINGS[known].tone };
}

/** A finding as one word; one that this version does not know is shown as it came. */
export function findingName(finding: string): string {
  return Object.hasOwn(FINDINGS, finding) ? language.names.findings[finding as Finding] : finding;
}

/** The same for a whole test: `normal` is good news only where there was something to judge it by, and says by what. */
export function resultWords(result: AnalysisResult): FindingWords {
  if (result.test === 'drain') return judgedWords(result.verdict.finding, undefined);
  const words = judgedWords(result.verdict.finding, result.verdict.basis);
  return result.verdict.finding === 'normal' && result.verdict.basis === 'itself' && !isMotorKind(result.load.kind) ? { ...words, ...language.judgedByItsFall } : words;
}

/** The same where only the finding and what it was judged by were kept; `basis` is that of a motor test. */
export function judgedWords(finding: string, basis: VerdictBasis | undefined): FindingWords {
  const words = findingWords(finding);
  if (finding !== 'normal') return words;
  if (basis === 'none') return { ...language.unjudged, tone: 'open' };
  return basis === 'itself' ? { ...words, ...language.judgedByItself } : words;
}

/** The same for one press of a test judged by `basis`. Where the recording cuts it, its recorded part may show a fault and never that all is well; `goesOn` says that it is the press of now. */
export function pressWords({ finding, cut }: Actuation, goesOn: boolean, basis?: VerdictBasis): Pick<FindingWords, 'title' | 'tone'> {
  const words = judgedWords(finding, basis);
  if (cut === undefined) return words;
  const fault = words.tone === 'fault' ? words.title : null;
  const title = goesOn && cut !== 'start' ? language.press.stillOn(fault) : language.press.cutOff(fault);
  return { title, tone: fault === null ? 'open' : 'fault' };
}

/** Words for a test that runs now: a press that is still going on, with none whole before it, is no test that cannot tell; and as long as nobody has worked the switch, no volts behind it are no fault. */
export function liveWords(result: AnalysisResult): FindingWords {
  if (result.test === 'actuation' && result.verdict.finding === 'unpowered' && result.actuations.length === 0) return { title: language.press.noPressYet, sentence: language.press.noPressYetSentence, tone: 'open', waits: true };
  const newest = result.test === 'actuation' ? result.actuations.at(-1) : undefined;
  const goesOn = newest?.cut === 'end' || newest?.cut === 'both';
  if (newest === undefined || !goesOn || result.verdict.finding !== 'unclear') return resultWords(result);
  return { ...pressWords(newest, true), sentence: language.press.stillOnSentence };
}
