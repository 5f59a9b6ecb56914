import { answerOf, type ReportedPress } from './answer.ts';
import { BOUNDS } from './truth/bounds.ts';
import { matchPresses, overlapS } from './match.ts';
import type { Finding, PressTruth, Truth } from './truth/types.ts';

/** right: the finding and every remark hold · cannot-tell: honest, but says less · missed: silent about something plain · false: a claim against the definition. */
export type Outcome = 'right' | 'cannot-tell' | 'missed' | 'false';

export interface Judgement {
  readonly outcome: Outcome;
  /** the gravest reason first */
  readonly reasons: readonly string[];
}

/** reported open volts may pass the true ones by this share: a typical volt channel is no better */
const OPEN_VOLTS_SLACK = 0.03;

const GRAVITY: readonly Outcome[] = ['right', 'cannot-tell', 'missed', 'false'];

class Reasons {
  readonly all: { outcome: Outcome; text: string }[] = [];

  add(outcome: Outcome, text: string): void {
    this.all.push({ outcome, text });
  }

  judgement(): Judgement {
    const sorted = [...this.all].sort((left, right) => GRAVITY.indexOf(right.outcome) - GRAVITY.indexOf(left.outcome));
    return { outcome: sorted[0]?.outcome ?? 'right', reasons: sorted.map((reason) => `${reason.outcome}: ${reason.text}`) };
  }
}

/**
 * Judges one `analyse --test actuation --json` document (CONTRACT 3.1) by the label of its recording. `document` is whatever the
 * caller's analysis gave; fields that are missing count as not said. The rules are those of tests/score/definitions.md.
 */
export function judge(document: unknown, truth: Truth, typedLimits: boolean): Judgement {
  const answer = answerOf(document);
  const reasons = new Reasons();
  judgeVerdict(reasons, truth, answer.finding, answer.basis, typedLimits);
  if (answer.loadKind !== null && answer.loadKind !== 'unknown' && !truth.kinds.includes(answer.loadKind)) reasons.add('false', `load reported as ${answer.loadKind}, is ${truth.kinds.join(' or ')}`);
  if ((answer.loadKind ?? 'unknown') === 'unknown' && !truth.kinds.includes('motor') && !truth.kinds.includes('unknown')) reasons.add('cannot-tell', `load not reported, is ${truth.kinds.join(' or ')}`);
  judgeProblems(reasons, truth, answer.problems);
  judgeBackground(reasons, truth, answer.backgroundA);
  const matched = matchPresses(answer.presses, truth.presses);
  for (const extra of matched.extra) reasons.add(extra.finding === 'unclear' || extra.cut !== null ? 'cannot-tell' : 'false', `a press at ${extra.startS.toFixed(2)} s that nobody made`);
  for (const { reported, press } of matched.split) {
    if (!truth.splitAllowed) reasons.add('false', `the press at ${press.startS.toFixed(2)} s is reported as ${reported.length} presses`);
  }
  for (const press of matched.missed.filter((entry) => !entry.optional)) reasons.add(press.cut === null && press.endS - press.startS >= BOUNDS.shortPressS ? 'missed' : 'cannot-tell', `the press at ${press.startS.toFixed(2)} s is not reported`);
  for (const { reported, press } of matched.pairs) {
    judgePress(reasons, reported, press, answer.problems);
    if (reported.openV !== null && truth.highestV !== null && Math.abs(reported.openV) > truth.highestV * (1 + OPEN_VOLTS_SLACK)) reasons.add('false', `open volts ${reported.openV.toFixed(2)} V, never above ${truth.highestV.toFixed(2)} V`);
  }
  for (const event of truth.presses.flatMap((press) => press.events)) {
    if (event.sure && !answer.presses.some((press) => press.events.some((other) => other.code === event.code))) reasons.add('missed', `event ${event.code} at ${event.atS.toFixed(2)} s`);
  }
  return reasons.judgement();
}

