import { MOST_BLOCKS, MOST_KEPT } from '../settings.ts';
import type { SampleBlock } from '../../../trace.ts';
import type { Recorded } from '../types.ts';

/** Four to a block. Full table: 131,072 to 262,144 bins; a night of 12 h ends at 1/4 s a bin, three days at 1 s. About 9 MB. */
const MOST_BINS = MOST_BLOCKS << 2;
const FIRST_WIDTH_S = 1 / 1024;

export class BinTable implements Recorded {
  length = 0;
  widthS = FIRST_WIDTH_S;
  key: Float64Array;
  count: Float64Array;
  sumA: Float64Array;
  minA: Float32Array;
  maxA: Float32Array;
  samples = 0;
  firstS = 0;
  lastS = 0;
  /** every `pickStride`th sample's value and time */
  readonly pickedA = new Float32Array(MOST_KEPT);
  readonly pickedS = new Float64Array(MOST_KEPT);
  picked = 0;
  private pickStride = 1;

  constructor() {
    const capacity = MOST_KEPT;
    this.key = new Float64Array(capacity);
    this.count = new Float64Array(capacity);
    this.sumA = new Float64Array(capacity);
    this.minA = new Float32Array(capacity);
    this.maxA = new Float32Array(capacity);
  }

  push(block: SampleBlock): void {
    const { timeS, currentA } = block;
    const length = timeS.length;
    if (length === 0) return;
    if (this.samples === 0) this.firstS = timeS[0];
    this.pick(block);
    let i = 0;
    while (i < length) {
      const key = Math.floor(timeS[i] / this.widthS);
      const endS = (key + 1) * this.widthS;
      let last = this.length - 1;
      if (last < 0 || this.key[last] !== key) {
        if (this.length === this.key.length && !this.makeRoom()) continue;
        last = this.length++;
        this.key[last] = key;
        this.count[last] = 0;
        this.sumA[last] = 0;
        this.minA[last] = Infinity;
        this.maxA[last] = -Infinity;
      }
      const endIndex = firstNotBefore(timeS, endS, i, this.count[last - 1]);
      let sum = this.sumA[last];
      let low = this.minA[last];
      let high = this.maxA[last];
      for (let j = i; j < endIndex; j++) {
        const value = currentA[j];
        sum += value;
        if (value < low) low = value;
        if (value > high) high = value;
      }
      this.sumA[last] = sum;
      this.minA[last] = low;
      this.maxA[last] = high;
      this.count[last] += endIndex - i;
      i = endIndex;
    }
    this.samples += length;
    this.lastS = timeS[length - 1];
  }

  private pick(block: SampleBlock): void {
    const length = block.timeS.length;
    let i = (this.pickStride - (this.samples % this.pickStride)) % this.pickStride;
    while (i < length) {
      if (this.picked === MOST_KEPT) {
        for (let k = 0; 2 * k < MOST_KEPT; k++) {
          this.pickedA[k] = this.pickedA[2 * k];
          this.pickedS[k] = this.pickedS[2 * k];
        }
        this.picked = MOST_KEPT / 2;
        this.pickStride *= 2;
        const past = (this.samples + i) % this.pickStride;
        if (past !== 0) i += this.pickStride - past;
        continue;
      }
      this.pickedA[this.picked] = block.currentA[i];
      this.pickedS[this.picked] = block.timeS[i];
      this.picked++;
      i += this.pickStride;
    }
  }

  /** True when the table was enlarged; false when the width was doubled instead, so that the caller must find its bin anew. */
  private makeRoom(): boolean {
    if (this.key.length < MOST_BINS) {
      const capacity = this.key.length * 2;
      this.key = enlarged(this.key, new Float64Array(capacity));
      this.count = enlarged(this.count, new Float64Array(capacity));
      this.sumA = enlarged(this.sumA, new Float64Array(capacity));
      this.minA = enlarged(this.minA, new Float32Array(capacity));
      this.maxA = enlarged(this.maxA, new Float32Array(capacity));
      return true;
    }
    this.widthS *= 2;
    let kept = -1;
    for (let i = 0; i < this.length; i++) {
      const key = Math.floor(this.key[i] / 2);
      if (kept >= 0 && this.key[kept] === key) {
        this.count[kept] += this.count[i];
        this.sumA[kept] += this.sumA[i];
        if (this.minA[i] < this.minA[kept]) this.minA[kept] = this.minA[i];
        if (this.maxA[i] > this.maxA[kept]) this.maxA[kept] = this.maxA[i];
      } else {
        kept++;
        this.key[kept] = key;
        this.count[kept] = this.count[i];
        this.sumA[kept] = this.sumA[i];
        this.minA[kept] = this.minA[i];
        this.maxA[kept] = this.maxA[i];
      }
    }
    this.length = kept + 1;
    return false;
  }
}

function enlarged<Numbers extends Float64Array | Float32Array>(from: Numbers, to: Numbers): Numbers {
  to.set(from);
  return to;
}

/** First index from `startIndex` on whose time is not before `endS`. Gallops: the first leap is `guess` samples. */
function firstNotBefore(timeS: Float64Array, endS: number, startIndex: number, guess: number): number {
  let low = startIndex;
  let high = timeS.length;
  let leap = guess > 1 ? guess - 1 : 1;
  while (low + leap < high) {
    if (timeS[low + leap] < endS) {
      low += leap;
      leap = leap === guess - 1 ? 1 : leap * 2;
    } else {
      high = low + leap;
      break;
    }
  }
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (timeS[middle] < endS) low = middle + 1;
    else high = middle;
  }
  return low;
}
