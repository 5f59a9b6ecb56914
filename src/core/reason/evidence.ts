import type { TestKind } from '../analysis/results.ts';
import type { ObservationCode } from './table/table.ts';
import type { Answer, Cause, Effect, Reading, Sign } from './types.ts';

type EvidenceOrigin =
  | { readonly kind: 'sign'; readonly sign: Sign; readonly answer: Answer }
  /** `trace`: its number in the list, from 1, or the name of a stored trace; `said`: the trace's own first sentence of evidence */
  | { readonly kind: 'result'; readonly trace: string; readonly said: string }
  /** `bare`: volts that are only named, as two that cannot both be right */
  | { readonly kind: 'reading'; readonly readings: readonly Reading[]; readonly bare?: true };

export interface Evidence {
  readonly observation: ObservationCode;
  readonly origin: EvidenceOrigin;
}

export type CauseState = 'open' | 'less-likely' | 'ruled-out';

export interface Reason {
  readonly effect: Exclude<Effect, 'nothing'>;
  readonly evidence: Evidence;
}

export interface WeighedCause {
  readonly cause: Cause;
  readonly state: CauseState;
  /** weight of evidence for, less that against */
  readonly score: number;
  readonly reasons: readonly Reason[];
  /** set where nothing speaks against it, but much more speaks for this other cause */
  readonly outweighedBy: Cause | null;
}

export interface WhatIsLeft {
  /** the likeliest first */
  readonly causes: readonly WeighedCause[];
  /** the two pieces of evidence that cannot both hold; null where they agree */
  readonly contradiction: readonly [Evidence, Evidence] | null;
}

/** All that a job knows, as the reasoning takes it in. */
export interface CaseFile {
  readonly test: TestKind;
  readonly evidence: readonly Evidence[];
  /** two readings of one point, or two signs, that cannot both be right */
  readonly clash: readonly [Evidence, Evidence] | null;
}
