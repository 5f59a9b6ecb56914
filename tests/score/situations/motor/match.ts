import type { ReportedPress } from './answer.ts';
import type { PressTruth, Span } from './truth/types.ts';

export interface Matched {
  readonly pairs: readonly { readonly reported: ReportedPress; readonly press: PressTruth }[];
  readonly extra: readonly ReportedPress[];
  readonly missed: readonly PressTruth[];
  readonly split: readonly { readonly reported: readonly ReportedPress[]; readonly press: PressTruth }[];
}

export function overlapS(left: Span, right: Span): number {
  return Math.min(left.endS, right.endS) - Math.max(left.startS, right.startS);
}

/** Each reported press belongs to the true one it overlaps most; of several reported for one the longest is its pair. */
export function matchPresses(reported: readonly ReportedPress[], truth: readonly PressTruth[]): Matched {
  const byTruth = new Map<PressTruth, ReportedPress[]>();
  const extra: ReportedPress[] = [];
  for (const press of reported) {
    let best: PressTruth | null = null;
    for (const true_ of truth) if (overlapS(press, true_) > 0 && (best === null || overlapS(press, true_) > overlapS(press, best))) best = true_;
    if (best === null) extra.push(press);
    else byTruth.set(best, [...(byTruth.get(best) ?? []), press]);
  }
  const pairs = [...byTruth].map(([press, claims]) => ({ press, reported: claims.reduce((longest, claim) => (overlapS(claim, press) > overlapS(longest, press) ? claim : longest)) }));
  return {
    pairs, extra,
    missed: truth.filter((press) => !byTruth.has(press)),
    split: [...byTruth].filter(([, claims]) => claims.length > 1).map(([press, claims]) => ({ press, reported: claims })),
  };
}

/** A stretch is the same when it begins in the same place and covers at least half of the shorter. */
export function sameStretch(left: Span, right: Span): boolean {
  const shorter = Math.min(left.endS - left.startS, right.endS - right.startS);
  return overlapS(left, right) >= 0.5 * shorter && Math.abs(left.startS - right.startS) <= Math.max(0.1, 0.3 * (right.endS - right.startS));
}
