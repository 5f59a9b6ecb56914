import { median, robustSigma } from '../../../stats.ts';
import { BLOCK_S, FEW, HELD_SIGMAS, LEAST_A, MOST_BLOCKS, NEAR_S, TRIFLE_SHARE } from '../settings.ts';
import type { Bins, Blocks } from '../types.ts';

/**
 * Block means from bins. Values further than three robust deviations from the block's median are drawn in to that bound (winsorised),
 * so a spark or a spike does not move a block, while a reading that hops between two steps still averages to what lies between.
 * `stepA` is the smallest step of the reading, 0 when it has none.
 */
export function makeBlocks(bins: Bins, stepA: number, blockS = BLOCK_S): Blocks {
  const spanS = bins.length === 0 ? 0 : (bins.key[bins.length - 1] - bins.key[0] + 1) * bins.widthS;
  let widthS = Math.max(bins.widthS, blockS);
  while (spanS / widthS > MOST_BLOCKS) widthS *= 2;
  const binsPerBlock = widthS / bins.widthS;
  const capacity = Math.min(bins.length, Math.ceil(spanS / widthS) + 1);
  const startS = new Float64Array(capacity);
  const meanA = new Float64Array(capacity);
  const count = new Float64Array(capacity);
  const firstBin = new Int32Array(capacity + 1);
  const values = new Float64Array(Math.min(bins.length, binsPerBlock));
  const plain = new Float64Array(capacity);
  const outside = new Float64Array(capacity);
  const held = new Winsorised();
  let length = 0;
  let i = 0;
  while (i < bins.length) {
    const blockKey = Math.floor(bins.key[i] / binsPerBlock);
    firstBin[length] = i;
    let inside = 0;
    let samples = 0;
    let sum = 0;
    const startIndex = i;
    while (i < bins.length && bins.key[i] < (blockKey + 1) * binsPerBlock) {
      values[inside++] = bins.sumA[i] / bins.count[i];
      samples += bins.count[i];
      sum += bins.sumA[i];
      i++;
    }
    startS[length] = blockKey * widthS;
    count[length] = samples;
    plain[length] = sum / samples;
    meanA[length] = plain[length];
    if (inside > FEW) {
      held.measure(values.subarray(0, inside), bins, startIndex, stepA);
      meanA[length] = held.meanA;
      outside[length] = held.outsideShare;
    }
    length++;
  }
  firstBin[length] = bins.length;
  leaveSwitchedLoads({ meanA, plain, outside, widthS, length });
  return { length, widthS, startS, meanA, count, firstBin };
}

/** A block's mean with far readings held back, and how many there were. */
class Winsorised {
  meanA = 0;
  outsideShare = 0;

  measure(values: Float64Array, bins: Bins, startIndex: number, stepA: number): void {
    const middle = median(values);
    const reach = HELD_SIGMAS * Math.max(robustSigma(values), stepA, LEAST_A);
    let sum = 0;
    let samples = 0;
    let outside = 0;
    for (let k = 0; k < values.length; k++) {
      const apart = values[k] - middle;
      if (Math.abs(apart) > reach) outside++;
      const count = bins.count[startIndex + k];
      sum += (middle + Math.max(-reach, Math.min(reach, apart))) * count;
      samples += count;
    }
    this.meanA = sum / samples;
    this.outsideShare = outside / values.length;
  }
}

/** Block means with far readings held back and without, and the share of such readings in each. */
interface Held {
  readonly meanA: Float64Array;
  readonly plain: Float64Array;
  readonly outside: Float64Array;
  readonly widthS: number;
  readonly length: number;
}

/** More than a trifling share of far readings, over some minutes, or twice as much in one block, is no sparks but current: a step inside, or a load switched on and off. It is taken over some minutes: a load that pulses at just this share would else change from one to the other and back. */
function leaveSwitchedLoads({ meanA, plain, outside, widthS, length }: Held): void {
  const reach = Math.round(NEAR_S / widthS);
  const sums = new Float64Array(length + 1);
  for (let i = 0; i < length; i++) sums[i + 1] = sums[i] + outside[i];
  for (let i = 0; i < length; i++) {
    const startIndex = Math.max(0, i - reach);
    const endIndex = Math.min(length, i + reach + 1);
    if (sums[endIndex] - sums[startIndex] > TRIFLE_SHARE * (endIndex - startIndex) || outside[i] > 2 * TRIFLE_SHARE) meanA[i] = plain[i];
  }
}

/** End of block `i`: the next block's start, or its own width after it where time is missing. */
export function blockEndS(blocks: Blocks, i: number): number {
  return blocks.startS[i] + blocks.widthS;
}
