import { FEW, SHORTEST_WAKE_S } from '../settings.ts';
import { blockEndS } from './blocks.ts';
import type { Bins, Blocks, Segment } from '../types.ts';

/** Levels with their figures, each change refined on the finest bins that are kept. */
export function makeSegments(bins: Bins, blocks: Blocks, levels: readonly number[], varianceA2: Float64Array, firstS: number, lastS: number): Segment[] {
  const segments: Segment[] = [];
  for (let k = 0; k + 1 < levels.length; k++) {
    const startBlock = levels[k];
    const endBlock = levels[k + 1];
    const edge = edgeBlocks(endBlock - startBlock);
    segments.push({
      startBlock,
      endBlock,
      startS: blocks.startS[startBlock],
      endS: blockEndS(blocks, endBlock - 1),
      meanA: meanOf(blocks.meanA, startBlock + edge, endBlock - edge),
      varianceA2: meanOf(varianceA2, startBlock, endBlock),
    });
  }
  if (segments.length === 0) return segments;
  segments[0].startS = firstS;
  segments[segments.length - 1].endS = lastS;
  for (let k = 1; k < segments.length; k++) {
    const atS = refineChange(bins, blocks, segments[k - 1], segments[k]);
    segments[k - 1].endS = atS;
    segments[k].startS = atS;
  }
  return segments;
}

/** Blocks to leave out at either end of a level of so many: the one in which it begins or ends holds some of its neighbour. */
export function edgeBlocks(blockCount: number): number {
  return blockCount > FEW ? 1 : 0;
}

/** Mean of values in `[startIndex, endIndex)`. */
export function meanOf(values: Float64Array, startIndex: number, endIndex: number): number {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += values[i];
  return sum / Math.max(1, endIndex - startIndex);
}

/** Standard error of a segment's mean, or of so many of its blocks. */
export function meanErrorA(segment: Segment, blockCount: number = segment.endBlock - segment.startBlock): number {
  return Math.sqrt(segment.varianceA2 / Math.max(1, blockCount));
}

function refineChange(bins: Bins, blocks: Blocks, before: Segment, after: Segment): number {
  // an edge lies no further from where it is seen than the shortest level lasts
  const reach = Math.max(1, Math.round(SHORTEST_WAKE_S / blocks.widthS));
  const startBlock = Math.max(before.startBlock, before.endBlock - reach);
  const endBlock = Math.min(after.endBlock, after.startBlock + reach);
  const binIndex = bestSplit(bins, blocks.firstBin[startBlock], blocks.firstBin[endBlock], before.meanA, after.meanA);
  return changeInsideBinS(bins, binIndex, before.meanA, after.meanA);
}

/** The bin from which `afterA` explains the readings better than `beforeA` (least squares); ties go to the earliest. */
function bestSplit(bins: Bins, startBin: number, endBin: number, beforeA: number, afterA: number): number {
  let best = startBin;
  let lowest = 0;
  let cost = 0;
  for (let i = startBin; i < endBin; i++) {
    const value = bins.sumA[i] / bins.count[i];
    cost += bins.count[i] * ((value - beforeA) ** 2 - (value - afterA) ** 2);
    if (cost < lowest) {
      lowest = cost;
      best = i + 1;
    }
  }
  return best;
}

/** A bin that holds samples of both levels tells by its mean where between its edges the change lies. */
export function changeInsideBinS(bins: Bins, binIndex: number, beforeA: number, afterA: number): number {
  if (binIndex >= bins.length) return (bins.key[bins.length - 1] + 1) * bins.widthS;
  const atS = bins.key[binIndex] * bins.widthS;
  const share = (i: number): number => {
    if (bins.count[i] < 2) return NaN;
    return Math.min(1, Math.max(0, (bins.sumA[i] / bins.count[i] - afterA) / (beforeA - afterA)));
  };
  const ofNext = share(binIndex);
  if (Number.isNaN(ofNext) || binIndex === 0 || bins.key[binIndex - 1] !== bins.key[binIndex] - 1) return atS;
  const ofLast = share(binIndex - 1);
  return atS + bins.widthS * (ofNext - (Number.isNaN(ofLast) ? 0 : 1 - ofLast));
}
