import type { Gap, Samples } from '../../src/core/trace.ts';
import { lowerBound } from '../../src/core/trace.ts';
import type { View } from './view.ts';

/** What a person who cannot see the chart wants to know of the part in view. Null when nothing is in view. */
export interface ChartSummary {
  readonly minA: number;
  readonly maxA: number;
  readonly minAtS: number;
  readonly maxAtS: number;
  readonly minV: number | null;
  readonly maxV: number | null;
  readonly gaps: number;
}

export function summarise({ timeS, currentA, voltageV }: Samples, gaps: readonly Gap[], view: View): ChartSummary | null {
  const from = lowerBound(timeS, view.fromS);
  const end = lowerBound(timeS, view.toS, from);
  if (end === from) return null;
  let min = from;
  let max = from;
  let minV = Infinity;
  let maxV = -Infinity;
  for (let i = from; i < end; i++) {
    if (currentA[i]! < currentA[min]!) min = i;
    if (currentA[i]! > currentA[max]!) max = i;
    if (voltageV !== null) {
      if (voltageV[i]! < minV) minV = voltageV[i]!;
      if (voltageV[i]! > maxV) maxV = voltageV[i]!;
    }
  }
  return {
    minA: currentA[min]!, maxA: currentA[max]!, minAtS: timeS[min]!, maxAtS: timeS[max]!,
    minV: voltageV === null ? null : minV, maxV: voltageV === null ? null : maxV,
    gaps: gaps.filter((gap) => gap.endS > view.fromS && gap.startS < view.toS).length,
  };
}

/** The sample nearest to a moment; null when none is within `withinS` of it. */
export function sampleAt({ timeS, currentA, voltageV }: Samples, atS: number, withinS: number): { timeS: number; currentA: number; voltageV: number | null } | null {
  if (timeS.length === 0) return null;
  const after = Math.min(lowerBound(timeS, atS), timeS.length - 1);
  const index = after > 0 && atS - timeS[after - 1]! < Math.abs(timeS[after]! - atS) ? after - 1 : after;
  if (Math.abs(timeS[index]! - atS) > withinS) return null;
  return { timeS: timeS[index]!, currentA: currentA[index]!, voltageV: voltageV === null ? null : voltageV[index]! };
}

/** Least and greatest drawn values, nulls left out; used for the scales. [0, 0] when nothing is drawn. */
export function drawnExtremes(values: readonly (number | null | undefined)[]): [number, number] {
  let min = Infinity;
  let max = -Infinity;
  for (const value of values) {
    if (value === null || value === undefined) continue;
    if (value < min) min = value;
    if (value > max) max = value;
  }
  return min <= max ? [min, max] : [0, 0];
}
