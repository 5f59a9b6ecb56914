import { lowerBound } from '../../../trace.ts';
import { PATTERN, SAME_SHARE, SHORTEST_WAKE_S } from '../settings.ts';
import { goesOn } from '../levels/pattern.ts';
import type { Readings, Excursion } from '../types.ts';

/** What the many short excursions of a recording have in common. */
interface Flashes {
  /** highest readings of the short excursions, sorted, A; empty when there are few */
  readonly peakASorted: readonly number[];
}

/** Short excursions in `[fromS, toS)`, when there are many and they go on through it: `peakOf` gives the highest reading of a stretch. A horn sounds for a while; a lamp flashes all the time. */
export function findFlashes(runs: readonly Excursion[], fromS: number, toS: number, peakOf: (run: Excursion) => number): Flashes {
  const short = runs.filter((run) => run.endS - run.startS < SHORTEST_WAKE_S);
  return { peakASorted: goesOn(short.map((run) => run.startS), fromS, toS) ? short.map(peakOf).sort((a, b) => a - b) : [] };
}

/** True when as many flashes as make a lamp are as high as this stretch: several of them run together, as slow readings catch them. */
export function isFlashing(flashes: Flashes, peakA: number): boolean {
  const peaks = Float64Array.from(flashes.peakASorted);
  return lowerBound(peaks, peakA * (1 + SAME_SHARE)) - lowerBound(peaks, peakA * (1 - SAME_SHARE)) >= PATTERN;
}

/** True for one of many short excursions that go on throughout, however high the logger's rate catches it: a module that polls, and its charge is part of the level. */
export function isOneOfMany(flashes: Flashes, run: Excursion): boolean {
  return flashes.peakASorted.length > 0 && run.endS - run.startS < SHORTEST_WAKE_S;
}

/** Every block that holds some of a stretch. */
export function blocksTouched({ blocks }: Readings, run: Excursion): { startBlock: number; endBlock: number } {
  const endBlock = lowerBound(blocks.startS, run.endS, 0, blocks.length);
  let startBlock = lowerBound(blocks.startS, run.startS, 0, blocks.length);
  if (startBlock > 0 && blocks.startS[startBlock - 1] + blocks.widthS > run.startS) startBlock--;
  return { startBlock, endBlock };
}

/** The blocks of a stretch, from the edge nearest to its beginning to the one nearest to its end. */
export function blocksOf(readings: Readings, run: Excursion): { startBlock: number; endBlock: number } {
  const { blocks } = readings;
  const startBlock = lowerBound(blocks.startS, run.startS - blocks.widthS / 2, 0, blocks.length);
  return { startBlock, endBlock: Math.max(startBlock, lowerBound(blocks.startS, run.endS - blocks.widthS / 2, startBlock, blocks.length)) };
}
