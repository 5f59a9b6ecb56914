import { changePoints } from '../change-points.ts';
import type { Bins } from './bins.ts';
import type { Blocks } from './blocks.ts';
import { blockEndS } from './blocks.ts';
import { PENALTY_FACTOR } from './settings.ts';

/** One level of the recording: blocks `[startBlock, endBlock)`, and the moments of its edges as the finest bins show them. */
export interface Segment {
  startBlock: number;
  endBlock: number;
  startS: number;
  endS: number;
  meanA: number;
}

/** The recording as what every later step reads. */
export interface Picture {
  readonly bins: Bins;
  readonly blocks: Blocks;
  /** long-run variance of a block mean, A^2 */
  readonly varianceA2: number;
  /** smallest step of the reading, A; 0 when none shows */
  readonly stepA: number;
  /** scatter of single samples, A */
  readonly sampleSigmaA: number;
  readonly segments: readonly Segment[];
  readonly firstS: number;
  readonly lastS: number;
}

/** Levels by functional pruning on block means, each change then refined on the finest bins that are kept. */
export function findSegments(bins: Bins, blocks: Blocks, varianceA2: number, firstS: number, lastS: number): Segment[] {
  const count = blocks.length;
  if (count === 0) return [];
  const penalty = PENALTY_FACTOR * varianceA2 * Math.log(Math.max(count, 10));
  const changes = changePoints(blocks.meanA.subarray(0, count), penalty);
  const segments: Segment[] = [];
  for (let k = 0; k <= changes.length; k++) {
    const startBlock = k === 0 ? 0 : changes[k - 1];
    const endBlock = k === changes.length ? count : changes[k];
    segments.push({
      startBlock,
      endBlock,
      startS: blocks.startS[startBlock],
      endS: blockEndS(blocks, endBlock - 1),
      meanA: blockMean(blocks, startBlock, endBlock),
    });
  }
  segments[0].startS = firstS;
  segments[segments.length - 1].endS = lastS;
  for (let k = 1; k < segments.length; k++) {
    const atS = refineChange(bins, blocks, segments[k - 1], segments[k]);
    segments[k - 1].endS = atS;
    segments[k].startS = atS;
  }
  return segments;
}

/** Mean of block means: every stretch of time weighs the same. */
export function blockMean(blocks: Blocks, startBlock: number, endBlock: number): number {
  let sum = 0;
  for (let i = startBlock; i < endBlock; i++) sum += blocks.meanA[i];
  return sum / Math.max(1, endBlock - startBlock);
}

/** 95 % half-width of the mean of so many blocks. */
export function meanDoubtA(varianceA2: number, blockCount: number): number {
  return 1.96 * Math.sqrt(varianceA2 / Math.max(1, blockCount));
}

/** How far to both sides of a block edge the change is looked for, blocks. */
const REFINE_BLOCKS = 2;

function refineChange(bins: Bins, blocks: Blocks, before: Segment, after: Segment): number {
  const startBlock = Math.max(before.startBlock, before.endBlock - REFINE_BLOCKS);
  const endBlock = Math.min(after.endBlock, after.startBlock + REFINE_BLOCKS);
  const binIndex = bestSplit(bins, blocks.firstBin[startBlock], blocks.firstBin[endBlock], before.meanA, after.meanA, Infinity);
  return changeInsideBinS(bins, binIndex, before.meanA, after.meanA);
}

/**
 * The bin from which `afterA` explains the readings better than `beforeA` (least squares); ties go to the earliest. A reading further
 * than `capA` from a level counts as that far only: an excursion that belongs to neither level then has no say.
 */
export function bestSplit(bins: Bins, startBin: number, endBin: number, beforeA: number, afterA: number, capA: number): number {
  let best = startBin;
  let lowest = 0;
  let cost = 0;
  const cap2 = capA * capA;
  for (let i = startBin; i < endBin; i++) {
    const value = bins.sumA[i] / bins.count[i];
    const ofBefore = Math.min((value - beforeA) * (value - beforeA), cap2);
    const ofAfter = Math.min((value - afterA) * (value - afterA), cap2);
    cost += bins.count[i] * (ofBefore - ofAfter);
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
