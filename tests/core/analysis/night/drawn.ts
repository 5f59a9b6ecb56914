import type { Readings, Segment } from '../../../../src/core/analysis/night/types.ts';
import type { Voltage } from '../../../../src/core/analysis/night/levels/voltage-track.ts';

/** A level of so many A that lasts so many seconds; the logger was away for `awayS` before it. */
export type Drawn = readonly [meanA: number, lengthS: number, awayS?: number];

/** How far the zero of a drawn recording may be off, A. */
export const BELOW_ZERO_A = 0.006;

/** A recording that is nothing but these levels, in blocks and bins of a second, from `fromS` on. Its readings differ, so that it is not taken for a sensor that hangs. */
export function drawn(levels: readonly Drawn[], some: Partial<Readings> = {}, fromS = 0): Readings {
  const startS: number[] = [];
  const meanA: number[] = [];
  const segments: Segment[] = [];
  let atS = fromS;
  for (const [levelA, lengthS, awayS = 0] of levels) {
    const startBlock = startS.length;
    const segmentS = atS;
    for (let i = 0; i < lengthS; i++) {
      startS.push(atS + awayS + i);
      meanA.push(levelA);
    }
    atS += awayS + lengthS;
    segments.push({ startBlock, endBlock: startS.length, startS: segmentS, endS: atS, meanA: levelA, varianceA2: 1e-12 });
  }
  const blocks = { length: startS.length, widthS: 1, startS: Float64Array.from(startS), meanA: Float64Array.from(meanA), count: new Float64Array(startS.length).fill(1), firstBin: Int32Array.from({ length: startS.length + 1 }, (_, i) => i) };
  const bins = { length: startS.length, widthS: 1, key: Float64Array.from(startS), count: new Float64Array(startS.length).fill(1), sumA: Float64Array.from(meanA), minA: Float32Array.from(meanA), maxA: Float32Array.from(meanA) };
  return {
    bins, blocks, segments, varianceA2: new Float64Array(startS.length).fill(1e-12), spacingS: 1, stepA: 0, readingSigmaA: 0, voltage: null, belowZeroA: BELOW_ZERO_A,
    picked: { timeS: Float64Array.of(fromS, atS), valueA: Float32Array.of(0, 1) }, recordedFromS: fromS, firstS: fromS, lastS: atS, ...some,
  } as Readings;
}

/** The volts of each second, as so many for so long. */
export function volts(levels: readonly (readonly [meanV: number, lengthS: number])[], fromS = 0): Voltage {
  const meanV = levels.flatMap(([levelV, lengthS]) => Array.from({ length: lengthS }, () => levelV));
  return { widthS: 1, startS: Float64Array.from(meanV, (_, i) => fromS + i), meanV: Float64Array.from(meanV) };
}

/** The same recording with so much more in each of its seconds, block and bin alike, that is in `[fromS, toS)`. */
export function waved(readings: Readings, addedA: (atS: number) => number, fromS = -Infinity, toS = Infinity): Readings {
  const { blocks, bins } = readings;
  const more = (values: Float64Array): Float64Array => values.map((value, i) => (blocks.startS[i]! >= fromS && blocks.startS[i]! < toS ? value + addedA(blocks.startS[i]!) : value));
  return { ...readings, blocks: { ...blocks, meanA: more(blocks.meanA) }, bins: { ...bins, sumA: more(bins.sumA) } };
}
