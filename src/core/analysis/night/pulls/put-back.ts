import { lowerBound } from '../../../trace.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, MARK_SLACK_S, REST_S, SAME_SHARE, TRIFLE_A } from '../settings.ts';
import { restLevel } from './stretches.ts';
import type { Readings, FuseEvent } from '../types.ts';

/**
 * Fuses put back without a mark: after a pull that took current away, the old level comes back by itself before the next mark and stays.
 * Returns such moments as events, to be treated like marked refits. A person in a hurry marks the pulls and forgets the rest.
 */
export function unmarkedRefits(readings: Readings, events: readonly FuseEvent[]): FuseEvent[] {
  const found: FuseEvent[] = [];
  for (let k = 0; k < events.length; k++) {
    const event = events[k];
    if (event.kind !== 'pull' || events.some((other, j) => j > k && other.kind === 'refit' && other.label === event.label)) continue;
    const earliestS = k === 0 ? readings.firstS : events[k - 1].markS;
    const nextS = k + 1 === events.length ? readings.lastS : events[k + 1].markS;
    const fromS = Math.max(event.markS - MARK_SLACK_S, (earliestS + event.markS) / 2);
    const toS = k + 1 === events.length ? nextS : Math.max(nextS - MARK_SLACK_S, (event.markS + nextS) / 2);
    const before = restLevel(readings, Math.max(earliestS, fromS - REST_S), fromS);
    if (!before.usable) continue;
    const backS = returnOf(readings, fromS, toS, before.levelA, before.errorA);
    if (backS !== null) found.push({ kind: 'refit', label: event.label, markS: backS, atS: backS });
  }
  return found;
}

/** When the level that was left at a fall after `fromS` is reached again for good; null when there is no fall, or no return. */
function returnOf(readings: Readings, fromS: number, toS: number, beforeA: number, errorA: number): number | null {
  const { segments } = readings;
  const startS = Float64Array.from(segments, (segment) => segment.startS);
  let lowA = Infinity;
  let lowEndS = NaN;
  for (let i = Math.max(0, lowerBound(startS, fromS) - 1); i < segments.length && segments[i].startS < toS; i++) {
    const segment = segments[i];
    const heldS = Math.min(segment.endS, toS) - Math.max(segment.startS, fromS);
    if (heldS < HAND_BLIP_S) continue;
    const fallA = beforeA - Math.min(lowA, segment.meanA);
    const least = Math.max(TRIFLE_A, CLEAR_SIGMAS * errorA);
    if (segment.meanA < beforeA - Math.max(least, 0.5 * fallA)) {
      lowA = Math.min(lowA, segment.meanA);
      lowEndS = segment.endS;
    } else if (lowA < Infinity && Math.abs(segment.meanA - beforeA) < Math.max(SAME_SHARE * fallA, CLEAR_SIGMAS * errorA)) {
      return lowEndS;
    }
  }
  return null;
}
