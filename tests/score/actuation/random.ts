/** A small seeded generator (mulberry32, public domain): the same seed gives the same traces on every machine. */
export interface Random {
  /** uniform in [0, 1) */
  next(): number;
  between(low: number, high: number): number;
  /** uniform in the logarithm */
  scale(low: number, high: number): number;
  pick<Item>(items: readonly Item[]): Item;
  chance(share: number): boolean;
  normal(): number;
}

export function seeded(seed: number): Random {
  let state = seed >>> 0;
  const next = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 15), mixed | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
  return {
    next,
    between: (low, high) => low + (high - low) * next(),
    scale: (low, high) => low * Math.exp(Math.log(high / low) * next()),
    pick: (items) => items[Math.floor(next() * items.length)] as never,
    chance: (share) => next() < share,
    normal: () => Math.sqrt(-2 * Math.log(1 - next())) * Math.cos(2 * Math.PI * next()),
  };
}
