import type { CompareCheck, CompareEvidence, CompareProblem, KnownGoodProblem, ManyCheck, ManyEvidence, ManyProblem, StandsOut } from '../analysis/compare/codes.ts';
import type { BoundsMethod, CompareFinding, Judgement } from '../analysis/compare/metrics/compared-metric.ts';
import type { KnownGoodLimit } from '../analysis/compare/known-good/known-good.ts';
import type { ManyResult } from '../analysis/compare/many/result.ts';
import type { MetricName } from '../analysis/compare/metrics/metric-names.ts';
import type { CalibrationWords } from './texts/calibration-words.ts';
import type { LibraryTexts } from './texts/library-texts.ts';
import type { MotorWords } from './texts/motor-words.ts';
import type { PressTexts } from './texts/press-texts.ts';
import type { CustomerTexts } from './texts/customer-texts.ts';
import type { HelpTexts } from './texts/help-texts.ts';
import type { NamesTexts } from './texts/names-texts.ts';
import type { NightWords } from './texts/night-words.ts';
import type { Finding } from '../analysis/findings.ts';
import type { WalkPoint } from '../analysis/readings/drop-walk.ts';
import type { Reversal } from '../analysis/readings/supply-reversal.ts';
import type { FuseNoteCode } from '../analysis/readings/types.ts';
import type { CheckCode } from '../reason/checks.ts';
import type { TestKind } from '../analysis/results.ts';
import type { CauseState } from '../reason/evidence.ts';
import type { ProofState } from '../reason/proof.ts';
import type { ObservationCode } from '../reason/table/table.ts';
import type { Cause, Effect, Moment, Point, Sign } from '../reason/types.ts';
import type { Caution } from '../reference/cautions.ts';
import type { FuseType } from '../reference/blade-fuses.ts';
import type { cli } from './en/cli/index.ts';
import type { daemon } from './en/daemon/index.ts';
import type { figures } from './en/figures.ts';
import type { caseFile } from './en/refusals/case-file.ts';
import type { files } from './en/refusals/files.ts';
import type { fuseList } from './en/refusals/fuse-list.ts';
import type { knownGoodFile } from './en/refusals/known-good-file.ts';
import type { linePicture } from './en/line-picture.ts';
import type { report } from './en/report.ts';
import type { screens } from './en/screens/index.ts';
import type { PagesTexts } from './texts/pages-texts.ts';
import type { TogetherTexts } from './texts/together-texts.ts';
import type { Format } from '../tracefile/formats.ts';
import type { Numbers } from './numbers.ts';
import type { SentencesOf } from './texts/sentences.ts';

/**
 * Every sentence that a person reads, by topic. Each part is a type over a closed list of codes, so a language with a sentence missing
 * does not compile. `en/` is the only one so far; `language.ts` says which one is spoken.
 */
export interface Words {
  /** BCP 47; numbers and dates follow it */
  readonly locale: string;
  readonly numbers: Numbers;
  /** `4.21 to 4.33` */
  readonly range: (low: string, high: string) => string;
  /** `F3, F7 and F12` */
  readonly listAnd: (parts: readonly string[]) => string;
  /** `.csv, .arrows or .zip` */
  readonly listOr: (parts: readonly string[]) => string;
  readonly findings: FindingTexts;
  /** ran and stopped, with nothing to judge it by */
  readonly unjudged: FindingTexts['normal'];
  /** ran and stopped, judged by the stall current that its own switch-on shows: no limits were given */
  readonly judgedByItself: FindingTexts['normal'];
  /** the same where nothing shows that the load is a motor */
  readonly judgedByItsFall: FindingTexts['normal'];
  readonly fuses: FuseTexts;
  readonly reason: ReasonTexts;
  readonly names: NamesTexts;
  readonly cautions: CautionTexts;
  readonly checks: CheckTexts;
  readonly calibration: CalibrationWords;
  readonly compare: CompareWords;
  readonly customer: CustomerTexts;
  readonly formats: FormatTexts;
  readonly help: HelpTexts;
  readonly library: LibraryTexts;
  readonly motor: MotorWords;
  readonly night: NightWords;
  readonly press: PressTexts;
  readonly pages: PagesTexts;
  readonly screens: typeof screens;
  readonly figures: typeof figures;
  readonly report: typeof report;
  readonly files: typeof files;
  readonly caseFile: typeof caseFile;
  readonly fuseList: typeof fuseList;
  readonly knownGoodFile: typeof knownGoodFile;
  readonly linePicture: typeof linePicture;
  readonly cli: typeof cli;
  readonly daemon: typeof daemon;
  readonly together: TogetherTexts;
}

