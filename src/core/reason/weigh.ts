import type { TestKind } from '../analysis/results.ts';
import type { CaseFile, CauseState, Evidence, Reason, WeighedCause, WhatIsLeft } from './evidence.ts';
import { entryOf } from './table/table.ts';
import { causesOf, TRIED_SIGNS, type Cause } from './types.ts';

/** A measurement, or a thing tried on the vehicle, outweighs what was seen or heard: two to one (common practice, no published source). */
const WEIGHT = { measured: 2, seen: 1 };
/** A cause that something measured speaks for, and so much more than for another, makes the other less likely: one measurement more (common practice, no published source). */
const CLEAR_LEAD = 2;

/** Which fault to look for first where nothing was seen yet: easy to reach and common before hidden and dear (common practice, no published source). */
const USUAL_ORDER: readonly Cause[] = ['fuse-or-feed', 'switch', 'mechanism', 'wiring', 'ground', 'motor', 'broken-drive', 'motor-cut-out', 'control-module', 'circuit-stays-on', 'battery', 'module-awake', 'module-woken', 'charging'];
const STATE_ORDER: readonly CauseState[] = ['open', 'less-likely', 'ruled-out'];

/**
 * Elimination and weight of evidence. The order of the evidence does not matter, evidence for a cause never lowers it, and never is everything
 * ruled out: then two pieces of evidence contradict each other and are named.
 */
export function whatIsLeft({ test, evidence: given, clash }: CaseFile): WhatIsLeft {
  const evidence = [...given].sort((a, b) => (keyOf(a) < keyOf(b) ? -1 : 1));
  const weighed = causesOf(test).map((cause) => weighOne(cause, evidence));
  const allOut = weighed.every(({ state }) => state === 'ruled-out');
  const causes = (allOut ? weighed.map((one): WeighedCause => ({ ...one, state: 'less-likely' })) : withLead(weighed)).sort(byRank);
  return { causes, contradiction: (allOut ? contradictingPair(test, evidence) : null) ?? clash };
}

function weighOne(cause: Cause, evidence: readonly Evidence[]): WeighedCause {
  const reasons: Reason[] = [];
  let score = 0;
  const counted = new Set<string>();
  for (const piece of evidence) {
    const { effect } = entryOf(piece.observation, cause);
    if (effect === 'nothing') continue;
    reasons.push({ effect, evidence: piece });
    // the same thing seen again is no further evidence
    if (counted.has(piece.observation)) continue;
    counted.add(piece.observation);
    if (effect === 'for') score += weightOf(piece);
    else if (effect === 'against') score -= weightOf(piece);
  }
  const out = reasons.some(({ effect }) => effect === 'rules-out');
  return { cause, state: out ? 'ruled-out' : score < 0 ? 'less-likely' : 'open', score, reasons, outweighedBy: null };
}

/** Read off an instrument, or tried on the vehicle; not only seen or heard. */
export function isMeasured({ origin }: Evidence): boolean {
  return origin.kind !== 'sign' || TRIED_SIGNS.has(origin.sign);
}

function weightOf(piece: Evidence): number {
  return isMeasured(piece) ? WEIGHT.measured : WEIGHT.seen;
}

/** Open causes that another one clearly leads become less likely. */
function withLead(weighed: readonly WeighedCause[]): WeighedCause[] {
  const leader = [...weighed].sort(byRank)[0];
  const measured = leader.reasons.some(({ effect, evidence }) => effect === 'for' && isMeasured(evidence));
  return weighed.map((one) => {
    if (one.state !== 'open' || one === leader) return one;
    return measured && leader.score - one.score >= CLEAR_LEAD ? { ...one, state: 'less-likely', outweighedBy: leader.cause } : one;
  });
}

function byRank(a: WeighedCause, b: WeighedCause): number {
  return STATE_ORDER.indexOf(a.state) - STATE_ORDER.indexOf(b.state) || b.score - a.score || USUAL_ORDER.indexOf(a.cause) - USUAL_ORDER.indexOf(b.cause);
}

/** The two pieces of evidence that rule out most between them without agreeing: what either rules out alone counts. */
function contradictingPair(test: TestKind, evidence: readonly Evidence[]): [Evidence, Evidence] | null {
  const outs = evidence.map((piece) => new Set(causesOf(test).filter((cause) => entryOf(piece.observation, cause).effect === 'rules-out')));
  let best: [Evidence, Evidence] | null = null;
  let most = -1;
  for (let i = 0; i < evidence.length; i++) {
    for (let j = i + 1; j < evidence.length; j++) {
      const union = new Set([...outs[i], ...outs[j]]).size;
      const gain = union * evidence.length + Math.min(union - outs[i].size, union - outs[j].size);
      if (gain > most) {
        most = gain;
        best = [evidence[i], evidence[j]];
      }
    }
  }
  return best;
}

/** One name for one piece of evidence, whatever list it came in. */
export function keyOf({ observation, origin }: Evidence): string {
  switch (origin.kind) {
    case 'sign':
      return `1 ${observation}`;
    case 'result':
      return `2 ${origin.trace} ${observation} ${origin.said}`;
    case 'reading':
      return `3 ${observation} ${origin.readings.map(({ point, v, while: moment }) => `${point} ${moment} ${v}`).join(' ')}`;
  }
}
