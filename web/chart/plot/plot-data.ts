import type { Gap, Samples } from '../../../src/core/trace.ts';
import { lowerBound } from '../../../src/core/trace.ts';

/**
 * Samples to what the chart draws: first, least, greatest and last of every device-pixel column, which draws exactly what all points
 * would draw (Jugel, Jerzak, Hackenbroich, Markl: M4, VLDB 2014). The only place that writes `null`: a hole in time.
 * A point that only the other channel needs is `undefined`, which the chart skips without breaking the line.
 */
export interface PlotData {
  readonly x: number[];
  readonly currentA: (number | null | undefined)[];
  /** null when there is no voltage channel */
  readonly voltageV: (number | null | undefined)[] | null;
}

/**
 * The part of `samples` in `[fromS, toS)`, and one sample either side so that the line reaches the edges, reduced to `columns` columns.
 * Each channel gets at most 4 points a column. O(samples in view). `gaps` must be in order.
 */
export function plotData(samples: Samples, gaps: readonly Gap[], fromS: number, toS: number, columns: number): PlotData {
  const { timeS, currentA, voltageV } = samples;
  const out: PlotData = { x: [], currentA: [], voltageV: voltageV === null ? null : [] };
  const columnS = (toS - fromS) / Math.max(1, columns);
  if (timeS.length === 0 || !(columnS > 0)) return out;
  const startIndex = Math.max(0, lowerBound(timeS, fromS) - 1);
  const endIndex = Math.min(timeS.length, lowerBound(timeS, toS) + 1);
  let gapAt = 0;
  let i = startIndex;
  while (i < endIndex) {
    const column = Math.floor((timeS[i]! - fromS) / columnS);
    const columnEndS = fromS + (column + 1) * columnS;
    if (i > startIndex) gapAt = breakAtGap(out, gaps, gapAt, timeS[i - 1]!, timeS[i]!);
    let minC = i;
    let maxC = i;
    let minV = i;
    let maxV = i;
    let end = i + 1;
    for (; end < endIndex && timeS[end]! < columnEndS; end++) {
      if (currentA[end]! < currentA[minC]!) minC = end;
      else if (currentA[end]! > currentA[maxC]!) maxC = end;
      if (voltageV !== null) {
        if (voltageV[end]! < voltageV[minV]!) minV = end;
        else if (voltageV[end]! > voltageV[maxV]!) maxV = end;
      }
    }
    const last = end - 1;
    const wanted = voltageV === null ? [i, minC, maxC, last] : [i, minC, maxC, minV, maxV, last];
    wanted.sort(byValue);
    let previous = -1;
    for (const index of wanted) {
      if (index === previous) continue;
      previous = index;
      const atEdge = index === i || index === last;
      out.x.push(timeS[index]!);
      out.currentA.push(atEdge || index === minC || index === maxC ? currentA[index]! : undefined);
      if (voltageV !== null) out.voltageV!.push(atEdge || index === minV || index === maxV ? voltageV[index]! : undefined);
    }
    i = end;
  }
  return out;
}

/** Writes a hole between two neighbouring samples when a gap lies there; returns where to look for the next gap. */
function breakAtGap(out: PlotData, gaps: readonly Gap[], gapAt: number, beforeS: number, afterS: number): number {
  let at = gapAt;
  while (at < gaps.length && gaps[at]!.endS <= beforeS) at++;
  const gap = gaps[at];
  if (gap === undefined || gap.startS >= afterS) return at;
  out.x.push((beforeS + afterS) / 2);
  out.currentA.push(null);
  out.voltageV?.push(null);
  return at;
}

function byValue(a: number, b: number): number {
  return a - b;
}
