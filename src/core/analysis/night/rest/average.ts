import { quantile } from '../../../stats.ts';
import type { WakeUp } from '../../results.ts';
import { showsNothing } from '../key-off/end.ts';
import { MANY_BLOCKS } from '../settings.ts';
import type { Readings } from '../types.ts';

/** Mean current over `[startS, endS)`, each half minute the same weight, and each reading in it; a person's wake-ups, and at rest also levels that show nothing of the vehicle, left out. */
export function averageBetween(readings: Readings, startS: number, endS: number, wakeUps: readonly WakeUp[], atRest = true): number {
  const { blocks, segments } = readings;
  const byPerson = wakeUps.filter((wake) => wake.cause === 'person');
  const group = { sumA: 0, samples: 0, blocks: 0 };
  let sumA = 0;
  let count = 0;
  const closeGroup = (): void => {
    if (group.samples > 0) sumA += (group.sumA / group.samples) * group.blocks;
    count += group.blocks;
    group.sumA = group.samples = group.blocks = 0;
  };
  let wake = 0;
  let segment = 0;
  for (let i = 0; i < blocks.length; i++) {
    const atS = blocks.startS[i];
    while (segment + 1 < segments.length && segments[segment].endBlock <= i) segment++;
    if (atRest && showsNothing(readings, segments[segment])) continue;
    if (atS < startS || atS + blocks.widthS > endS) continue;
    while (wake < byPerson.length && byPerson[wake].end_s <= atS) wake++;
    if (wake < byPerson.length && byPerson[wake].start_s < atS + blocks.widthS) continue;
    group.sumA += sumOf(readings, i);
    group.samples += blocks.count[i];
    if (++group.blocks === MANY_BLOCKS) closeGroup();
  }
  closeGroup();
  if (count > 0) return sumA / count;
  return blocks.length === 0 ? 0 : blocks.meanA[blocks.length - 1];
}

/** Without winsorising: for charge every sample counts. */
function sumOf({ bins, blocks }: Readings, block: number): number {
  let sumA = 0;
  for (let i = blocks.firstBin[block]; i < blocks.firstBin[block + 1]; i++) sumA += bins.sumA[i];
  return sumA;
}

export function medianBetween(readings: Readings, startS: number, endS: number): number | null {
  const { blocks } = readings;
  let from = 0;
  while (from < blocks.length && blocks.startS[from] < startS) from++;
  let to = from;
  while (to < blocks.length && blocks.startS[to] + blocks.widthS <= endS) to++;
  return to > from ? quantile(blocks.meanA.subarray(from, to), 0.5) : null;
}
