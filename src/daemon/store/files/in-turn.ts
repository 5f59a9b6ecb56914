import type { Progress } from './store-error.ts';

/**
 * One progress for several pieces of work, one after the other: each call gives the next piece its share. What is told never falls back, and a piece that
 * tells nothing (a trace that opens at once) leaves its share to those after it.
 */
export function inTurn(progress: Progress | undefined, pieces: number): () => Progress {
  let told = 0;
  let left = pieces;
  return () => {
    const from = told;
    const share = (1 - from) / Math.max(1, left--);
    return (fraction) => {
      told = Math.max(told, from + share * Math.min(Math.max(fraction, 0), 1));
      progress?.(told);
    };
  };
}
