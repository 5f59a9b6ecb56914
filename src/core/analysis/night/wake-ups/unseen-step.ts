import { HAND_BLIP_S, MOST_ZERO_A, REST_S } from '../settings.ts';
import type { Readings, Segment } from '../types.ts';

/**
 * True for a level that is there after a gap in the data, stays, and lies no higher above the rest than a zero moves: nobody saw it begin
 * or end. It may be the zero of a logger that was started anew, or a load; it is no wake-up that was seen.
 */
export function isUnseenStep(readings: Readings, k: number, restA: number, riseA: number): boolean {
  const { segments } = readings;
  if (!isAfterGap(readings, segments[k]) || segments[k].meanA > restA + MOST_ZERO_A) return false;
  for (let i = k; i < segments.length; i++) {
    if (i > k && isAfterGap(readings, segments[i])) return segments[i].startS - segments[k].startS >= REST_S;
    if (segments[i].meanA < restA + riseA && segments[i].endS - segments[i].startS >= HAND_BLIP_S) return false;
  }
  return readings.lastS - segments[k].startS >= REST_S;
}

/** True when time without samples lies at the beginning of a level: within a block of it, where edges are placed. */
function isAfterGap({ blocks }: Readings, segment: Segment): boolean {
  const from = Math.max(1, segment.startBlock - 1);
  for (let i = from; i <= Math.min(segment.startBlock + 1, segment.endBlock - 1); i++) if (blocks.startS[i] - blocks.startS[i - 1] > blocks.widthS + HAND_BLIP_S) return true;
  return false;
}