function judgeVerdict(reasons: Reasons, truth: Truth, finding: Finding | null, basis: string | null, typedLimits: boolean): void {
  if (basis === 'limits' && !typedLimits) reasons.add('false', 'basis limits, though none were given');
  if (finding === null) {
    reasons.add('missed', 'no verdict');
    return;
  }
  if (truth.verdictRight.includes(finding)) return;
  const right = truth.verdictRight.join(' or ');
  if (truth.verdictHonest.includes(finding)) reasons.add('cannot-tell', `${finding}, is ${right}`);
  else if (finding === 'normal' && basis === 'none' && truth.verdictRight.every((word) => word === 'suspect' || word === 'light' || word === 'unclear')) reasons.add('cannot-tell', `normal with nothing to judge by, is ${right}`);
  else reasons.add('false', `${finding}${basis === null ? '' : ` (${basis})`}, is ${right}`);
}

const JUDGED = new Set(['ac-coupled', 'clamp-off', 'chopped', 'background', 'clipped']);

function judgeProblems(reasons: Reasons, truth: Truth, reported: readonly string[]): void {
  for (const code of truth.problemsSure) if (!reported.includes(code)) reasons.add('missed', `problem ${code}`);
  const allowed = new Set<string>([...truth.problemsSure, ...truth.problemsAllowed]);
  // any level that is there beside the presses may be called background, a zero that is off included
  if (truth.backgroundA === null || Math.abs(truth.backgroundA) > 0) allowed.add('background');
  for (const code of reported) if (JUDGED.has(code) && !allowed.has(code)) reasons.add('false', `problem ${code}, is not so`);
}

function judgeBackground(reasons: Reasons, truth: Truth, reported: number | null): void {
  if (truth.backgroundA === null || reported === null) return;
  const off = Math.abs(reported - truth.backgroundA);
  // 0 is reported where nothing is said: a silence, and the problem `background` is asked for by itself
  if (off <= truth.backgroundToleranceA || reported === 0) return;
  reasons.add('false', `background ${reported.toFixed(3)} A, is ${truth.backgroundA.toFixed(3)} A`);
}

function judgePress(reasons: Reasons, reported: ReportedPress, press: PressTruth, problems: readonly string[]): void {
  const where = `press at ${press.startS.toFixed(2)} s`;
  judgeCut(reasons, reported, press, where);
  if (reported.finding !== null && press.cut === null) {
    const quiet = reported.finding === 'normal' && !press.right.some((word) => word === 'stalled' || word === 'locked' || word === 'intermittent');
    if (!press.right.includes(reported.finding) && !press.honest.includes(reported.finding) && !quiet) reasons.add('false', `${where}: ${reported.finding}, is ${press.right.join(' or ')}`);
  }
  if (reported.sign !== null && reported.sign !== press.sign && press.cut === null) reasons.add('false', `${where}: direction`);
  for (const stall of reported.stalls) {
    if (![...press.stalls, ...press.greyStalls].some((true_) => overlapS(stall, true_) > 0)) reasons.add('false', `${where}: stall at ${stall.startS.toFixed(2)} s, it turned`);
  }
  for (const gone of reported.breaks) {
    const near = { startS: gone.startS - BOUNDS.bounceS, endS: gone.endS + BOUNDS.bounceS };
    if (![...press.breaks, ...press.greyBreaks].some((true_) => overlapS(near, true_) > 0) && !press.events.some((event) => event.code === 'cut-out')) reasons.add('false', `${where}: contact lost at ${gone.startS.toFixed(2)} s, it was not`);
  }
  judgeEvents(reasons, reported, press, where);
  judgeSteps(reasons, reported, press, where);
  judgeBeat(reasons, reported, press, where);
  judgeChopped(reasons, reported, press, where, problems);
}

