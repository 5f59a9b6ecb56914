import { caseFileOf, type Case } from './case.ts';
import { CHECKS, type Check } from './checks.ts';
import type { Cause, Effect } from './types.ts';
import type { Evidence, WhatIsLeft } from './evidence.ts';
import { entryOf } from './table/table.ts';
import { isMeasured, keyOf, whatIsLeft } from './weigh.ts';

/** What one result of a check would leave. */
interface Decision {
  readonly outcome: string;
  readonly leaves: readonly Cause[];
}

export type NextStep =
  | { readonly kind: 'check'; readonly check: Check; readonly decides: readonly Decision[] }
  /** two pieces of evidence cannot both hold: verify one of them again */
  | { readonly kind: 'verify'; readonly pair: readonly [Evidence, Evidence]; readonly decides: readonly Decision[] };

/** How much more one result is to be expected under a cause it speaks for than under one it says nothing about (common practice, no published source: only the order of checks hangs on it). */
const EXPECTED: Readonly<Record<Effect, number>> = { for: 4, nothing: 1, against: 0.25, 'rules-out': 0.02 };
/** What a check must be expected to bring, in bits for its work, to be worth doing (common practice, no published source). */
const LEAST_BITS = 0.05;
/** Weight of a cause doubles with its score up to this (common practice, no published source: only the order of checks hangs on it). */
const MOST_SCORE = 6;
/** A check of this cost counts for half of what it brings. */
const HALVING_COST = 4;

/**
 * The check that splits what is left best for the least work and risk; null where something was measured or tried and one cause is left, or nothing splits them.
 * One whose results all leave the same causes open only moves their weight: it is asked where no other is worth its work.
 */
export function nextStep(now: Case, left: WhatIsLeft, isAllowed: (check: Check) => boolean = () => true): NextStep | null {
  if (left.contradiction !== null) return { kind: 'verify', pair: left.contradiction, decides: left.contradiction.map((_, at) => ({ outcome: at === 0 ? 'first' : 'second', leaves: leavesWithout(now, left.contradiction![1 - at]) })) };
  const open = left.causes.filter(({ state }) => state === 'open');
  const { evidence } = caseFileOf(now);
  if (open.length === 1 && evidence.some(isMeasured)) return null;
  const weights = weightsOf(left);
  const possible = CHECKS.filter((check) => check.test === now.test && check.open(now) && isAllowed(check));
  const worth = (one: Check): number => expected(one, now, evidence, weights).bits / (1 + one.cost / HALVING_COST);
  const check = bestOf(possible.filter((one) => splits(one, now)), worth) ?? bestOf(possible, worth) ?? bestOf(possible, (one) => worthOfOpening(one, now, evidence, weights));
  if (check === null) return null;
  return { kind: 'check', check, decides: decisionsOf(check, now) };
}

function decisionsOf({ outcomes }: Check, now: Case): Decision[] {
  return outcomes.map(({ code, after }) => ({ outcome: code, leaves: openCauses(whatIsLeft(caseFileOf(after(now)))) }));
}

/** Whether its results do not all leave the same causes open. */
function splits(check: Check, now: Case): boolean {
  return new Set(decisionsOf(check, now).map(({ leaves }) => [...leaves].sort().join())).size > 1;
}

function bestOf(checks: readonly Check[], worth: (check: Check) => number): Check | null {
  let best: { check: Check; value: number } | null = null;
  for (const check of checks) {
    const value = worth(check);
    if (value > (best?.value ?? LEAST_BITS)) best = { check, value };
  }
  return best?.check ?? null;
}

/** Where no check splits what is left by itself: what the best of those brings that only this one's result makes possible. */
function worthOfOpening(check: Check, now: Case, evidence: readonly Evidence[], weights: readonly Weighted[]): number {
  const { chances } = expected(check, now, evidence, weights);
  let value = 0;
  for (const [k, { after }] of check.outcomes.entries()) {
    const then = after(now);
    const opened = CHECKS.filter((other) => other.test === now.test && other.open(then) && !other.open(now));
    if (opened.length === 0) continue;
    const file = caseFileOf(then);
    const left = weightsOf(whatIsLeft(file));
    value += chances[k] * Math.max(...opened.map((other) => expected(other, then, file.evidence, left).bits / (1 + (check.cost + other.cost) / HALVING_COST)));
  }
  return value;
}

