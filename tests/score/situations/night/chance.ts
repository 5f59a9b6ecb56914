/**
 * Chance from a seed, so that a night can be made again. The generator is sfc32 (C. Doty-Humphrey, PractRand), seeded by an FNV-1a
 * hash of the words and numbers given, so that neighbouring seeds share nothing.
 */
export class Chance {
  private a: number;
  private b: number;
  private c: number;
  private counter = 1;
  private spare: number | null = null;

  constructor(...seeds: readonly (string | number)[]) {
    const text = seeds.join('|');
    this.a = fnv1a(`a${text}`);
    this.b = fnv1a(`b${text}`);
    this.c = fnv1a(`c${text}`);
    for (let i = 0; i < 15; i++) this.unit();
  }

  /** uniform in [0, 1) */
  unit(): number {
    const sum = (this.a + this.b + this.counter) | 0;
    this.counter = (this.counter + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = ((this.c << 21) | (this.c >>> 11)) + sum;
    this.c |= 0;
    return (sum >>> 0) / 4294967296;
  }

  between(low: number, high: number): number {
    return low + (high - low) * this.unit();
  }

  /** uniform on a log scale: as likely in 10 to 20 as in 100 to 200 */
  logBetween(low: number, high: number): number {
    return low * (high / low) ** this.unit();
  }

  /** a whole number from low to high, both included */
  whole(low: number, high: number): number {
    return low + Math.floor(this.unit() * (high - low + 1));
  }

  pick<T>(from: readonly T[]): T {
    return from[Math.floor(this.unit() * from.length)]!;
  }

  yes(probability = 0.5): boolean {
    return this.unit() < probability;
  }

  /** normal with mean 0 and the given standard deviation (polar method of Marsaglia) */
  normal(sigma = 1): number {
    if (this.spare !== null) {
      const value = this.spare;
      this.spare = null;
      return value * sigma;
    }
    for (;;) {
      const x = 2 * this.unit() - 1;
      const y = 2 * this.unit() - 1;
      const r = x * x + y * y;
      if (r === 0 || r >= 1) continue;
      const scale = Math.sqrt((-2 * Math.log(r)) / r);
      this.spare = y * scale;
      return x * scale * sigma;
    }
  }

  /** exponential waiting time with the given mean */
  wait(mean: number): number {
    return -mean * Math.log(1 - this.unit());
  }

  sign(): 1 | -1 {
    return this.yes() ? 1 : -1;
  }
}

function fnv1a(text: string): number {
  let hash = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193);
  return hash | 0;
}
