import type { Samples } from '../trace.ts';
import { lowerBound } from '../trace.ts';
import { strongestLineHz } from './stretch-frequency.ts';

/** Figures of the samples between two moments, beside their charge. Null: not known from these samples. */
export interface StretchFigures {
  readonly min_a: number | null;
  readonly max_a: number | null;
  readonly peak_to_peak_a: number | null;
  readonly min_v: number | null;
  readonly max_v: number | null;
  /** of the samples, each counting the same */
  readonly mean_v: number | null;
  /** of the line through the samples by least squares; null where they are fewer than three */
  readonly slope_a_per_s: number | null;
  /** of the one line that stands out of the current's spectrum; null where none does */
  readonly frequency_hz: number | null;
}

/** Samples kept for the spectrum: 65 s at 1 kS/s, 0.5 MB. */
const KEPT = 2 ** 16;

/** Takes in the samples of a stretch block by block, O(1) memory but for the spectrum's. Blocks follow each other in time and have no gap inside. */
export class StretchMeter {
  readonly #startS: number;
  readonly #endS: number;
  readonly #keptS = new Float64Array(KEPT);
  readonly #keptA = new Float32Array(KEPT);
  #kept = 0;
  #keeping = true;
  #count = 0;
  #minA = Infinity;
  #maxA = -Infinity;
  #minV = Infinity;
  #maxV = -Infinity;
  #sumV = 0;
  #countV = 0;
  // running means and products about them, so that a slope late in a long trace keeps its digits (Welford 1962)
  #meanS = 0;
  #meanA = 0;
  #squareS = 0;
  #productSA = 0;

  constructor(startS: number, endS: number) {
    this.#startS = startS;
    this.#endS = endS;
  }

  /** `afterGap`: time is missing between this block and the one before: the spectrum ends there. */
  push({ timeS, currentA, voltageV }: Samples, afterGap: boolean): void {
    const from = lowerBound(timeS, this.#startS);
    const end = lowerBound(timeS, this.#endS, from);
    if (afterGap && this.#kept > 0) this.#keeping = false;
    for (let i = from; i < end; i++) {
      const a = currentA[i];
      if (a < this.#minA) this.#minA = a;
      if (a > this.#maxA) this.#maxA = a;
      this.#count++;
      const offS = timeS[i] - this.#startS - this.#meanS;
      this.#meanS += offS / this.#count;
      const offA = a - this.#meanA;
      this.#meanA += offA / this.#count;
      this.#squareS += offS * (timeS[i] - this.#startS - this.#meanS);
      this.#productSA += offS * (a - this.#meanA);
    }
    if (voltageV !== null) {
      for (let i = from; i < end; i++) {
        if (voltageV[i] < this.#minV) this.#minV = voltageV[i];
        if (voltageV[i] > this.#maxV) this.#maxV = voltageV[i];
        this.#sumV += voltageV[i];
      }
      this.#countV += end - from;
    }
    if (!this.#keeping) return;
    const room = Math.min(end - from, KEPT - this.#kept);
    this.#keptS.set(timeS.subarray(from, from + room), this.#kept);
    this.#keptA.set(currentA.subarray(from, from + room), this.#kept);
    this.#kept += room;
  }

  figures(): StretchFigures {
    const none = this.#count === 0;
    const noneV = this.#countV === 0;
    return {
      min_a: none ? null : this.#minA,
      max_a: none ? null : this.#maxA,
      peak_to_peak_a: none ? null : this.#maxA - this.#minA,
      min_v: noneV ? null : this.#minV,
      max_v: noneV ? null : this.#maxV,
      mean_v: noneV ? null : this.#sumV / this.#countV,
      slope_a_per_s: this.#count < 3 || this.#squareS === 0 ? null : this.#productSA / this.#squareS,
      frequency_hz: strongestLineHz(this.#keptS.subarray(0, this.#kept), this.#keptA.subarray(0, this.#kept)),
    };
  }
}

/** Figures of two stretches that follow each other. A slope and a frequency are of samples that were seen together, so they are left out. */
export function joinedFigures(a: StretchFigures, b: StretchFigures, shareOfA: number): StretchFigures {
  const least = (x: number | null, y: number | null): number | null => (x === null ? y : y === null ? x : Math.min(x, y));
  const most = (x: number | null, y: number | null): number | null => (x === null ? y : y === null ? x : Math.max(x, y));
  const minA = least(a.min_a, b.min_a);
  const maxA = most(a.max_a, b.max_a);
  return {
    min_a: minA,
    max_a: maxA,
    peak_to_peak_a: minA === null || maxA === null ? null : maxA - minA,
    min_v: least(a.min_v, b.min_v),
    max_v: most(a.max_v, b.max_v),
    mean_v: a.mean_v === null ? b.mean_v : b.mean_v === null ? a.mean_v : shareOfA * a.mean_v + (1 - shareOfA) * b.mean_v,
    slope_a_per_s: null,
    frequency_hz: null,
  };
}
