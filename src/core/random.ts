/**
 * Repeatable chance for resampling: mulberry32 (T. Ettinger, public domain, 2017), a 32-bit counter generator. The core may not be
 * random, so the seed is always an argument and the same input gives the same bounds.
 * Returns a function that gives numbers in [0, 1).
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}
