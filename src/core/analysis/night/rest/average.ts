import { quantile } from '../../../stats.ts';
import type { WakeUp } from '../../results.ts';
import { showsNothing } from '../key-off/end.ts';
import type { Readings } from '../types.ts';

/** Mean current over `[startS, endS)`, each block of time the same weight; a person's wake-ups, and at rest also levels that show nothing of the vehicle, left out. */
export function averageBetween(readings: Readings, startS: number, endS: number, wakeUps: readonly WakeUp[], atRest = true): number {
  const { blocks, segments } = readings;
  const byPerson = wakeUps.filter((wake) => wake.cause === 'person');
  let sumA = 0;
  let count = 0;
  let wake = 0;
  let segment = 0;
  for (let i = 0; i < blocks.length; i++) {
    const atS = blocks.startS[i];
    while (segment + 1 < segments.length && segments[segment].endBlock <= i) segment++;
    if (atRest && showsNothing(readings, segments[segment])) continue;
    if (atS < startS || atS + blocks.widthS > endS) continue;
    while (wake < byPerson.length && byPerson[wake].end_s <= atS) wake++;
    if (wake < byPerson.length && byPerson[wake].start_s < atS + blocks.widthS) continue;
    sumA += plainMean(readings, i);
    count++;
  }
  if (count > 0) return sumA / count;
  return blocks.length === 0 ? 0 : blocks.meanA[blocks.length - 1];
}

/** Block mean without winsorising: for charge every sample counts. */
function plainMean(readings: Readings, block: number): number {
  const { bins, blocks } = readings;
  let sumA = 0;
  for (let i = blocks.firstBin[block]; i < blocks.firstBin[block + 1]; i++) sumA += bins.sumA[i];
  return sumA / blocks.count[block];
}

export function medianBetween(readings: Readings, startS: number, endS: number): number | null {
  const { blocks } = readings;
  let from = 0;
  while (from < blocks.length && blocks.startS[from] < startS) from++;
  let to = from;
  while (to < blocks.length && blocks.startS[to] + blocks.widthS <= endS) to++;
  return to > from ? quantile(blocks.meanA.subarray(from, to), 0.5) : null;
}
