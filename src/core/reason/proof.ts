import type { SeenInTrace } from './case.ts';
import type { WhatIsLeft } from './evidence.ts';
import { worksBy } from './table/table.ts';
import type { Cause } from './types.ts';

/**
 * not-tested: no trace after the repair · confirmed: it works, and nothing before had ruled the cause out · works-otherwise: it works, though the list had
 * ruled the repaired cause out · works: it works, and no cause was named · still-open: the trace after shows a fault · cannot-tell: not enough in the trace after
 */
export type ProofState = 'not-tested' | 'confirmed' | 'works-otherwise' | 'works' | 'still-open' | 'cannot-tell';

export interface Proof {
  readonly state: ProofState;
  readonly cause: Cause | null;
}

/** What the traces after a repair say of it, against what was left before. */
export function proofOf(cause: Cause | null, before: { left: WhatIsLeft; seen: readonly SeenInTrace[] }, after: { traces: number; seen: readonly SeenInTrace[] }): Proof {
  if (after.traces === 0) return { state: 'not-tested', cause };
  if (after.seen.length === 0) return { state: 'cannot-tell', cause };
  const now = after.seen.map(({ observation }) => worksBy(observation));
  if (now.some((works) => works !== 'good' && works !== 'runs')) return { state: 'still-open', cause };
  // that it runs proves the repair of what did not work before, and no more
  if (!now.includes('good') && !before.seen.some(({ observation }) => worksBy(observation) === 'failed')) return { state: 'cannot-tell', cause };
  if (cause === null) return { state: 'works', cause };
  const ruledOut = before.left.causes.some((one) => one.cause === cause && one.state === 'ruled-out');
  return { state: ruledOut ? 'works-otherwise' : 'confirmed', cause };
}
