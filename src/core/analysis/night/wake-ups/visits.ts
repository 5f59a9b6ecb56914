import type { WakeUp } from '../../results.ts';
import { FEWEST_WAKE_UPS, HAND_BLIP_S, LAMP_A, REST_S, SAME_SHARE, TRIFLE_SHARE } from '../settings.ts';
import type { Readings, Segment } from '../types.ts';
import { wakePeriod } from './wake-period.ts';

/** Levels of one module above its rest, at work and waiting: more of them, each lower, are the whole vehicle going to sleep (common practice, no published source). */
const STAGES_OF_ONE = 2;

interface Stage {
  readonly levelA: number;
  readonly lengthS: number;
}

/**
 * Wake-ups that somebody at the vehicle caused: a step of a lamp or a burst, then the same time-outs as after key-off, or a shutdown of
 * several stages. A module that wakes by itself does less, and does it again and again.
 */
export function withVisits(readings: Readings, restS: number, wakeUps: readonly WakeUp[], restA: number): WakeUp[] {
  const ending = stagesBetween(readings.segments, readings.firstS, restS);
  const visits = wakeUps.map((wake): WakeUp => {
    if ((wake.cause ?? null) !== null || wake.peak_a - restA < 2 * LAMP_A || wake.end_s - wake.start_s < REST_S) return wake;
    const stages = stagesBetween(readings.segments, wake.start_s, wake.end_s);
    return endsAlike(stages, ending) || goesDown(stages) > STAGES_OF_ONE ? { ...wake, cause: 'person' } : wake;
  });
  // people come at no period, a fridge, a heater or a pump does; a few visits can look like one by chance
  const taken = wakeUps.filter((wake, k) => visits[k] !== wake);
  const keepTime = taken.length >= 2 * FEWEST_WAKE_UPS && wakePeriod(taken, readings.spacingS)?.regular === true;
  return keepTime ? [...wakeUps] : visits;
}

/** Levels in a stretch, neighbours that are alike joined, short ones left out. */
function stagesBetween(segments: readonly Segment[], startS: number, endS: number): Stage[] {
  const stages: { levelA: number; lengthS: number }[] = [];
  for (const segment of segments) {
    const lengthS = Math.min(segment.endS, endS) - Math.max(segment.startS, startS);
    if (lengthS <= 0) continue;
    const last = stages[stages.length - 1];
    if (last !== undefined && isNear(last.levelA, segment.meanA, TRIFLE_SHARE)) {
      last.levelA = (last.levelA * last.lengthS + segment.meanA * lengthS) / (last.lengthS + lengthS);
      last.lengthS += lengthS;
    } else stages.push({ levelA: segment.meanA, lengthS });
  }
  return stages.filter((stage) => stage.lengthS >= HAND_BLIP_S);
}

function endsAlike(stages: readonly Stage[], others: readonly Stage[]): boolean {
  if (stages.length === 0 || others.length === 0) return false;
  const last = stages[stages.length - 1];
  const other = others[others.length - 1];
  return isNear(last.levelA, other.levelA, TRIFLE_SHARE) && isNear(last.lengthS, other.lengthS, SAME_SHARE);
}

function goesDown(stages: readonly Stage[]): number {
  let count = 0;
  for (let k = 0; k < stages.length; k++) if (k === 0 || stages[k].levelA < stages[k - 1].levelA) count++;
  return count;
}

function isNear(one: number, other: number, share: number): boolean {
  return Math.abs(one - other) <= share * Math.max(Math.abs(one), Math.abs(other));
}
