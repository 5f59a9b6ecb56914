/**
 * Seeded chance for the situations: the small fast counting generator sfc32 (Chris Doty-Humphrey, PractRand), its four words filled
 * from the seed and the situation's name by FNV-1a. The same seed and name give the same draws on every machine.
 */
export class Dice {
  private a: number;
  private b: number;
  private c: number;
  private counter = 1;

  constructor(seed: number, name = '') {
    this.a = fnv1a(`${name}/a/${seed}`);
    this.b = fnv1a(`${name}/b/${seed}`);
    this.c = fnv1a(`${name}/c/${seed}`);
    for (let warm = 0; warm < 16; warm++) this.next();
  }

  /** uniform in [0, 1) */
  next(): number {
    const sum = (((this.a + this.b) | 0) + this.counter) | 0;
    this.counter = (this.counter + 1) | 0;
    this.a = this.b ^ (this.b >>> 9);
    this.b = (this.c + (this.c << 3)) | 0;
    this.c = (this.c << 21) | (this.c >>> 11);
    this.c = (this.c + sum) | 0;
    return (sum >>> 0) / 4_294_967_296;
  }

  /** uniform in [low, high) */
  between(low: number, high: number): number {
    return low + (high - low) * this.next();
  }

  /** uniform in the logarithm: as likely between 1 and 2 as between 10 and 20 */
  spread(low: number, high: number): number {
    return low * Math.exp(this.next() * Math.log(high / low));
  }

  /** whole number, both ends included */
  whole(low: number, high: number): number {
    return low + Math.floor(this.next() * (high - low + 1));
  }

  pick<T>(from: readonly T[]): T {
    return from[Math.floor(this.next() * from.length)]!;
  }

  chance(probability: number): boolean {
    return this.next() < probability;
  }

  /** standard normal (Box and Muller) */
  normal(): number {
    return Math.sqrt(-2 * Math.log(1 - this.next())) * Math.cos(2 * Math.PI * this.next());
  }
}

function fnv1a(text: string): number {
  let hash = 0x811c9dc5;
  for (let index = 0; index < text.length; index++) hash = Math.imul(hash ^ text.charCodeAt(index), 0x01000193);
  return hash >>> 0;
}
