import { median, robustSigma } from '../../../stats.ts';
import { ofLimits } from '../../uncertainty/budget.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, PATTERN } from '../settings.ts';
import type { Readings, BlockRange } from '../types.ts';
import { goesOn } from '../levels/pattern.ts';

/** What single readings far from the rest add to a level, A. */
interface Recurring {
  readonly extraA: number;
  /** standard error, A */
  readonly errorA: number;
}

/**
 * Block means hold single far readings back, which keeps sparks out of levels, but also the flash of an alarm lamp or the pulses of a
 * module that polls: current that flows over and over and does count. This is the mean of what was held back, over groups of a few seconds.
 * Where groups that stand out are many and go on throughout, they are current and count in full; else they are held to the others, and
 * what they would add is uncertain: nobody can say of a few far readings whether they were current.
 */
export function recurringExtra(readings: Readings, ranges: readonly BlockRange[]): Recurring {
  const groups = heldBack(readings, ranges);
  if (groups.length === 0) return { extraA: 0, errorA: 0 };
  const middle = median(groups);
  const reach = CLEAR_SIGMAS * robustSigma(groups);
  const far = [...groups.keys()].filter((k) => Math.abs(groups[k] - middle) > reach);
  const counted = goesOn(far, 0, groups.length) ? groups : groups.map((value) => Math.min(middle + reach, Math.max(middle - reach, value)));
  const extraA = average(counted);
  const squares = counted.reduce((sum, value) => sum + (value - extraA) ** 2, 0);
  const scatterA = counted.length < 2 ? Math.abs(extraA) : Math.sqrt(squares / (counted.length - 1) / counted.length);
  return { extraA, errorA: Math.hypot(scatterA, ofLimits(average(groups) - extraA)) };
}

/** Means of what the blocks hold back, over groups of a few seconds, A. */
function heldBack({ bins, blocks }: Readings, ranges: readonly BlockRange[]): number[] {
  let total = 0;
  for (const range of ranges) total += Math.max(0, range.endBlock - range.startBlock);
  const perGroup = Math.max(1, Math.min(Math.round((2 * HAND_BLIP_S) / blocks.widthS), Math.floor((2 * total) / PATTERN)));
  const groups: number[] = [];
  let sumA = 0;
  let inside = 0;
  for (const range of ranges) {
    for (let i = range.startBlock; i < range.endBlock; i++) {
      let blockSumA = 0;
      for (let bin = blocks.firstBin[i]; bin < blocks.firstBin[i + 1]; bin++) blockSumA += bins.sumA[bin];
      sumA += blockSumA / blocks.count[i] - blocks.meanA[i];
      if (++inside < perGroup) continue;
      groups.push(sumA / inside);
      sumA = 0;
      inside = 0;
    }
  }
  return groups;
}

function average(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}
