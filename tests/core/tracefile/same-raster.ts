import { expect } from 'vitest';
import { eachPixel } from '../../../src/core/picture/raster.ts';
import { columnEdges } from '../../../src/core/tracefile/window/pixel-columns.ts';
import { lowerBound, type Gap, type SampleBlock } from '../../../src/core/trace.ts';

const ROWS = 97;

/** Pixels that lines through the points set: Bresenham's line (1965), no line over a gap. Column of a point = pixel column of its time. */
function raster(points: SampleBlock, values: Float32Array, gaps: readonly Gap[], fromS: number, toS: number, columns: number, low: number, high: number): Set<number> {
  const pixels = new Set<number>();
  const edges = columnEdges(fromS, toS, columns, []);
  const gapEnds = gaps.map((gap) => gap.endS);
  let before: [number, number, number] | null = null;
  for (let i = lowerBound(points.timeS, fromS); i < lowerBound(points.timeS, toS); i++) {
    const timeS = points.timeS[i]!;
    let x = lowerBound(edges, timeS);
    if (edges[x] !== timeS) x--;
    const y = Math.round(((values[i]! - low) / (high - low)) * (ROWS - 1));
    const cut = before === null || gapEnds.some((endS) => before![2] < endS && timeS >= endS);
    eachPixel(cut ? x : before![0], cut ? y : before![1], x, y, (px, py) => pixels.add(px * ROWS + py));
    before = [x, y, timeS];
  }
  return pixels;
}

/** That the reduced points set the pixels that all samples set, no more and no fewer. */
export function expectSameRaster(all: SampleBlock, reduced: SampleBlock, gaps: readonly Gap[], fromS: number, toS: number, columns: number): void {
  for (const values of ['currentA', 'voltageV'] as const) {
    if (all[values] === null) continue;
    let low = Infinity;
    let high = -Infinity;
    for (const value of all[values]) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    if (!(high > low)) high = low + 1;
    const wanted = raster(all, all[values], gaps, fromS, toS, columns, low, high);
    const got = raster(reduced, reduced[values]!, gaps, fromS, toS, columns, low, high);
    expect([...got].filter((pixel) => !wanted.has(pixel)), `${values}: pixels too many`).toEqual([]);
    expect([...wanted].filter((pixel) => !got.has(pixel)), `${values}: pixels missing`).toEqual([]);
  }
}
