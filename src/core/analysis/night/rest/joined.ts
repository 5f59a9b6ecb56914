import type { BlockRange, RestStretch } from '../types.ts';

/** Stretches that follow each other as one: only a block beside something else than rest holds some of it, and each block counts once. */
export function joinedRests(rests: readonly RestStretch[]): BlockRange[] {
  const joined: { startBlock: number; endBlock: number }[] = [];
  for (const { startBlock, endBlock } of [...rests].sort((a, b) => a.startBlock - b.startBlock)) {
    const last = joined[joined.length - 1];
    if (last !== undefined && startBlock <= last.endBlock) last.endBlock = Math.max(last.endBlock, endBlock);
    else joined.push({ startBlock, endBlock });
  }
  return joined;
}