function judgeCut(reasons: Reasons, reported: ReportedPress, press: PressTruth, where: string): void {
  if (reported.cut === press.cut) return;
  if (reported.cut === null) reasons.add('missed', `${where}: cut at the ${press.cut}`);
  else reasons.add(press.cut === null ? 'false' : 'cannot-tell', `${where}: cut reported as ${reported.cut}, is ${press.cut ?? 'whole'}`);
}

function judgeEvents(reasons: Reasons, reported: ReportedPress, press: PressTruth, where: string): void {
  const allowed = new Set<string>(press.events.map((event) => event.code));
  if (press.steps.length > 0) allowed.add('step');
  for (const event of reported.events) if (!allowed.has(event.code)) reasons.add('false', `${where}: event ${event.code} at ${event.atS.toFixed(2)} s`);
}

/** a reported step must lie at a true one and its bounds must not exclude the true size by more than a fifth */
function judgeSteps(reasons: Reasons, reported: ReportedPress, press: PressTruth, where: string): void {
  for (const step of reported.steps) {
    const near = press.steps.find((true_) => Math.abs(true_.atS - step.atS) < 0.25 && Math.sign(true_.changeA) === Math.sign(step.changeA));
    if (near === undefined) reasons.add('false', `${where}: step of ${step.changeA.toFixed(2)} A at ${step.atS.toFixed(2)} s`);
    else if (Math.abs(step.changeA - near.changeA) > 0.2 * Math.abs(near.changeA) && !(step.lowA <= near.changeA && near.changeA <= step.highA)) reasons.add('false', `${where}: step of ${step.changeA.toFixed(2)} A, is ${near.changeA.toFixed(2)} A`);
  }
  for (const step of press.steps) {
    if (step.sure && !reported.steps.some((other) => Math.abs(other.atS - step.atS) < 0.25)) reasons.add('missed', `${where}: step of ${step.changeA.toFixed(2)} A at ${step.atS.toFixed(2)} s`);
  }
}

function judgeBeat(reasons: Reasons, reported: ReportedPress, press: PressTruth, where: string): void {
  if (reported.beat === null) {
    if (press.beat?.sure === true) reasons.add('missed', `${where}: beat of ${press.beat.periodS.toFixed(2)} s`);
    return;
  }
  if (press.beat === null) reasons.add('false', `${where}: beat of ${reported.beat.periodS.toFixed(2)} s`);
  else if (press.beat.sure && Math.abs(reported.beat.periodS / press.beat.periodS - 1) > 0.1) reasons.add('false', `${where}: beat of ${reported.beat.periodS.toFixed(3)} s, is ${press.beat.periodS.toFixed(3)} s`);
}

function judgeChopped(reasons: Reasons, reported: ReportedPress, press: PressTruth, where: string, problems: readonly string[]): void {
  if (reported.chopped === null) {
    if (press.chopped?.sure === true && !problems.includes('chopped')) reasons.add('missed', `${where}: chopped`);
    return;
  }
  if (press.chopped === null) {
    reasons.add('false', `${where}: chopped`);
    return;
  }
  const { hz, duty, meanA } = press.chopped;
  if (reported.chopped.hz !== null && hz !== null && Math.abs(reported.chopped.hz / hz - 1) > 0.03) reasons.add('false', `${where}: chopped at ${reported.chopped.hz.toFixed(0)} Hz, is ${hz.toFixed(0)} Hz`);
  if (hz === null) return;
  if (reported.chopped.duty !== null && Math.abs(reported.chopped.duty - duty) > 0.1) reasons.add('false', `${where}: duty ${reported.chopped.duty.toFixed(2)}, is ${duty.toFixed(2)}`);
  if (reported.chopped.meanA !== null && Math.abs(reported.chopped.meanA / meanA - 1) > 0.15) reasons.add('false', `${where}: chopped mean ${reported.chopped.meanA.toFixed(2)} A, is ${meanA.toFixed(2)} A`);
}
