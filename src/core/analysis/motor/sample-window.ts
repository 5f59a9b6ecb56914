import type { SampleBlock } from '../../trace.ts';

/** The samples that are still to be read, in columns that grow by doubling up to `most`: no block is kept, and looking at them copies nothing. */
export class SampleWindow {
  readonly #most: number;
  #timeS = new Float64Array(0);
  #currentA = new Float32Array(0);
  #voltageV = new Float32Array(0);
  /** every sample has a voltage */
  #withVoltage = true;
  length = 0;

  constructor(most: number) {
    this.#most = most;
  }

  /** Takes samples `[from, to)` of a block; they must fit. */
  add({ timeS, currentA, voltageV }: SampleBlock, from: number, to: number): void {
    this.#reserve(this.length + to - from);
    this.#timeS.set(timeS.subarray(from, to), this.length);
    this.#currentA.set(currentA.subarray(from, to), this.length);
    if (voltageV === null) this.#withVoltage = false;
    else this.#voltageV.set(voltageV.subarray(from, to), this.length);
    this.length += to - from;
  }

  /** Views, good until the next `add` or `drop`. */
  samples(from = 0, to = this.length): SampleBlock {
    return { timeS: this.#timeS.subarray(from, to), currentA: this.#currentA.subarray(from, to), voltageV: this.#withVoltage && this.length > 0 ? this.#voltageV.subarray(from, to) : null };
  }

  /** Lets go of the first samples. */
  drop(count: number): void {
    this.#timeS.copyWithin(0, count, this.length);
    this.#currentA.copyWithin(0, count, this.length);
    this.#voltageV.copyWithin(0, count, this.length);
    this.length -= count;
    if (this.length === 0) this.#withVoltage = true;
  }

  #reserve(samples: number): void {
    if (samples <= this.#timeS.length) return;
    const size = Math.min(this.#most, Math.max(samples, 2 * this.#timeS.length));
    const { timeS, currentA } = this.samples();
    const before = this.#voltageV.subarray(0, this.length);
    this.#timeS = new Float64Array(size);
    this.#currentA = new Float32Array(size);
    this.#voltageV = new Float32Array(size);
    this.#timeS.set(timeS);
    this.#currentA.set(currentA);
    this.#voltageV.set(before);
  }
}
