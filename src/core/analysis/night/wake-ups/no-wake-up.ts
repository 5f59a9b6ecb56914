import { quantile } from '../../../stats.ts';
import type { Pulses } from '../../results.ts';
import { lowerBound } from '../../../trace.ts';
import { HAND_BLIP_S, LOW_POINT } from '../settings.ts';
import { meanOf } from '../levels/segments.ts';
import type { Excursion, Readings } from '../types.ts';
import { blocksOf } from './flashes.ts';

/**
 * True for a stretch above the rest that neither begins nor ends with a step: a module that wakes switches its load on at once. What
 * rises and falls slowly is a sensor that wanders, or hum that the logger's rate folds down to a slow swing.
 */
export function isSwing(readings: Readings, run: Excursion): boolean {
  const { blocks } = readings;
  const { startBlock, endBlock } = blocksOf(readings, run);
  if (endBlock <= startBlock) return false;
  const size = Math.max(1, Math.min(Math.round(HAND_BLIP_S / blocks.widthS), endBlock - startBlock));
  const halfA = (meanOf(blocks.meanA, startBlock, endBlock) - run.restA) / 2;
  const edges = [largestChangeA(readings, startBlock, size, 1), largestChangeA(readings, endBlock, size, -1)].filter((edge) => edge !== null);
  return edges.length > 0 && edges.every((changeA) => changeA < halfA);
}

/** The largest change in one direction between means of `size` blocks, within as many blocks of an edge; null where the recording begins, ends or has a gap, which says nothing of it. */
function largestChangeA({ blocks, firstS, lastS }: Readings, atBlock: number, size: number, direction: 1 | -1): number | null {
  const { meanA, startS, widthS, length } = blocks;
  let largestA = 0;
  for (let i = atBlock - size; i <= atBlock + size; i++) {
    if (i - size < 0 || i + size > length || startS[i - size] < firstS - widthS || startS[i + size - 1] > lastS) return null;
    if (startS[i + size - 1] - startS[i - size] > 2 * size * widthS + HAND_BLIP_S) return null;
    largestA = Math.max(largestA, direction * (meanOf(meanA, i, i + size) - meanOf(meanA, i - size, i)));
  }
  return largestA;
}

/** True for a stretch in which a busy feed only pulses as it always does: between its pulses it is back at the floor. */
export function isPulses({ bins }: Readings, run: Excursion, pulses: Pulses | null): boolean {
  if (pulses === null || run.endS - run.startS < 2 * pulses.period_s) return false;
  const from = lowerBound(bins.key, Math.floor(run.startS / bins.widthS), 0, bins.length);
  const to = lowerBound(bins.key, Math.floor(run.endS / bins.widthS), from, bins.length);
  if (to <= from) return false;
  const values = Float64Array.from({ length: to - from }, (_, i) => bins.sumA[from + i] / bins.count[from + i]);
  return quantile(values, LOW_POINT) < pulses.floor_a + pulses.pulse_a / 2;
}