export type FindingTexts = Readonly<Record<Finding, { readonly title: string; readonly sentence: string }>>;

export interface FuseTexts {
  /** `fuse` names it with type and rating */
  readonly notes: Readonly<Record<FuseNoteCode, (fuse: string) => string>>;
  /** once for the whole list */
  readonly cautions: readonly string[];
  readonly types: Readonly<Record<FuseType, string>>;
}

export interface CautionTexts {
  /** above all of them, on every card and every report */
  readonly comesFirst: string;
  readonly each: Readonly<Record<Caution, string>>;
}

export interface ReasonTexts {
  readonly causes: Readonly<Record<Cause, string>>;
  readonly states: Readonly<Record<CauseState, string>>;
  readonly effects: Readonly<Record<Exclude<Effect, 'nothing'>, string>>;
  /** what a sign asks, and how each answer reads as a reason */
  readonly signs: Readonly<Record<Sign, { readonly ask: string; readonly yes: string; readonly no: string }>>;
  /** what a trace or a set of volts shows; signs have their own words */
  readonly shown: Readonly<Record<Exclude<ObservationCode, `${Sign}:${'yes' | 'no'}`>, string>>;
  readonly points: Readonly<Record<Point, string>>;
  /** the same as names, for a form and a drawing */
  readonly pointNames: Readonly<Record<WalkPoint, string>>;
  readonly moments: Readonly<Record<Moment, string>>;
  readonly reversal: Readonly<Record<Reversal['outcome'], { readonly title: string; readonly text: string }>>;
  /** what readings taken at the vehicle showed, in a bracket behind what follows from them */
  readonly read: {
    readonly fuseCarries: (label: string, lowA: number, highA: number) => string;
    readonly pastTheFuses: (leftA: number, fuses: number) => string;
    readonly leads: (oneWay: readonly [number, number], otherWay: readonly [number, number]) => string;
  };
  readonly outweighed: (cause: string) => string;
  readonly nothingYet: string;
  /** `likeliest` is a cause, null where none is open */
  readonly noNext: (likeliest: string | null) => string;
  readonly verify: { readonly check: string; readonly where: string; readonly first: string; readonly second: string };
  readonly leftOut: (traces: string, test: TestKind) => string;
  readonly proof: Readonly<Record<ProofState, (cause: string, test: TestKind) => string>>;
}

export type CheckTexts = Readonly<Record<CheckCode, {
  readonly check: string;
  /** where to clamp, where the voltage lead goes, what to hold */
  readonly where: string;
  /** by the code of the outcome */
  readonly outcomes: Readonly<Record<string, string>>;
}>>;
export type FormatTexts = Readonly<Record<Format, { readonly name: string; readonly hint: string }>>;

type Titled = { readonly title: string; readonly sentence: string };

export interface CompareWords {
  /** a figure that one side has not */
  readonly none: string;
  readonly counted: (count: number, of: number) => string;
  readonly metrics: Readonly<Record<MetricName, string>>;
  readonly verdicts: Readonly<Record<CompareFinding, Titled>>;
  /** a comparison that claims nothing */
  readonly noClaim: Titled;
  readonly many: Readonly<Record<ManyResult['verdict']['finding'], Titled>>;
  /** of one among several: nothing sets it apart; its figures do not, but its finding does */
  readonly like: string;
  readonly otherFinding: (finding: string) => string;
  readonly judgements: Readonly<Record<Judgement, string>>;
  readonly methods: Readonly<Record<BoundsMethod, string>>;
  readonly because: SentencesOf<CompareEvidence>;
  readonly next: Readonly<Record<CompareCheck['code'], string>>;
  readonly problems: SentencesOf<CompareProblem>;
  readonly standsOut: (reason: StandsOut) => string;
  readonly manyBecause: SentencesOf<ManyEvidence>;
  readonly manyNext: Readonly<Record<ManyCheck['code'], string>>;
  readonly manyProblems: SentencesOf<ManyProblem>;
  readonly knownGoodProblems: SentencesOf<KnownGoodProblem>;
  readonly placeMethods: Readonly<Record<KnownGoodLimit['method'], string>>;
}
