import type { SampleBlock } from '../trace.ts';

/** Samples that one piece of memory has room for, 16 bytes each: 256 kB. Memory is asked for once in many blocks: to allot the columns of each would cost more than to fill them. */
const ROOM_SAMPLES = 16_384;

/** Columns for blocks, next to each other in larger pieces of memory; a piece is free as soon as nobody holds a block in it any more. */
export class ColumnRoom {
  private timeS = new Float64Array(0);
  private currentA = new Float32Array(0);
  private voltageV = new Float32Array(0);
  private filled = 0;

  /** Columns of `count` samples to be filled. */
  take(count: number, withVoltage: boolean): SampleBlock {
    if (this.filled + count > this.timeS.length) {
      const room = Math.max(count, ROOM_SAMPLES);
      this.timeS = new Float64Array(room);
      this.currentA = new Float32Array(room);
      this.voltageV = new Float32Array(room);
      this.filled = 0;
    }
    const from = this.filled;
    this.filled += count;
    return { timeS: this.timeS.subarray(from, this.filled), currentA: this.currentA.subarray(from, this.filled), voltageV: withVoltage ? this.voltageV.subarray(from, this.filled) : null };
  }
}
