/** Small seeded generator (xorshift128 of G. Marsaglia, "Xorshift RNGs", 2003), apart from the simulator's own so that nothing is shared. */
export class Dice {
  private x: number;
  private y = 362436069;
  private z = 521288629;
  private w = 88675123;
  private spare = NaN;

  constructor(seed: number) {
    this.x = (seed * 2654435761 + 123456789) | 0;
    for (let i = 0; i < 20; i++) this.unit();
  }

  unit(): number {
    const t = this.x ^ (this.x << 11);
    this.x = this.y;
    this.y = this.z;
    this.z = this.w;
    this.w = this.w ^ (this.w >>> 19) ^ t ^ (t >>> 8);
    return (this.w >>> 0) / 4294967296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.unit();
  }

  /** even in the logarithm */
  scaled(low: number, high: number): number {
    return low * (high / low) ** this.unit();
  }

  whole(low: number, high: number): number {
    return Math.floor(this.between(low, high + 1));
  }

  chance(share: number): boolean {
    return this.unit() < share;
  }

  pick<Item>(items: readonly Item[]): Item {
    return items[Math.min(items.length - 1, Math.floor(this.unit() * items.length))];
  }

  /** polar method */
  normal(): number {
    if (!Number.isNaN(this.spare)) {
      const kept = this.spare;
      this.spare = NaN;
      return kept;
    }
    for (;;) {
      const a = 2 * this.unit() - 1;
      const b = 2 * this.unit() - 1;
      const s = a * a + b * b;
      if (s === 0 || s >= 1) continue;
      const factor = Math.sqrt((-2 * Math.log(s)) / s);
      this.spare = b * factor;
      return a * factor;
    }
  }
}
