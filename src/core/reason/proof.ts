import type { SeenInTrace } from './case.ts';
import type { WhatIsLeft } from './evidence.ts';
import type { ObservationCode } from './table/table.ts';
import type { Cause } from './types.ts';

/**
 * not-tested: no trace after the repair · confirmed: it works, and nothing before had ruled the cause out · works-otherwise: it works, though the list had
 * ruled the repaired cause out · works: it works, and no cause was named · still-open: the trace after shows a fault · cannot-tell: the trace after does not carry it
 */
export type ProofState = 'not-tested' | 'confirmed' | 'works-otherwise' | 'works' | 'still-open' | 'cannot-tell';

/** Within its limits, or asleep under its limit. */
const GOOD: readonly ObservationCode[] = ['ran-within-limits', 'ran-with-a-usual-load', 'asleep', 'reverses-well'];
/** It runs, and nothing says how hard: proves that what stood or was dead is repaired, and no more. */
const RUNS: readonly ObservationCode[] = ['ran', 'alone-runs'];
const STOOD: readonly ObservationCode[] = ['dead', 'unpowered', 'locked', 'locked-on-full-volts', 'starved', 'starved-at-battery', 'stalled', 'stalled-then-cut-out', 'intermittent', 'volts-no-current', 'feeds-one-way', 'feeds-no-way'];

export interface Proof {
  readonly state: ProofState;
  readonly cause: Cause | null;
}

/** What the traces after a repair say of it, against what was left before. */
export function proofOf(cause: Cause | null, before: { left: WhatIsLeft; seen: readonly SeenInTrace[] }, after: { traces: number; seen: readonly SeenInTrace[] }): Proof {
  if (after.traces === 0) return { state: 'not-tested', cause };
  if (after.seen.length === 0) return { state: 'cannot-tell', cause };
  const shows = (codes: readonly ObservationCode[], seen: readonly SeenInTrace[]): boolean => seen.some(({ observation }) => codes.includes(observation));
  if (after.seen.some(({ observation }) => ![...GOOD, ...RUNS].includes(observation))) return { state: 'still-open', cause };
  if (!shows(GOOD, after.seen) && !shows(STOOD, before.seen)) return { state: 'cannot-tell', cause };
  if (cause === null) return { state: 'works', cause };
  const ruledOut = before.left.causes.some((one) => one.cause === cause && one.state === 'ruled-out');
  return { state: ruledOut ? 'works-otherwise' : 'confirmed', cause };
}
