import { median } from '../../../stats.ts';
import { LONGEST_TIME_OUT_S } from '../../../reference/time-outs.ts';
import { lowerBound, type Mark } from '../../../trace.ts';
import { settledS, type Settling } from './settling.ts';
import { showsNothing } from '../key-off/end.ts';
import { fuseDips } from '../levels/dips.ts';
import { meanOf } from '../levels/segments.ts';
import { CLEAR_SIGMAS, HALL_ZERO_A, MARK_SLACK_S, NEAR_S, NEGLIGIBLE_A, NOTABLE_A, REST_S, SAME_SHARE, SURE_REST_S, TRIFLE_A, TRIFLE_SHARE } from '../settings.ts';
import type { Blocks, Readings, Rest, RestStretch, Segment } from '../types.ts';

/**
 * The first moment from which the vehicle is at rest with its fuses in, wake-ups aside. A pull proves nothing: when the level falls far
 * lower while all fuses are back, they were pulled while modules were still awake, and the rest is that later one.
 */
export function findRest(readings: Readings, marks: readonly Mark[]): Rest | null {
  const firstPull = marks.find((mark) => mark.kind === 'pull');
  const endS = firstPull === undefined ? Infinity : Math.max(readings.firstS + 1, firstPull.timeS - MARK_SLACK_S);
  const before = restUntil(readings, endS);
  const allIn = lastAllIn(marks);
  const untilS = allIn === null ? 0 : Math.min(readings.lastS, allIn.endS - MARK_SLACK_S);
  if (allIn === null || allIn.startS + MARK_SLACK_S > untilS - REST_S) return before;
  const from = readings.segments.findIndex((segment) => segment.endS > allIn.startS + MARK_SLACK_S);
  if (from < 0) return before;
  const firstS = Math.max(allIn.startS, readings.segments[from].startS);
  const late = { ...readings, firstS, segments: readings.segments.slice(from).map((segment) => (segment.startS < firstS ? { ...segment, startS: firstS } : segment)) };
  const after = restUntil(late, allIn.endS === Infinity ? Infinity : untilS);
  if (after === null) return before;
  const zeroA = (HALL_ZERO_A * (after.atS - endS)) / 3600;
  const fallA = before === null ? Infinity : middleA(readings, endS - SURE_REST_S, endS) - middleA(readings, after.atS, Math.min(untilS, after.atS + SURE_REST_S)) - zeroA;
  if (fallA < Math.max(NEGLIGIBLE_A, TRIFLE_SHARE * (before?.levelA ?? 0))) return before;
  return { ...after, segment: after.segment + from };
}

/**
 * The rest of a level that creeps to its floor: it begins when no more than a trifle is left of what falls, and its level is read at the
 * end of the creep. A load that dies away and a zero that warms up both end at the floor. Null when the end was not recorded.
 */
export function settledRest(readings: Readings, rest: Rest | null, stretches: readonly RestStretch[], settling: Settling | null): { rest: Rest | null; stretches: readonly RestStretch[] } {
  if (rest === null || settling === null) return { rest, stretches };
  const atS = settling.amplitudeA > 0 ? Math.max(rest.atS, settledS(settling, Math.max(TRIFLE_A, TRIFLE_SHARE * Math.abs(settling.floorA)))) : rest.atS;
  if (atS > readings.lastS - REST_S) return { rest: null, stretches: [] };
  const goneS = Math.min(settledS(settling, TRIFLE_SHARE * NEGLIGIBLE_A), (settling.fromS + readings.lastS) / 2);
  const late = stretches.flatMap((stretch) => {
    if (stretch.startS >= goneS) return [stretch];
    if (stretch.endS <= goneS) return [];
    const startBlock = lowerBound(readings.blocks.startS, goneS, stretch.startBlock, stretch.endBlock);
    return [{ ...stretch, startS: goneS, startBlock }];
  });
  return { rest: { ...rest, atS }, stretches: late.length > 0 ? late : stretches };
}

