import { UNKNOWN_ZERO_A } from '../../../reference/sensors.ts';
import { LONGEST_TIME_OUT_S } from '../../../reference/time-outs.ts';
import { CLEAR_SIGMAS, MANY_BLOCKS, MOST_ZERO_A, NEAR_S, NOTABLE_A, REST_S, TRIFLE_SHARE } from '../settings.ts';
import type { Readings, Segment } from '../types.ts';

/** What makes the readings of no parked vehicle's current. */
export type Implausible = { readonly what: 'into-battery'; readonly levelA: number; readonly charging: boolean } | { readonly what: 'no-current'; readonly levelA: number } | { readonly what: 'constant'; readonly levelA: number } | { readonly what: 'milliamps-as-amps' | 'amps-as-milliamps'; readonly middleA: number };

/** Nothing parked draws this for long, A: head and tail lamps of 12 V together take less than 10 A (four of 55 W and 5 W); several amperes are modules that cycle down (Chevrolet Optra 2009). */
const MOST_PARKED_A = 10;
/** Nothing parked draws this for a second, A: a heavy bus takes some tens of amperes while it cycles down, and nobody cranks through a key-off test. */
const MOST_AWAKE_A = 200;
/** No vehicle with its battery connected draws less than this, A: the sum of the smallest rows of the Jeep KJ 2007 module table, as mA written as A would be a thousandth. */
export const LEAST_PARKED_A = 0.0005;

/** How far below zero a level may lie for the sensor's sake, A. */
export function belowZeroA(zeroUncertaintyA: number | undefined, driftA: number): number {
  return 2 * Math.hypot(zeroUncertaintyA ?? UNKNOWN_ZERO_A, driftA);
}

/** Judges the readings as a whole: the sign and the size that no parked vehicle has. Null: they may be its current. */
export function implausible(readings: Readings): Implausible | null {
  const { segments, belowZeroA: belowA } = readings;
  if (segments.length === 0) return null;
  const spanS = segments.reduce((sum, segment) => sum + segment.endS - segment.startS, 0);
  const negativeS = segments.filter((segment) => segment.meanA < -belowA).reduce((sum, segment) => sum + segment.endS - segment.startS, 0);
  const lowest = lastingLevel(segments, TRIFLE_SHARE * spanS, 1);
  const highest = lastingLevel(segments, 0, -1);
  const middle = lastingLevel(segments, spanS / 2, 1);
  if (isConstant(readings)) return { what: 'constant', levelA: middle.meanA };
  if (negativeS > spanS / 2 && longestRestingS(segments, belowA) < NEAR_S) return intoBattery(middle.meanA);
  // what is left near nothing after it is no rest where nothing was ever drawn
  if (highest.meanA <= belowA && lastingLevel(segments, 0, 1).meanA < -MOST_ZERO_A) return intoBattery(middle.meanA);
  if (lowest.meanA > MOST_PARKED_A || highest.meanA > MOST_AWAKE_A) return { what: 'milliamps-as-amps', middleA: middle.meanA };
  const errorA = Math.sqrt(lowest.varianceA2 / (lowest.endBlock - lowest.startBlock));
  if (Math.abs(middle.meanA) < LEAST_PARKED_A && lowest.meanA > CLEAR_SIGMAS * errorA && highest.meanA < NOTABLE_A) return { what: 'amps-as-milliamps', middleA: middle.meanA };
  if (spanS >= REST_S && Math.abs(middle.meanA) < LEAST_PARKED_A && longestAboveS(segments) < NEAR_S) return { what: 'no-current', levelA: middle.meanA };
  return null;
}

/**
 * The same of a recording in which current flows into the battery from a moment to the end, for longer than all before it, and that
 * moment came before any time-out is sure to be over: a panel may have hidden a part of what was drawn until then. Null otherwise.
 */
export function fedAllThrough({ segments, firstS, lastS }: Readings, fedFromS: number): Implausible | null {
  const beforeS = fedFromS - firstS;
  if (beforeS >= LONGEST_TIME_OUT_S || lastS - fedFromS <= beforeS) return null;
  const fed = segments.filter((segment) => segment.startS >= fedFromS);
  return intoBattery(lastingLevel(fed, (lastS - fedFromS) / 2, 1).meanA);
}

function intoBattery(levelA: number): Implausible {
  return { what: 'into-battery', levelA, charging: levelA < -1 };
}

/** Not one reading differs from another, and there are enough of them: a sensor that is not connected, or a converter that hangs. */
function isConstant({ picked: { valueA }, firstS, lastS }: Readings): boolean {
  return valueA.length >= MANY_BLOCKS && lastS - firstS >= REST_S && valueA.every((value) => value === valueA[0]);
}

/** The longest level that something draws. */
function longestAboveS(segments: readonly Segment[]): number {
  return segments.reduce((longest, segment) => (segment.meanA >= LEAST_PARKED_A ? Math.max(longest, segment.endS - segment.startS) : longest), 0);
}

/** A stretch this long at what a vehicle may draw at rest shows that current into the battery came only for a while, s and A. */
const RESTING_A = 1;

function longestRestingS(segments: readonly Segment[], belowA: number): number {
  let longestS = 0;
  let startS = NaN;
  for (const segment of segments) {
    if (segment.meanA < -belowA || segment.meanA > RESTING_A) startS = NaN;
    else {
      if (Number.isNaN(startS)) startS = segment.startS;
      longestS = Math.max(longestS, segment.endS - startS);
    }
  }
  return longestS;
}

/** The level up to which (from below, or from above) so much time has passed. */
function lastingLevel(segments: readonly Segment[], neededS: number, direction: 1 | -1): Segment {
  const sorted = [...segments].sort((a, b) => direction * (a.meanA - b.meanA));
  let lastedS = 0;
  for (const segment of sorted) {
    lastedS += segment.endS - segment.startS;
    if (lastedS >= neededS) return segment;
  }
  return sorted[sorted.length - 1];
}
