import { median } from '../../../stats.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import type { Readings, Segment } from '../types.ts';
import { CLEAR_SIGMAS, FEW, HAND_BLIP_S, NOTABLE_A, PATTERN, SAME_SHARE, SURE_REST_S, TRIFLE_SHARE } from '../settings.ts';
import { edgeBlocks, meanErrorA, meanOf } from './segments.ts';

/** Levels `[first, last]` that lie below equal ones on both sides. */
export interface Dip {
  readonly first: number;
  readonly last: number;
  readonly beforeA: number;
  readonly levelA: number;
  /** after minus before: negative */
  readonly changeA: number;
  /** of its 95 % bounds */
  readonly halfWidthA: number;
}

/** Fuses stay out this long when a person works through a box, s (common practice, no published source). */
const LONGEST_OUT_S = 15 * 60;

/** The dips in which a fuse may have been out, as stretches of time: none when they are more than a person makes, or fill so much of the time that they are the rest itself. */
export function fuseDips(readings: Readings): Dip[] {
  const dips = findDips(readings);
  if (dips.length === 0 || dips.length > PATTERN || haveOneFloor(dips)) return [];
  const { segments } = readings;
  const dippedS = dips.reduce((sum, dip) => sum + segments[dip.last].endS - segments[dip.first].startS, 0);
  return dippedS > (readings.lastS - segments[dips[0].first].startS) / 2 ? [] : dips;
}

/** True when many dips end at one and the same level: fuses carry different currents, a vehicle that keeps waking comes back to its rest. */
function haveOneFloor(dips: readonly Dip[]): boolean {
  const middleA = median(Float64Array.from(dips, ({ levelA }) => levelA));
  const alike = dips.filter(({ levelA, changeA }) => Math.abs(levelA - middleA) < (TRIFLE_SHARE / 2) * -changeA).length;
  return alike > 2 * FEW && alike > (1 - SAME_SHARE) * dips.length;
}

/** How long the recording stays within `nearA` of a level in `[fromS, toS)`, s. */
export function heldS({ segments }: Readings, levelA: number, nearA: number, fromS = -Infinity, toS = Infinity): number {
  let sumS = 0;
  for (const { meanA, startS, endS } of segments) if (Math.abs(meanA - levelA) < nearA) sumS += Math.max(0, Math.min(endS, toS) - Math.max(startS, fromS));
  return sumS;
}

/** Steps down and back up of nearly the same size within minutes, as of a fuse taken out and put back. */
function findDips(readings: Readings): Dip[] {
  const found: Dip[] = [];
  for (let k = 1; k < readings.segments.length; k++) {
    const dip = dipAt(readings, k);
    // the level of the rest is held longer than that of a fuse out; the other way round it is the rest between two wake-ups, with dips of its own
    if (dip === null || heldS(readings, dip.beforeA, -dip.changeA / 2) <= heldS(readings, dip.levelA, -dip.changeA / 2)) continue;
    found.push(dip);
    k = dip.last;
  }
  return found;
}

/** The dip that begins at segment `k`. */
function dipAt(readings: Readings, k: number): Dip | null {
  const { segments } = readings;
  const before = beside(readings, segments[k - 1], 'end');
  let end = k;
  while (end < segments.length && segments[end].meanA < before.meanA - NOTABLE_A / 2) end++;
  if (end === k || end >= segments.length) return null;
  const last = end - 1;
  const outS = segments[last].endS - segments[k].startS;
  if (outS < HAND_BLIP_S || outS > LONGEST_OUT_S) return null;
  const longest = segments.slice(k, last + 1).reduce((best, one) => (one.endS - one.startS > best.endS - best.startS ? one : best));
  // a module that starts when its fuse is back, or the hand's blip, may hide the level for a while
  const startedS = segments[end].startS;
  const highA = before.meanA + Math.max(NOTABLE_A, SAME_SHARE * (before.meanA - longest.meanA));
  while (end + 1 < segments.length && (segments[end].meanA > highA || lengthS(segments[end]) < HAND_BLIP_S) && segments[end].endS - startedS < SURE_REST_S) end++;
  const after = beside(readings, segments[end], 'start');
  const downA = longest.meanA - before.meanA;
  const upA = after.meanA - longest.meanA;
  const errorA = Math.hypot(before.errorA, after.errorA, meanErrorA(longest));
  if (-downA < Math.max(NOTABLE_A, CLEAR_SIGMAS * errorA) || Math.abs(downA + upA) > Math.max(SAME_SHARE * -downA, CLEAR_SIGMAS * errorA)) return null;
  // the levels beside it last: the end of a wake-up or of a blip is no step of a fuse
  if (lengthS(segments[k - 1]) < HAND_BLIP_S || lengthS(segments[end]) < HAND_BLIP_S) return null;
  return { first: k, last, beforeA: before.meanA, levelA: longest.meanA, changeA: (downA - upA) / 2, halfWidthA: NORMAL_95 * errorA + readings.stepA / 2 };
}

function lengthS(segment: Segment): number {
  return segment.endS - segment.startS;
}

function beside(readings: Readings, segment: Segment, side: 'start' | 'end'): { meanA: number; errorA: number } {
  const most = Math.max(1, Math.round(SURE_REST_S / readings.blocks.widthS));
  const count = Math.min(most, segment.endBlock - segment.startBlock);
  const edge = edgeBlocks(count);
  const [from, to] = side === 'end' ? [segment.endBlock - count + edge, segment.endBlock - edge] : [segment.startBlock + edge, segment.startBlock + count - edge];
  return { meanA: meanOf(readings.blocks.meanA, from, to), errorA: meanErrorA(segment, to - from) };
}
