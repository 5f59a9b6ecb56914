import type { Mark } from '../../../trace.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, MARK_SLACK_S, MOST_ZERO_A, NEGLIGIBLE_A, REST_S, TRIFLE_SHARE } from '../settings.ts';
import { LONGEST_TIME_OUT_S } from '../../../reference/time-outs.ts';
import type { Readings, Segment } from '../types.ts';
import { LEAST_PARKED_A } from './plausible.ts';
import { batteriesOf } from './volts.ts';

/** Why nothing after a moment shows what the parked vehicle draws. */
export type EndedBy = 'fed' | 'no-current' | 'battery-empty';

export interface ParkedEnd {
  readonly atS: number;
  readonly by: EndedBy;
}

/** A battery at this voltage is empty, V a 12 V system: 1.75 V a cell (Trojan T-105 data sheet, cut-off of the capacity rows); what it still gives is not what the vehicle would draw. */
const EMPTY_V = 10.5;

/**
 * Where the recording stops showing the parked vehicle for good: current flows into the battery, none flows at all (the clamp came off,
 * the battery was disconnected), or the battery is empty. Null when it shows it to the end.
 */
export function findEnd(readings: Readings, marks: readonly Mark[]): ParkedEnd | null {
  const ends = [fedToTheEnd(readings), noneToTheEnd(readings, marks), emptyToTheEnd(readings)].filter((end) => end !== null);
  return ends.reduce<ParkedEnd | null>((first, end) => (first === null || end.atS < first.atS ? end : first), null);
}

/** The readings up to that moment. */
export function readingsUntil(readings: Readings, end: ParkedEnd | null): Readings {
  if (end === null) return readings;
  const segments = readings.segments.filter((segment) => segment.startS < end.atS).map((segment) => {
    if (segment.endS <= end.atS) return segment;
    let { endBlock } = segment;
    while (endBlock > segment.startBlock + 1 && readings.blocks.startS[endBlock - 1] >= end.atS) endBlock--;
    return { ...segment, endBlock, endS: end.atS };
  });
  return segments.length === 0 ? readings : { ...readings, segments, lastS: end.atS };
}

/** True for a level at which nothing flows, or flows the other way: it says nothing of what the vehicle draws. */
export function showsNothing({ belowZeroA }: Readings, segment: Segment): boolean {
  return segment.meanA < -belowZeroA || noneFlows(segment);
}

function noneFlows(segment: Segment): boolean {
  return Math.abs(segment.meanA) < LEAST_PARKED_A && segment.endS - segment.startS >= HAND_BLIP_S;
}

/** Fed from a moment to the end, or with breaks (clouds) for the lesser half of the recording. */
function fedToTheEnd({ segments, belowZeroA, firstS, lastS }: Readings): ParkedEnd | null {
  const isFed = (segment: Segment): boolean => segment.meanA < -CLEAR_SIGMAS * belowZeroA;
  const first = segments.findIndex((segment) => isFed(segment) && segment.endS - segment.startS >= REST_S);
  const isLate = first > 0 && segments[first].startS - firstS >= lastS - segments[first].startS;
  const fed = isLate ? first : withBreaks(segments, lastOf(segments, isFed), lastS, isFed);
  return from(withDawn(segments, fed), segments, lastS, 'fed');
}

/** The first level from which current flows into the battery with breaks (clouds) that are shorter than what follows them: in a break a panel still hides a part of what flows. */
function withBreaks(segments: readonly Segment[], fed: number, lastS: number, isFed: (segment: Segment) => boolean): number {
  let first = fed;
  for (let k = fed - 1; k >= 0; k--) if (isFed(segments[k]) && segments[first].startS - segments[k].endS < lastS - segments[first].startS) first = k;
  return first;
}

/** The first of the falling levels before a current into the battery that lie below the level that held longest: a panel that begins to feed hides a part of it. */
function withDawn(segments: readonly Segment[], fed: number): number {
  if (fed <= 0) return fed;
  const longest = segments.slice(0, fed).reduce((best, one) => (one.endS - one.startS > best.endS - best.startS ? one : best));
  let first = fed;
  while (segments[first - 1].startS >= longest.endS && segments[first - 1].meanA < (1 - TRIFLE_SHARE) * longest.meanA) first--;
  return first;
}

function noneToTheEnd(readings: Readings, marks: readonly Mark[]): ParkedEnd | null {
  const { segments, lastS } = readings;
  const end = from(lastOf(segments, noneFlows), segments, lastS, 'no-current') ?? from(noneSuddenly(readings), segments, lastS, 'no-current');
  // a fuse may carry all there is
  const pulled = end !== null && marks.some((mark) => mark.kind === 'pull' && Math.abs(mark.timeS - end.atS) < MARK_SLACK_S);
  return pulled ? null : end;
}

/**
 * The first of the levels up to the end that cannot be distinguished from none, for all that is known of the zero, and are no part of a drain, where the current had not been there before any time-out could
 * still end: a vehicle that falls asleep does so by then, a clamp falls off, or is zeroed with the drain flowing, at any time. -1 without any.
 */
function noneSuddenly({ segments, blocks, belowZeroA, firstS }: Readings): number {
  const within = (mostA: number) => (segment: Segment): boolean => Math.abs(segment.meanA) <= mostA;
  const suddenly = (mayBeNone: (segment: Segment) => boolean): number => {
    const first = lastOf(segments, mayBeNone);
    return first > 0 && segments[first].startS - firstS > LONGEST_TIME_OUT_S && !segments.slice(0, first).some((segment) => mayBeNone(segment) && segment.endS - segment.startS >= REST_S) ? first : -1;
  };
  // a logger that was away may have come back with another zero; where more went than any zero moves by, what is not clearly more than none does not undo that drain
  const isAway = (k: number): boolean => k > 0 && blocks.startS[segments[k].startBlock] - blocks.startS[segments[k].startBlock - 1] > HAND_BLIP_S;
  const away = suddenly(within((CLEAR_SIGMAS / 2) * belowZeroA));
  if (isAway(away) && segments[away - 1].meanA - segments[away].meanA > MOST_ZERO_A) return away;
  const near = suddenly(within(belowZeroA));
  if (isAway(near)) return near;
  return suddenly(within(Math.min(belowZeroA, NEGLIGIBLE_A)));
}

/** The first of the levels up to the end that are all of a kind; -1 without any. */
function lastOf(segments: readonly Segment[], is: (segment: Segment) => boolean): number {
  let first = segments.length;
  while (first > 0 && is(segments[first - 1])) first--;
  return first === segments.length ? -1 : first;
}

function from(first: number, segments: readonly Segment[], lastS: number, by: EndedBy): ParkedEnd | null {
  // from its beginning on, the recording as a whole is judged
  if (first <= 0 || lastS - segments[first].startS < REST_S) return null;
  return { atS: segments[first].startS, by };
}

function emptyToTheEnd({ voltage, firstS, lastS }: Readings): ParkedEnd | null {
  if (voltage === null) return null;
  const { startS, meanV } = voltage;
  const emptyV = EMPTY_V * batteriesOf(voltage);
  let first = meanV.length;
  while (first > 0 && meanV[first - 1] < emptyV) first--;
  if (first === meanV.length || startS[first] <= firstS || lastS - startS[first] < REST_S) return null;
  return { atS: startS[first], by: 'battery-empty' };
}
