/** A meter lead is moved from fuse to fuse: each time the reading stands still it is taken once, hands free. */

/** How long it must stand still, s (common practice, no published source). */
const STEADY_S = 2;
/** It counts as still within this share of its size, or within the least spread, V (common practice, no published source). */
const STEADY_SHARE = 0.05;
const LEAST_SPREAD_V = 0.00005;
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
    this.#recent = [...this.#recent.filter((sample) => sample.atS > atS - STEADY_S), { atS, v }];
    const values = this.#recent.map((sample) => sample.v);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    const spreadV = Math.max(LEAST_SPREAD_V, STEADY_SHARE * Math.abs(mean));
    if (this.#taken !== null && Math.abs(v - this.#taken) > LEFT_SPREADS * Math.max(LEAST_SPREAD_V, STEADY_SHARE * Math.abs(this.#taken))) this.#taken = null;
    // the window must be filled: a reading a quarter in is not yet still
    const held = atS - this.#recent[0].atS >= STEADY_S * 0.75 && Math.max(...values) - Math.min(...values) <= spreadV;
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
