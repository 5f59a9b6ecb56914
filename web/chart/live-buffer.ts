import type { Samples } from '../../src/core/trace.ts';
import { lowerBound } from '../../src/core/trace.ts';

/** Newest samples kept on the page: 17 minutes at 1 kS/s, 16 MB. Older ones are asked for as windows. */
const CAPACITY = 2 ** 20;
/** Room at the start: 33 s at 1 kS/s; doubled as needed. */
const FIRST_CAPACITY = 2 ** 15;
/** a source that starts its time anew: samples this far before the newest one, s */
const RESTART_S = 1;

/** The newest stretch of the live reading, complete from `startS` on. Bounded memory; appending costs O(1) a sample on average. */
export class LiveBuffer {
  private timeS = new Float64Array(FIRST_CAPACITY);
  private currentA = new Float32Array(FIRST_CAPACITY);
  private voltageV: Float32Array = new Float32Array(FIRST_CAPACITY);
  private withVoltage = false;
  private length = 0;

  /** Takes samples in; those not later than the newest one are left out, unless the clock began anew: then the buffer does too. */
  push(block: Samples): void {
    if (block.timeS.length === 0) return;
    if (this.length > 0 && block.timeS[block.timeS.length - 1]! < this.endS - RESTART_S) this.clear();
    if (this.length > 0 && this.withVoltage !== (block.voltageV !== null)) this.clear();
    this.withVoltage = block.voltageV !== null;
    const skip = this.length === 0 ? 0 : lowerBound(block.timeS, this.endS + 1e-12);
    const fresh = Math.min(block.timeS.length - skip, CAPACITY);
    const from = block.timeS.length - fresh;
    if (fresh === 0) return;
    this.makeRoom(fresh);
    this.timeS.set(block.timeS.subarray(from), this.length);
    this.currentA.set(block.currentA.subarray(from), this.length);
    if (block.voltageV !== null) this.voltageV.set(block.voltageV.subarray(from), this.length);
    this.length += fresh;
  }

  clear(): void {
    this.length = 0;
  }

  /** First moment from which nothing is missing; NaN while empty. */
  get startS(): number {
    return this.length === 0 ? NaN : this.timeS[0]!;
  }

  /** Time of the newest sample; NaN while empty. */
  get endS(): number {
    return this.length === 0 ? NaN : this.timeS[this.length - 1]!;
  }

  /** What is held, as views: valid until the next push. */
  samples(): Samples {
    return {
      timeS: this.timeS.subarray(0, this.length),
      currentA: this.currentA.subarray(0, this.length),
      voltageV: this.withVoltage ? this.voltageV.subarray(0, this.length) : null,
    };
  }

  private makeRoom(fresh: number): void {
    if (this.length + fresh <= this.timeS.length) return;
    if (this.length + fresh > CAPACITY) {
      const drop = Math.min(this.length, Math.max(CAPACITY >> 2, this.length + fresh - CAPACITY));
      this.timeS.copyWithin(0, drop, this.length);
      this.currentA.copyWithin(0, drop, this.length);
      this.voltageV.copyWithin(0, drop, this.length);
      this.length -= drop;
    }
    let capacity = this.timeS.length;
    while (capacity < this.length + fresh) capacity *= 2;
    if (capacity === this.timeS.length) return;
    this.timeS = grown(new Float64Array(capacity), this.timeS);
    this.currentA = grown(new Float32Array(capacity), this.currentA);
    this.voltageV = grown(new Float32Array(capacity), this.voltageV);
  }
}

function grown<Column extends Float64Array | Float32Array>(larger: Column, old: Column): Column {
  larger.set(old);
  return larger;
}
