/**
 * Seeded random numbers, so that the same scenario and seed always give the same trace.
 *
 * Generator: xoshiro128++ 1.0 by D. Blackman and S. Vigna, "Scrambled linear pseudorandom number generators", ACM Transactions on
 * Mathematical Software 47(4), 2021. Its four words are filled from the seed by Weyl steps of the golden ratio through the 32-bit
 * finaliser of MurmurHash3 (A. Appleby, public domain), the scheme its authors advise for seeding.
 */
export class Random {
  readonly #words = new Uint32Array(4);
  #spare = Number.NaN;

  /** `seed` is any number; `stream` keeps several independent uses of one seed apart (noise must not disturb the hand on the switch). */
  constructor(seed: number, stream = 0) {
    let weyl = (Math.floor(seed) ^ Math.imul(stream, 0x85ebca6b)) >>> 0;
    for (let i = 0; i < 4; i++) {
      weyl = (weyl + 0x9e3779b9) >>> 0;
      this.#words[i] = finalise(weyl);
    }
  }

  /** A generator with exactly these four words, as published test vectors need it. */
  static fromWords(words: readonly [number, number, number, number]): Random {
    const random = new Random(0);
    random.#words.set(words);
    return random;
  }

  /** a whole number in [0, 2^32) */
  word(): number {
    const s = this.#words;
    const sum = (s[0] + s[3]) | 0;
    const result = (((sum << 7) | (sum >>> 25)) + s[0]) >>> 0;
    const shifted = s[1] << 9;
    s[2] ^= s[0];
    s[3] ^= s[1];
    s[1] ^= s[2];
    s[0] ^= s[3];
    s[2] ^= shifted;
    s[3] = (s[3] << 11) | (s[3] >>> 21);
    return result;
  }

  /** evenly spread in [low, high) */
  between(low: number, high: number): number {
    return low + (high - low) * (this.word() / 4294967296);
  }

  /** normal with mean 0 and standard deviation 1: G. Box and M. Muller, Annals of Mathematical Statistics 29(2), 1958 */
  gaussian(): number {
    if (!Number.isNaN(this.#spare)) {
      const spare = this.#spare;
      this.#spare = Number.NaN;
      return spare;
    }
    const radius = Math.sqrt(-2 * Math.log((this.word() + 1) / 4294967296));
    const angle = (2 * Math.PI * this.word()) / 4294967296;
    this.#spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  }
}

function finalise(value: number): number {
  let mixed = Math.imul(value ^ (value >>> 16), 0x85ebca6b);
  mixed = Math.imul(mixed ^ (mixed >>> 13), 0xc2b2ae35);
  return (mixed ^ (mixed >>> 16)) >>> 0;
}
