import { median, quantile, robustSigma } from '../../../stats.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, PATTERN } from '../settings.ts';
import type { Readings, BlockRange } from '../types.ts';

/** What single readings far from the rest add to a level, A. */
export interface Recurring {
  readonly extraA: number;
  /** standard error, A */
  readonly errorA: number;
}

/**
 * Block means hold single far readings back, which keeps sparks out of levels, but also the flash of an alarm lamp or the pulses of a
 * dimmed load: current that flows over and over and does count. This is the mean of what was held back, over groups of a few seconds,
 * groups that stand out left aside: 0 for sparks, the lamp's share for a lamp.
 */
export function recurringExtra(readings: Readings, ranges: readonly BlockRange[]): Recurring {
  const { bins, blocks } = readings;
  let total = 0;
  for (const range of ranges) total += Math.max(0, range.endBlock - range.startBlock);
  if (total === 0) return { extraA: 0, errorA: 0 };
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
  if (groups.length === 0) return { extraA: 0, errorA: 0 };
  const middle = median(groups);
  const reach = CLEAR_SIGMAS * Math.max(robustSigma(groups), (quantile(groups, 0.75) - quantile(groups, 0.25)) / 2);
  let mean = 0;
  for (const value of groups) mean += Math.min(middle + reach, Math.max(middle - reach, value));
  mean /= groups.length;
  let squares = 0;
  for (const value of groups) squares += (Math.min(middle + reach, Math.max(middle - reach, value)) - mean) ** 2;
  return { extraA: mean, errorA: groups.length < 2 ? Math.abs(mean) : Math.sqrt(squares / (groups.length - 1) / groups.length) };
}