/** The middle block mean of a stretch. */
function middleA({ blocks }: Readings, startS: number, endS: number): number {
  const from = lowerBound(blocks.startS, startS, 0, blocks.length);
  const to = Math.max(from + 1, lowerBound(blocks.startS, endS, from, blocks.length));
  return median(blocks.meanA.subarray(from, Math.min(to, blocks.length)));
}

/** The last time after a pull in which all fuses were in: from the refit of the last one until the next pull; null without one. */
function lastAllIn(marks: readonly Mark[]): { readonly startS: number; readonly endS: number } | null {
  const out = new Set<string>();
  let last: { startS: number; endS: number } | null = null;
  for (const mark of marks) {
    if (mark.kind === 'pull') {
      if (last !== null && out.size === 0) last.endS = mark.timeS;
      out.add(mark.label);
    } else if (mark.kind === 'refit' && out.delete(mark.label) && out.size === 0) last = { startS: mark.timeS, endS: Infinity };
  }
  return last;
}

/**
 * First the lowest level that lasts is looked up, then the walk goes backwards from its earliest stretch as long as the level is the
 * same, or only drifts; a higher stretch between two equal rests is a wake-up, a lower one between them a fuse out for a while.
 */
function restUntil(readings: Readings, endS: number): (Rest & { readonly levelA: number }) | null {
  const { blocks } = readings;
  const widthS = blocks.widthS;
  const inside = segmentsUntil(readings, endS);
  const ignored = ignoredSegments(readings, inside);
  const candidates = inside.filter((_segment, i) => !ignored.has(i));
  if (candidates.length === 0) return null;
  const base = lowestLasting(readings, candidates, endS);
  let current = inside.findIndex((segment, i) => !ignored.has(i) && segment.meanA <= base.meanA + sameLevelA(segment, base, base.meanA));
  if (current < 0) return null;
  let levelA = inside[current].meanA;
  let steppedA = levelA - base.meanA > NOTABLE_A ? levelA - base.meanA : 0;
  const isSame = (k: number): boolean => !ignored.has(k) && isSameRest(readings, inside[k], inside[current], levelA);
  let i = current - 1;
  while (i >= 0) {
    const segment = inside[i];
    if (isSame(i)) {
      if (lengthOf(segment) * widthS >= REST_S) {
        // each step may be small beside the level, but all of them together are what was still awake
        if (Math.abs(segment.meanA - levelA) > NOTABLE_A) steppedA += segment.meanA - levelA;
        if (steppedA > TRIFLE_SHARE * Math.abs(base.meanA)) break;
        levelA = segment.meanA;
      }
      current = i;
      i--;
      continue;
    }
    let back = i - 1;
    while (back >= 0 && inside[i].endS - inside[back].endS < LONGEST_TIME_OUT_S && !isSame(back)) back--;
    if (back < 0 || inside[i].endS - inside[back].endS >= LONGEST_TIME_OUT_S) break;
    current = back;
    if (lengthOf(inside[back]) * widthS >= REST_S) levelA = inside[back].meanA;
    i = back - 1;
  }
  return { segment: current, atS: inside[current].startS, levelA: base.meanA };
}

/** Indices of segments that are no level of rest: current into the battery, none at all, and dips in which a fuse may have been out. */
function ignoredSegments(readings: Readings, inside: readonly Segment[]): Set<number> {
  const ignored = new Set<number>();
  inside.forEach((segment, i) => {
    if (showsNothing(readings, segment)) ignored.add(i);
  });
  for (const dip of fuseDips(readings)) for (let k = dip.first; k <= dip.last && k < inside.length; k++) ignored.add(k);
  return ignored;
}

/** Segments before `endS`; the one that reaches past it with the mean of what lies before. */
function segmentsUntil(readings: Readings, endS: number): Segment[] {
  const { segments, blocks } = readings;
  const inside: Segment[] = [];
  for (const segment of segments) {
    let endBlock = segment.endBlock;
    while (endBlock > segment.startBlock && blocks.startS[endBlock - 1] + blocks.widthS > endS) endBlock--;
    if (endBlock === segment.endBlock) inside.push(segment);
    else if (endBlock > segment.startBlock) inside.push({ ...segment, endBlock, endS, meanA: meanOf(blocks.meanA, segment.startBlock, endBlock) });
  }
  return inside;
}

