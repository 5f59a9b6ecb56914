/** A meter lead is moved from fuse to fuse: each time the reading keeps still it is read once, hands free. */

/** For how long, and within which share of its size or which spread, a reading must keep still (common practice, no published source). */
const STILL = { forS: 2, share: 0.05, leastV: 0.00005 } as const;
/** A lead that hangs free, or was taken off, moves away by more than this before the next fuse, in spreads (common practice, no published source). */
const LEFT_SPREADS = 4;

interface Sample {
  readonly atS: number;
  readonly v: number;
}

export class SteadyReading {
  #recent: Sample[] = [];
  #taken: number | null = null;

  /** Takes the newest reading; its mean when it has just come to stand still, null otherwise. Moments rise. */
  push(atS: number, v: number): number | null {
    this.#recent = [...this.#recent.filter((sample) => sample.atS > atS - STILL.forS), { atS, v }];
    const values = this.#recent.map((sample) => sample.v);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spreadV = Math.max(STILL.leastV, STILL.share * Math.abs(mean));
    if (this.#taken !== null && Math.abs(v - this.#taken) > LEFT_SPREADS * Math.max(STILL.leastV, STILL.share * Math.abs(this.#taken))) this.#taken = null;
    // the window must be filled: a reading a quarter in is not yet still
    const held = atS - this.#recent[0].atS >= STILL.forS * 0.75 && Math.max(...values) - Math.min(...values) <= spreadV;
    if (!held || this.#taken !== null) return null;
    this.#taken = mean;
    return mean;
  }
}

/** The name after this one: F12 to F13, "left 3" to "left 4"; the same name with 2 where it has no number. */
export function nextLabel(label: string): string {
  const match = /^(.*?)(\d+)(\D*)$/.exec(label);
  if (match === null) return label === '' ? 'F1' : `${label} 2`;
  return `${match[1]}${String(Number(match[2]) + 1).padStart(match[2].length, '0')}${match[3]}`;
}
