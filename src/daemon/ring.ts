import { lowerBound, type SampleBlock } from '../core/trace.ts';
import { reduceToColumns } from './reduce.ts';

// 16 bytes a sample: 64 MiB at most, which is 70 minutes at 1 kHz and 84 s at 50 kHz
const RAW_SAMPLES = 4 * 1024 * 1024;
// The same number of bytes again for older time in reduced form: at most 6 points of 64 samples, so at least 12 minutes at 50 kHz.
const REDUCED_SAMPLES = 4 * 1024 * 1024;
const SAMPLES_PER_COLUMN = 64;

/**
 * The samples of the last while, in bounded memory: the newest as measured, and before them at least ten minutes more in reduced form
 * where the rate is so high that all of them would not fit. What a page that has just been opened sees, and the seconds before a
 * recording, come from here.
 */
export class SampleRing {
  readonly #raw = new ColumnRing(RAW_SAMPLES);
  readonly #reduced = new ColumnRing(REDUCED_SAMPLES);

  push(block: SampleBlock): void {
    if (block.timeS.length === 0) return;
    this.#raw.push(block);
    const columns = Math.ceil(block.timeS.length / SAMPLES_PER_COLUMN);
    this.#reduced.push(reduceToColumns(block, block.timeS[0]!, block.timeS[block.timeS.length - 1]!, columns));
  }

  clear(): void {
    this.#raw.clear();
    this.#reduced.clear();
  }

  /** live time of the newest sample, null while empty */
  get lastS(): number | null {
    return this.#raw.lastS;
  }

  /** from when on all samples are here as measured, null while empty */
  get rawFromS(): number | null {
    return this.#raw.firstS;
  }

  /** what is known of `[fromS, toS)`: as measured where still here, reduced before that */
  slice(fromS: number, toS: number): SampleBlock {
    const raw = this.#raw.slice(fromS, toS);
    const rawFromS = this.#raw.firstS ?? Infinity;
    if (fromS >= rawFromS) return raw;
    const older = this.#reduced.slice(fromS, Math.min(toS, rawFromS));
    return older.timeS.length === 0 ? raw : concat(older, raw);
  }

  /** only samples as measured, for recordings and figures */
  rawSlice(fromS: number, toS: number): SampleBlock {
    return this.#raw.slice(fromS, toS);
  }
}

/** Columns of equal length used in a circle; they grow by doubling up to their bound, then the oldest sample makes room. */
class ColumnRing {
  readonly #bound: number;
  #timeS = new Float64Array(1024);
  #currentA = new Float32Array(1024);
  #voltageV: Float32Array | null = null;
  #start = 0;
  #length = 0;

  constructor(bound: number) {
    this.#bound = bound;
  }

  get firstS(): number | null {
    return this.#length === 0 ? null : this.#timeS[this.#start]!;
  }

  get lastS(): number | null {
    return this.#length === 0 ? null : this.#timeS[(this.#start + this.#length - 1) % this.#timeS.length]!;
  }

  clear(): void {
    this.#start = 0;
    this.#length = 0;
    this.#voltageV = null;
  }

  push(block: SampleBlock): void {
    // a source keeps its channels; should they change, what went before belongs to another set-up
    if (this.#length > 0 && (block.voltageV === null) !== (this.#voltageV === null)) this.clear();
    if (block.voltageV !== null && this.#voltageV === null) this.#voltageV = new Float32Array(this.#timeS.length);
    const skip = Math.max(0, block.timeS.length - this.#bound);
    const count = block.timeS.length - skip;
    this.#reserve(this.#length + count);
    const capacity = this.#timeS.length;
    const surplus = Math.max(0, this.#length + count - capacity);
    this.#start = (this.#start + surplus) % capacity;
    this.#length -= surplus;
    const at = (this.#start + this.#length) % capacity;
    const head = Math.min(count, capacity - at);
    place(this.#timeS, block.timeS, skip, head, count, at);
    place(this.#currentA, block.currentA, skip, head, count, at);
    if (this.#voltageV !== null && block.voltageV !== null) place(this.#voltageV, block.voltageV, skip, head, count, at);
    this.#length += count;
  }

  slice(fromS: number, toS: number): SampleBlock {
    const capacity = this.#timeS.length;
    const end = this.#start + this.#length;
    const first = { startIndex: this.#start, endIndex: Math.min(end, capacity) };
    const second = { startIndex: 0, endIndex: Math.max(0, end - capacity) };
    const parts = [first, second].map(({ startIndex, endIndex }) => {
      const low = lowerBound(this.#timeS, fromS, startIndex, endIndex);
      return { low, high: lowerBound(this.#timeS, toS, low, endIndex) };
    });
    const part = (index: number): SampleBlock => ({
      timeS: this.#timeS.slice(parts[index]!.low, parts[index]!.high),
      currentA: this.#currentA.slice(parts[index]!.low, parts[index]!.high),
      voltageV: this.#voltageV === null ? null : this.#voltageV.slice(parts[index]!.low, parts[index]!.high),
    });
    const [a, b] = [part(0), part(1)];
    return b.timeS.length === 0 ? a : a.timeS.length === 0 ? b : concat(a, b);
  }

  #reserve(wanted: number): void {
    let capacity = this.#timeS.length;
    if (wanted <= capacity || capacity >= this.#bound) return;
    while (capacity < wanted && capacity < this.#bound) capacity = Math.min(capacity * 2, this.#bound);
    const kept = this.slice(-Infinity, Infinity);
    this.#timeS = grown(new Float64Array(capacity), kept.timeS);
    this.#currentA = grown(new Float32Array(capacity), kept.currentA);
    this.#voltageV = kept.voltageV === null ? null : grown(new Float32Array(capacity), kept.voltageV);
    this.#start = 0;
  }
}

type Column = Float64Array | Float32Array;

function place(target: Column, source: Column, skip: number, head: number, count: number, at: number): void {
  target.set(source.subarray(skip, skip + head), at);
  if (head < count) target.set(source.subarray(skip + head, skip + count), 0);
}

function grown<C extends Column>(target: C, kept: Column): C {
  target.set(kept);
  return target;
}

function concat(a: SampleBlock, b: SampleBlock): SampleBlock {
  return {
    timeS: joined(new Float64Array(a.timeS.length + b.timeS.length), a.timeS, b.timeS),
    currentA: joined(new Float32Array(a.timeS.length + b.timeS.length), a.currentA, b.currentA),
    voltageV: a.voltageV === null || b.voltageV === null ? null : joined(new Float32Array(a.timeS.length + b.timeS.length), a.voltageV, b.voltageV),
  };
}

function joined<C extends Column>(target: C, a: Column, b: Column): C {
  target.set(a);
  target.set(b, a.length);
  return target;
}
