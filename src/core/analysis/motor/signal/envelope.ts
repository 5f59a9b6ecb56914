import { MAINS_PERIOD_S } from '../time-scales.ts';

/**
 * One press on a coarse grid, for the detectors that look at levels: the current averaged over one mains period (so that hum and
 * ripple are gone) and, beside it, the power of what was averaged away (so that ripple can be seen to die).
 */
export interface Envelope {
  /** samples per cell */
  readonly step: number;
  readonly stepS: number;
  /** number of cells; cell k covers samples startIndex + k*step up to the next */
  readonly cells: number;
  readonly startIndex: number;
  /** smoothed magnitude at the middle of the cell, A */
  readonly levelA: Float64Array;
  /** mean square of reading minus smoothed reading in the cell, A² */
  readonly rippleVarianceA2: Float64Array;
}

/** s; a cell, a quarter of a mains period */
export const CELL_S = MAINS_PERIOD_S / 4;

export function envelopeBetween(startIndex: number, endIndex: number, sign: number, deviationA: Float32Array, sampling: { readonly rateHz: number; readonly periodS: number }): Envelope {
  const length = endIndex - startIndex;
  const step = Math.max(1, Math.round(CELL_S * sampling.rateHz));
  const half = Math.max(1, Math.round((MAINS_PERIOD_S * sampling.rateHz) / 2));
  const cells = Math.max(1, Math.floor(length / step));
  const sums = new Float64Array(length + 1);
  for (let i = 0; i < length; i++) sums[i + 1] = sums[i] + deviationA[startIndex + i] * sign;
  const levelA = new Float64Array(cells);
  const rippleVarianceA2 = new Float64Array(cells);
  for (let k = 0; k < cells; k++) {
    const from = k * step;
    const to = k === cells - 1 ? length : from + step;
    const middle = (from + to) >> 1;
    levelA[k] = average(sums, middle - half, middle + half, length);
    let squares = 0;
    for (let i = from; i < to; i++) {
      const off = deviationA[startIndex + i] * sign - average(sums, i - half, i + half, length);
      squares += off * off;
    }
    rippleVarianceA2[k] = squares / (to - from);
  }
  return { step, stepS: step * sampling.periodS, cells, startIndex, levelA, rippleVarianceA2 };
}

/** Mean of `[from, to]`, shortened at an edge by the same on both sides so that a slope does not shift it. */
function average(sums: Float64Array, from: number, to: number, length: number): number {
  const cut = Math.max(0, -from, to - (length - 1));
  return (sums[to - cut + 1] - sums[from + cut]) / (to - from - 2 * cut + 1);
}
