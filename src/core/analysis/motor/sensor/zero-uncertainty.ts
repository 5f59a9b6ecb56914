import type { Baseline } from './baseline.ts';

/**
 * How far the resting level of the clamp may be from the line drawn under a stretch of the trace, A (95 %).
 *
 * Between two idle stretches the level is a straight line, but a clamp may have jumped at once (remanence after a large current) or at
 * the very end: the line is then off by up to half the difference between the two levels. Beyond the first or last idle stretch the level
 * is only carried on: it may have moved on as far as it has been seen to move in as much time.
 */
export function zeroUncertainty(baseline: Baseline, startS: number, endS: number): number {
  const { nodeS, nodeA } = baseline;
  const last = nodeS.length - 1;
  if (last < 0) return 0;
  let before = -1;
  while (before < last && nodeS[before + 1] <= startS) before++;
  let after = Math.max(0, before);
  while (after <= last && nodeS[after] < endS) after++;
  if (before >= 0 && after <= last) return Math.abs(nodeA[after] - nodeA[before]) / 2;
  const from = before < 0 ? after : before;
  const reachS = before < 0 ? nodeS[after] - startS : endS - nodeS[before];
  return movedWithin(baseline, from, reachS);
}

/** The most the level moved over about `spanS`, or in proportion when the idle stretches together are shorter. */
function movedWithin(baseline: Baseline, around: number, spanS: number): number {
  const { nodeS, nodeA } = baseline;
  let movedA = 0;
  for (let n = 0; n < nodeS.length; n++) {
    const apartS = Math.abs(nodeS[n] - nodeS[around]);
    if (apartS > 0) movedA = Math.max(movedA, Math.abs(nodeA[n] - nodeA[around]) * Math.min(1, spanS / apartS));
  }
  return movedA;
}
