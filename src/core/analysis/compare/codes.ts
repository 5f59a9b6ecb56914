import type { ProblemCode } from '../../problems.ts';
import type { Finding } from '../findings.ts';
import type { NearLimit } from '../uncertainty/near-limit.ts';
import type { ComparedMetric } from './metrics/compared-metric.ts';
import type { MetricName } from './metrics/metric-names.ts';
import type { Direction, VerdictBasis } from '../results.ts';

/** What a comparison says, as codes with their figures; the sentences are in present/en. `first`: the trace before. */
export type Side = 'first' | 'second';

export type CompareEvidence =
  | { readonly code: 'findings'; readonly first: Finding; readonly second: Finding; readonly firstBasis?: VerdictBasis; readonly secondBasis?: VerdictBasis }
  /** two findings on either side of a limit whose figures differ by less than the tolerance */
  | { readonly code: 'slipped' }
  /** a finding of one side hangs on a figure that lies within its uncertainty of the limit */
  | { readonly code: 'near-limit'; readonly side: Side; readonly near: NearLimit; readonly count: number }
  | { readonly code: 'no-answer'; readonly side: Side | 'both' }
  | { readonly code: 'fault-changed' }
  | { readonly code: 'figure'; readonly pair: ComparedMetric }
  | { readonly code: 'none-moved'; readonly same: number; readonly of: number }
  | { readonly code: 'nothing-compared' }
  /** `side`: the trace that was probably read in the wrong unit */
  | { readonly code: 'wrong-unit'; readonly side: Side }
  /** `side`: the trace of the virtual vehicle */
  | { readonly code: 'one-virtual'; readonly side: Side };

export type CompareCheck = {
  readonly code:
    | 'right-unit' | 'same-vehicle' | 'record-again' | 'both-sound' | 'more-presses' | 'watch-travel' | 'fault-left' | 'undo-last' | 'cause-missed'
    | 'second-night' | 'drain-left' | 'what-differs' | 'drain-missed';
};

/** `problem`: the public code. */
export type CompareProblem = { readonly problem: ProblemCode } & (
  | { readonly code: 'other-supply'; readonly beforeV: number; readonly afterV: number }
  | { readonly code: 'other-lead'; readonly first: 'motor' | 'battery'; readonly second: 'motor' | 'battery' }
  | { readonly code: 'other-rate'; readonly slowHz: number; readonly fastHz: number }
  /** `percent`: 95 % half-width that the two scales put on a change of current */
  | { readonly code: 'other-sensor' | 'unknown-sensor'; readonly percent: number }
  | { readonly code: 'no-presses'; readonly side: Side | 'both' }
  | { readonly code: 'one-side-only'; readonly side: Side; readonly direction: Direction }
  | { readonly code: 'single-press'; readonly direction: Direction }
  | { readonly code: 'no-direction-in-common' }
  | { readonly code: 'wrong-unit'; readonly side: Side }
  | { readonly code: 'never-settled'; readonly side: Side | 'both' }
  | { readonly code: 'other-limit'; readonly beforeA: number; readonly afterA: number }
  | { readonly code: 'carried'; readonly side: Side; readonly text: string; readonly lost: boolean }
  | { readonly code: 'carried-more'; readonly side: Side; readonly count: number }
);

/** What makes one thing stand out among its like. */
export type StandsOut =
  | { readonly code: 'figure'; readonly metric: MetricName; readonly direction: Direction | null; readonly value: number; readonly othersMiddle: number }
  | { readonly code: 'finding'; readonly finding: string; readonly basis?: VerdictBasis; readonly usual: string; readonly usualBasis?: VerdictBasis; readonly all: boolean; readonly figure: StandsOut | null };

export type ManyEvidence =
  | { readonly code: 'trace'; readonly name: string; readonly reason: StandsOut }
  | { readonly code: 'press'; readonly name: string; readonly direction: Direction; readonly number: number; readonly startS: number; readonly reason: StandsOut }
  | { readonly code: 'more'; readonly count: number }
  | { readonly code: 'too-few' }
  | { readonly code: 'findings-differ' }
  | { readonly code: 'alike' };

export type ManyCheck = { readonly code: 'look-at-odd' | 'more-traces' | 'each-by-itself' | 'alike-not-good' };

export type ManyProblem = { readonly problem: ProblemCode } & (
  | { readonly code: 'no-presses'; readonly name: string; readonly finding: string }
  | { readonly code: 'many-presses'; readonly name: string; readonly count: number; readonly most: number }
  | { readonly code: 'wrong-unit'; readonly first: string; readonly second: string; readonly side: Side }
  | { readonly code: 'only-two' }
);

export type KnownGoodProblem = { readonly problem: ProblemCode } & (
  | { readonly code: 'single'; readonly traces: number; readonly share: number }
  | { readonly code: 'few'; readonly traces: number }
);