function weightsOf({ causes }: WhatIsLeft): Weighted[] {
  return causes.map(({ cause, state, score }) => ({ cause, weight: state === 'ruled-out' ? 0 : 2 ** Math.max(-MOST_SCORE, Math.min(MOST_SCORE, score)) }));
}

/** Causes still open; where none is, those that are not ruled out. */
function openCauses({ causes }: WhatIsLeft): Cause[] {
  const open = causes.filter(({ state }) => state === 'open');
  return (open.length > 0 ? open : causes.filter(({ state }) => state !== 'ruled-out')).map(({ cause }) => cause);
}

interface Weighted {
  readonly cause: Cause;
  readonly weight: number;
}

/** Entropy of what is left, less what is expected to remain after the check (Shannon's information gain). */
function expected(check: Check, now: Case, evidence: readonly Evidence[], weights: readonly Weighted[]): { bits: number; chances: readonly number[] } {
  const before = countByKey(evidence);
  const added = check.outcomes.map(({ after }) => newEvidence(caseFileOf(after(now)).evidence, before));
  const total = weights.reduce((sum, { weight }) => sum + weight, 0);
  if (total === 0) return { bits: 0, chances: added.map(() => 0) };
  // of each outcome: what each cause contributes to it
  const joint = added.map(() => new Array<number>(weights.length).fill(0));
  for (const [index, { cause, weight }] of weights.entries()) {
    if (weight === 0) continue;
    const likely = added.map((pieces) => pieces.reduce((product, piece) => product * EXPECTED[entryOf(piece.observation, cause).effect], 1));
    const sum = likely.reduce((whole, part) => whole + part, 0);
    for (const [k, part] of likely.entries()) joint[k][index] = ((weight / total) * part) / sum;
  }
  const chances = joint.map((row) => row.reduce((whole, part) => whole + part, 0));
  const remaining = joint.reduce((sum, row, k) => (chances[k] === 0 ? sum : sum + chances[k] * entropyBits(row.map((part) => part / chances[k]))), 0);
  return { bits: entropyBits(weights.map(({ weight }) => weight / total)) - remaining, chances };
}

function entropyBits(shares: readonly number[]): number {
  return shares.reduce((sum, share) => (share > 0 ? sum - share * Math.log2(share) : sum), 0);
}

function countByKey(evidence: readonly Evidence[]): Map<string, number> {
  const counts = new Map<string, number>();
  for (const piece of evidence) counts.set(keyOf(piece), (counts.get(keyOf(piece)) ?? 0) + 1);
  return counts;
}

function newEvidence(after: readonly Evidence[], before: ReadonlyMap<string, number>): Evidence[] {
  const left = new Map(before);
  return after.filter((piece) => {
    const known = left.get(keyOf(piece)) ?? 0;
    left.set(keyOf(piece), known - 1);
    return known <= 0;
  });
}

/** What would be left if the one piece did not hold. */
function leavesWithout(now: Case, { observation, origin }: Evidence): Cause[] {
  switch (origin.kind) {
    case 'sign': {
      const { [origin.sign]: _dropped, ...signs } = now.signs;
      return openCauses(whatIsLeft(caseFileOf({ ...now, signs })));
    }
    case 'result':
      return openCauses(whatIsLeft(caseFileOf({ ...now, seen: now.seen.filter((one) => one.observation !== observation || one.trace !== origin.trace) })));
    case 'reading':
      return openCauses(whatIsLeft(caseFileOf({ ...now, readings: now.readings.filter((one) => !origin.readings.some((dropped) => dropped.point === one.point && dropped.v === one.v && dropped.while === one.while)) })));
  }
}
