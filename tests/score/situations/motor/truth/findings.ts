import { BOUNDS } from './bounds.ts';
import type { Finding, Options, Span, StallTruth } from './types.ts';

/** What a scene knows of motor and mechanism that the columns do not show by themselves. */
export interface FaultFacts {
  /** something of the motor or the mechanism is wrong by construction (a burnt segment, a broken gear, a tight spot) */
  readonly fault?: boolean;
  /** a mild fault: nobody need see it, nobody is wrong to */
  readonly mildFault?: boolean;
  readonly alsoRight?: readonly Finding[];
}

/** What a press did, as far as findings hang on it. */
export interface Happened {
  readonly stalls: readonly StallTruth[];
  readonly greyStalls: readonly StallTruth[];
  readonly sureBreaks: readonly Span[];
  readonly breaks: readonly Span[];
  readonly runA: number | null;
  readonly turns: number;
  readonly lengthS: number;
}

/** The findings that follow from the physics by the written definitions. */
export function findingsOf(seen: { readonly standingA: number | null; readonly options: Options }, what: Happened, facts: FaultFacts): { right: Finding[]; honest: Finding[] } {
  const right: Finding[] = [];
  const honest: Finding[] = ['unclear'];
  const soft: Finding[] = [];
  if (what.stalls.length > 0) {
    const turned = what.stalls.some((stall) => stall.at === 'travel') || what.turns > BOUNDS.playTurns;
    right.push(turned ? 'stalled' : 'locked');
    if (turned ? what.turns <= BOUNDS.playGreyTurns : what.turns > BOUNDS.playTurns / 2) right.push(turned ? 'locked' : 'stalled');
    honest.push('suspect');
  }
  if (what.sureBreaks.length > 0) {
    right.push('intermittent');
    honest.push('suspect');
  }
  if (facts.fault === true) right.push('suspect');
  if (what.greyStalls.length > 0) soft.push(what.turns > BOUNDS.playTurns ? 'stalled' : 'locked');
  if (what.breaks.length > what.sureBreaks.length) soft.push('intermittent');
  if (facts.mildFault === true) soft.push('suspect');
  const ratio = what.runA === null || seen.standingA === null ? null : Math.abs(what.runA) / seen.standingA;
  const limits = seen.options.runLimitsA;
  if (limits !== undefined && what.runA !== null) limitFindings(Math.abs(what.runA), limits, right, soft);
  else if (ratio !== null && right.length === 0) {
    if (ratio > BOUNDS.dragSureFrom) right.push('suspect');
    else if (ratio > BOUNDS.dragGreyFrom || ratio < BOUNDS.idleGreyBelow) soft.push('suspect');
  }
  if (limits !== undefined && ratio !== null && (ratio > BOUNDS.dragGreyFrom || ratio < BOUNDS.idleGreyBelow)) soft.push('suspect');
  if (right.length === 0) right.push('normal');
  if (what.lengthS < BOUNDS.shortPressS) soft.push('normal', 'unclear');
  return { right: [...new Set([...right, ...soft, ...(facts.alsoRight ?? [])])], honest };
}

function limitFindings(runA: number, [low, high]: readonly [number, number], right: Finding[], soft: Finding[]): void {
  if (runA > high * (1 + BOUNDS.limitGrey)) right.push('heavy');
  else if (runA > high * (1 - BOUNDS.limitGrey)) soft.push('heavy', 'normal');
  if (runA < low * (1 - BOUNDS.limitGrey)) right.push('light');
  else if (runA < low * (1 + BOUNDS.limitGrey)) soft.push('light', 'normal');
}
