/** Repeatable draws for the second generator: sfc32 (C. Doty-Humphrey, PractRand, public domain), seeded from one number. */
export interface Chance {
  /** uniform in [low, high) */
  between(low: number, high: number): number;
  /** whole number, both ends included */
  whole(low: number, high: number): number;
  /** even in the logarithm, for times and sizes that span decades */
  spread(low: number, high: number): number;
  happens(probability: number): boolean;
  oneOf<T>(choices: readonly T[]): T;
  /** standard normal, by the polar method of Marsaglia */
  normal(): number;
}

export function chanceFrom(seed: number): Chance {
  let a = 0x9e3779b9 ^ seed;
  let b = 0x243f6a88 + Math.imul(seed, 0x85ebca6b);
  let c = 0xb7e15162 ^ Math.imul(seed, 0xc2b2ae35);
  let counter = 1;
  let spare: number | null = null;
  const next = (): number => {
    const mixed = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + mixed;
    return (mixed >>> 0) / 4_294_967_296;
  };
  for (let turn = 0; turn < 20; turn++) next();
  const between = (low: number, high: number): number => low + (high - low) * next();
  return {
    between,
    whole: (low, high) => low + Math.floor(next() * (high - low + 1)),
    spread: (low, high) => low * (high / low) ** next(),
    happens: (probability) => next() < probability,
    oneOf: (choices) => choices[Math.floor(next() * choices.length)],
    normal: () => {
      if (spare !== null) {
        const kept = spare;
        spare = null;
        return kept;
      }
      for (;;) {
        const x = between(-1, 1);
        const y = between(-1, 1);
        const square = x * x + y * y;
        if (square >= 1 || square === 0) continue;
        const factor = Math.sqrt((-2 * Math.log(square)) / square);
        spare = y * factor;
        return x * factor;
      }
    },
  };
}
