import type { Readings, Segment } from '../types.ts';
import { meanErrorA, meanOf } from './segments.ts';

/** Levels `[first, last]` that lie below equal ones on both sides. */
export interface Dip {
  readonly first: number;
  readonly last: number;
  readonly beforeA: number;
  /** after minus before: negative */
  readonly changeA: number;
  /** of its 95 % bounds */
  readonly halfWidthA: number;
}

/** A step this large is worth asking about, A: a fifth of the common limit. */
const LEAST_STEP_A = 0.01;
/** What comes back is what went within this share, or within the noise (common practice, no published source). */
const SAME_SHARE = 0.2;
/** Fuses stay out this long when a person works through a box, s (common practice, no published source). */
const SHORTEST_OUT_S = 4;
const LONGEST_OUT_S = 15 * 60;
/** The level on both sides is read over at most this long, s. */
const BESIDE_S = 120;

/** Steps down and back up of nearly the same size within minutes, as of a fuse taken out and put back. */
export function findDips(readings: Readings): Dip[] {
  const found: Dip[] = [];
  for (let k = 1; k < readings.segments.length; k++) {
    const dip = dipAt(readings, k);
    if (dip === null) continue;
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
  while (end < segments.length && segments[end].meanA < before.meanA - LEAST_STEP_A / 2) end++;
  if (end === k || end >= segments.length) return null;
  const outS = segments[end - 1].endS - segments[k].startS;
  if (outS < SHORTEST_OUT_S || outS > LONGEST_OUT_S) return null;
  const after = beside(readings, segments[end], 'start');
  const longest = segments.slice(k, end).reduce((best, one) => (one.endS - one.startS > best.endS - best.startS ? one : best));
  const downA = longest.meanA - before.meanA;
  const upA = after.meanA - longest.meanA;
  const errorA = Math.hypot(before.errorA, after.errorA, meanErrorA(longest));
  if (-downA < LEAST_STEP_A || Math.abs(downA + upA) > Math.max(SAME_SHARE * -downA, 4 * errorA)) return null;
  // the levels beside it last: the end of a wake-up or of a blip is no step of a fuse
  if (lengthS(segments[k - 1]) < SHORTEST_OUT_S || lengthS(segments[end]) < SHORTEST_OUT_S) return null;
  return { first: k, last: end - 1, beforeA: before.meanA, changeA: (downA - upA) / 2, halfWidthA: 1.96 * errorA + readings.stepA / 2 };
}

function lengthS(segment: Segment): number {
  return segment.endS - segment.startS;
}

function beside(readings: Readings, segment: Segment, side: 'start' | 'end'): { meanA: number; errorA: number } {
  const most = Math.max(1, Math.round(BESIDE_S / readings.blocks.widthS));
  const count = Math.min(most, segment.endBlock - segment.startBlock);
  const edge = count > 4 ? 1 : 0;
  const [from, to] = side === 'end' ? [segment.endBlock - count + edge, segment.endBlock - edge] : [segment.startBlock + edge, segment.startBlock + count - edge];
  return { meanA: meanOf(readings.blocks.meanA, from, to), errorA: meanErrorA(segment, to - from) };
}
