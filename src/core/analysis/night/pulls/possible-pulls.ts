import type { Mark } from '../../../trace.ts';
import type { PossiblePull } from '../../results.ts';
import { fuseDips } from '../levels/dips.ts';
import { MARK_SLACK_S, NEGLIGIBLE_A, PATTERN, TRIFLE_SHARE } from '../settings.ts';
import type { Readings } from '../types.ts';

/** Dips at rest that no mark names: a person may have pulled a fuse and forgotten the mark. */
export function findPossiblePulls(readings: Readings, restS: number, marks: readonly Mark[], levelA: number): PossiblePull[] {
  const touched = marks.filter((mark) => mark.kind === 'pull' || mark.kind === 'refit');
  const found: PossiblePull[] = [];
  for (const dip of fuseDips(readings)) {
    const startS = readings.segments[dip.first].startS;
    const { endS } = readings.segments[dip.last];
    if (dip.levelA < -readings.belowZeroA) continue;
    if (startS <= restS || dip.beforeA > levelA + Math.max(NEGLIGIBLE_A, TRIFLE_SHARE * levelA)) continue;
    if (touched.some((mark) => mark.timeS > startS - MARK_SLACK_S && mark.timeS < endS + MARK_SLACK_S)) continue;
    found.push({ from_s: startS, to_s: endS, change_a: dip.changeA, low_a: dip.changeA - dip.halfWidthA, high_a: dip.changeA + dip.halfWidthA });
  }
  return found.length > PATTERN ? [] : found;
}
