import type { Mark } from '../../../trace.ts';
import type { PossiblePull } from '../../results.ts';
import { fuseDips, heldS, type Dip } from '../levels/dips.ts';
import { MARK_SLACK_S, NEAR_S, NEGLIGIBLE_A, SAME_SHARE, TRIFLE_SHARE } from '../settings.ts';
import type { Readings } from '../types.ts';
import { swayA } from '../wake-ups/sways.ts';

/**
 * Dips at rest that no mark names: a person may have pulled a fuse and forgotten the mark. Only where the level around them holds still:
 * the current of a module at work steps down and up by itself.
 */
export function findPossiblePulls(readings: Readings, restS: number, marks: readonly Mark[], levelA: number): PossiblePull[] {
  const touched = marks.filter((mark) => mark.kind === 'pull' || mark.kind === 'refit');
  const found: PossiblePull[] = [];
  const dips = fuseDips(readings);
  if (swayA(readings, restS, []) !== null) return found;
  for (const dip of dips) {
    const startS = readings.segments[dip.first].startS;
    const { endS } = readings.segments[dip.last];
    if (dip.levelA < -readings.belowZeroA || !holdsStill(readings, dip, dips)) continue;
    if (startS <= restS || dip.beforeA > levelA + Math.max(NEGLIGIBLE_A, TRIFLE_SHARE * levelA)) continue;
    if (touched.some((mark) => mark.timeS > startS - MARK_SLACK_S && mark.timeS < endS + MARK_SLACK_S)) continue;
    found.push({ from_s: startS, to_s: endS, change_a: dip.changeA, low_a: dip.changeA - dip.halfWidthA, high_a: dip.changeA + dip.halfWidthA });
  }
  return found;
}

/** True when the level beside a dip, as near as counts for the same, lasts for the greater part of the minutes around it, other dips aside. */
function holdsStill(readings: Readings, { first, last, beforeA, changeA }: Dip, dips: readonly Dip[]): boolean {
  const { segments } = readings;
  const fromS = Math.max(readings.firstS, segments[first].startS - NEAR_S);
  const toS = Math.min(readings.lastS, segments[last].endS + NEAR_S);
  let outsideS = toS - fromS;
  for (const dip of dips) outsideS -= Math.max(0, Math.min(segments[dip.last].endS, toS) - Math.max(segments[dip.first].startS, fromS));
  return heldS(readings, beforeA, -SAME_SHARE * changeA, fromS, toS) > outsideS / 2;
}