function lengthOf(segment: Segment): number {
  return segment.endBlock - segment.startBlock;
}

/** The lowest stretch with which those up to it add up to a rest: short dips of a loose lead do not make a level. */
function lowestLasting(readings: Readings, inside: readonly Segment[], endS: number): Segment {
  const spanS = Math.min(endS, readings.lastS) - readings.firstS;
  const neededS = Math.min(spanS / 2, SURE_REST_S);
  const byMean = [...inside].sort((a, b) => a.meanA - b.meanA);
  let lastedS = 0;
  for (const segment of byMean) {
    lastedS += Math.min(segment.endS, endS) - segment.startS;
    if (lastedS >= neededS) return segment;
  }
  return byMean[byMean.length - 1];
}

/**
 * Levels closer than this are the same: uncertainty of the two means, and a part of the level itself (a module's own draw is never constant).
 * Both are taken as quiet as the quieter one, and the uncertainty is held to a part of the level: a stretch is not at rest for being too
 * unsettled to tell.
 */
function sameLevelA(segment: Segment, other: Segment, levelA: number): number {
  const quietA2 = Math.min(segment.varianceA2, other.varianceA2);
  const errorA = Math.sqrt(quietA2 / Math.max(1, lengthOf(segment)) + quietA2 / Math.max(1, lengthOf(other)));
  return Math.max(NEGLIGIBLE_A / 2, (TRIFLE_SHARE / 2) * Math.abs(levelA), Math.min(CLEAR_SIGMAS * errorA, NOTABLE_A + SAME_SHARE * Math.abs(levelA)));
}

/** Same level, or a level that the zero may have wandered to in the time between. */
export function isSameRest(readings: Readings, segment: Segment, next: Segment, levelA: number): boolean {
  const apart = Math.abs(segment.meanA - levelA);
  const betweenS = (next.startS + next.endS - segment.startS - segment.endS) / 2;
  const wanderA = Math.min(NOTABLE_A, ((HALL_ZERO_A / 2) * Math.abs(betweenS)) / 3600);
  if (apart <= sameLevelA(segment, next, levelA) + wanderA) return true;
  if (segment.meanA < levelA && lengthOf(segment) * readings.blocks.widthS < REST_S) return true;
  if (apart > NOTABLE_A) return false;
  return segment.startBlock < next.startBlock ? isDrift(readings.blocks, segment, next) : isDrift(readings.blocks, next, segment);
}

/** True when a straight line through both stretches fits better than a step between them: a zero that wanders, not a module that stops. */
function isDrift(blocks: Blocks, before: Segment, after: Segment): boolean {
  if (before.endBlock !== after.startBlock) return false;
  const reach = Math.min(lengthOf(before), lengthOf(after), Math.ceil((2 * NEAR_S) / blocks.widthS));
  if (reach * blocks.widthS < SURE_REST_S) return false;
  const startBlock = before.endBlock - reach;
  const endBlock = after.startBlock + reach;
  const meanBefore = meanOf(blocks.meanA, startBlock, before.endBlock);
  const meanAfter = meanOf(blocks.meanA, after.startBlock, endBlock);
  const mean = (meanBefore + meanAfter) / 2;
  const middle = (startBlock + endBlock - 1) / 2;
  let xx = 0;
  let xy = 0;
  for (let i = startBlock; i < endBlock; i++) {
    xx += (i - middle) * (i - middle);
    xy += (i - middle) * (blocks.meanA[i] - mean);
  }
  const slope = xy / xx;
  let ofLine = 0;
  let ofStep = 0;
  for (let i = startBlock; i < endBlock; i++) {
    const fromLine = blocks.meanA[i] - mean - slope * (i - middle);
    const fromStep = blocks.meanA[i] - (i < before.endBlock ? meanBefore : meanAfter);
    ofLine += fromLine * fromLine;
    ofStep += fromStep * fromStep;
  }
  return ofLine < ofStep;
}
