import type { SampleBlock } from '../../../../core/trace.ts';

/** Rows of one record batch at most: 131 kB. */
const BATCH_ROWS = 8192;
/** So many full batches are worth a flush before its time. A flush costs a dozen calls of the system, whatever it writes: at 50 kS/s the timer comes first. */
const FLUSH_BATCHES = 4;
/** Rows kept while the disk does not take them: 20 s at 50 kS/s, 16 MB. */
const MAX_PENDING_ROWS = 1 << 20;

export interface PendingBlock {
  readonly block: SampleBlock;
  readonly gapBefore: boolean;
}

/** Samples waiting for the next flush, gathered into batches. A gap, and a voltage column that comes or goes, begin a new one. */
export class PendingRows {
  readonly #done: PendingBlock[] = [];
  #timeS = new Float64Array(BATCH_ROWS);
  #currentA = new Float32Array(BATCH_ROWS);
  #voltageV = new Float32Array(BATCH_ROWS);
  #filled = 0;
  #withVoltage = false;
  #gapBefore = false;
  #length = 0;
  /** rows lost because the disk did not take those before in time */
  dropped = 0;

  get length(): number {
    return this.#length;
  }

  /** Copies the block; true when so much is gathered that it is worth flushing at once. While too many rows wait, new ones are dropped and leave a gap. */
  add(block: SampleBlock): boolean {
    if (this.#length + block.timeS.length > MAX_PENDING_ROWS) {
      this.dropped += block.timeS.length;
      this.breakHere();
      return true;
    }
    const withVoltage = block.voltageV !== null;
    if (this.#filled > 0 && withVoltage !== this.#withVoltage) this.#close();
    this.#withVoltage = withVoltage;
    const rows = block.timeS.length;
    this.#length += rows;
    let from = 0;
    while (from < rows) {
      const count = Math.min(rows - from, BATCH_ROWS - this.#filled);
      this.#timeS.set(block.timeS.subarray(from, from + count), this.#filled);
      this.#currentA.set(block.currentA.subarray(from, from + count), this.#filled);
      if (block.voltageV !== null) this.#voltageV.set(block.voltageV.subarray(from, from + count), this.#filled);
      this.#filled += count;
      from += count;
      if (this.#filled === BATCH_ROWS) this.#close();
    }
    return this.#done.length >= FLUSH_BATCHES;
  }

  /** The rows to come do not follow on those before. */
  breakHere(): void {
    this.#close();
    this.#gapBefore = true;
  }

  /** Everything gathered, as batches; nothing is kept. */
  take(): PendingBlock[] {
    this.#close();
    this.#length = 0;
    return this.#done.splice(0);
  }

  #close(): void {
    if (this.#filled === 0) return;
    const end = this.#filled;
    this.#done.push({
      block: { timeS: this.#timeS.slice(0, end), currentA: this.#currentA.slice(0, end), voltageV: this.#withVoltage ? this.#voltageV.slice(0, end) : null },
      gapBefore: this.#gapBefore,
    });
    this.#gapBefore = false;
    this.#filled = 0;
  }
}
