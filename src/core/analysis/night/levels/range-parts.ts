import { lowerBound } from '../../../trace.ts';
import type { DrainOptions } from '../../options.ts';
import type { RangePart } from './noisy-levels.ts';
import type { Blocks } from '../types.ts';

/**
 * Blocks by the range the logger was in, each with its own noise: readings of a coarser range stay on one step for long and would pass for
 * noise-free. There a block mean is off by up to half a step, so half a step is its least deviation.
 */
export function rangeParts(blocks: Blocks, ranges: NonNullable<DrainOptions['ranges']>, floorA2: number): RangePart[] {
  const known = ranges.map((range) => range.resolutionA ?? 0).filter((resolutionA) => resolutionA > 0);
  const finestA = known.length === 0 ? 0 : Math.min(...known);
  const parts: RangePart[] = [];
  for (let k = 0; k < Math.max(1, ranges.length); k++) {
    const startIndex = k === 0 ? 0 : parts[k - 1].endIndex;
    const endIndex = k + 1 < ranges.length ? lowerBound(blocks.startS, ranges[k + 1].atS, startIndex, blocks.length) : blocks.length;
    const resolutionA = ranges[k]?.resolutionA ?? 0;
    parts.push({ startIndex, endIndex, floorA2: resolutionA > finestA ? Math.max(floorA2, (resolutionA / 2) ** 2) : floorA2 });
  }
  return parts;
}
