import { meanErrorA } from '../levels/segments.ts';
import { CLEAR_SIGMAS, FEW, FEWEST_WAKE_UPS, MARK_SLACK_S, NEGLIGIBLE_A, REST_S } from '../settings.ts';
import type { FuseEvent, Readings } from '../types.ts';

/**
 * How far the reading sways about the rest, A: short excursions, below it about as often as above and alike in size. No module draws less than
 * nothing for a few seconds, so they are of the sensor: a clamp in the field of a passing train, or moved by hand. Null where it does not sway.
 */
export function swayA(readings: Readings, fromS: number, events: readonly FuseEvent[]): number | null {
  const excursions = shortExcursions(readings, fromS).filter(({ startS }) => !events.some(({ atS, markS }) => Math.min(Math.abs(startS - atS), Math.abs(startS - markS)) < MARK_SLACK_S));
  const down = excursions.filter(({ apartA }) => apartA < 0);
  const reachA = 2 * Math.max(0, ...down.map(({ apartA }) => -apartA));
  const up = excursions.filter(({ apartA }) => apartA > 0 && apartA < reachA);
  const fewer = Math.min(up.length, down.length);
  return fewer >= FEWEST_WAKE_UPS && FEW * fewer >= Math.max(up.length, down.length) ? reachA : null;
}

interface ShortExcursion {
  readonly startS: number;
  /** the farthest of its levels from the last that lasted */
  readonly apartA: number;
}

function shortExcursions({ segments }: Readings, fromS: number): ShortExcursion[] {
  const found: { startS: number; endS: number; apartA: number }[] = [];
  let restA = NaN;
  for (const segment of segments) {
    const { startS, endS, meanA } = segment;
    if (endS <= fromS) continue;
    const apartA = meanA - restA;
    if (endS - startS >= REST_S) restA = meanA;
    else if (Math.abs(apartA) > Math.max(NEGLIGIBLE_A, CLEAR_SIGMAS * meanErrorA(segment))) {
      const last = found.at(-1);
      if (last !== undefined && last.endS === startS && last.apartA * apartA > 0) {
        last.endS = endS;
        if (Math.abs(apartA) > Math.abs(last.apartA)) last.apartA = apartA;
      } else found.push({ startS, endS, apartA });
    }
  }
  return found.filter(({ startS, endS }) => endS - startS < REST_S);
}
