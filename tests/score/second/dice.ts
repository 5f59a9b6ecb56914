/** Repeatable chance for the second generator: xorshift128 (G. Marsaglia, "Xorshift RNGs", J. Stat. Softw. 8(14), 2003). */
export interface Dice {
  /** in [0, 1) */
  next(): number;
  between(low: number, high: number): number;
  /** even in the logarithm; both bounds positive */
  scale(low: number, high: number): number;
  whole(low: number, high: number): number;
  chance(share: number): boolean;
  normal(): number;
  pick<T>(of: readonly T[]): T;
}

export function dice(seed: number): Dice {
  let x = (seed ^ 0x9e3779b9) >>> 0 || 1;
  let y = Math.imul(seed + 1, 0x85ebca6b) >>> 0 || 2;
  let z = 521288629;
  let w = 88675123;
  const next = (): number => {
    const t = x ^ (x << 11);
    x = y;
    y = z;
    z = w;
    w = (w ^ (w >>> 19) ^ (t ^ (t >>> 8))) >>> 0;
    return w / 4294967296;
  };
  for (let i = 0; i < 32; i++) next();
  const between = (low: number, high: number): number => low + (high - low) * next();
  return {
    next,
    between,
    scale: (low, high) => Math.exp(between(Math.log(low), Math.log(high))),
    whole: (low, high) => Math.floor(between(low, high + 1)),
    chance: (share) => next() < share,
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
    pick: (of) => of[Math.floor(next() * of.length)],
  };
}
