import { describe, expect, it } from 'vitest';
import { createLiveDrain } from '../../../../src/core/present/documents/document-night.ts';
import { heldBytes } from '../../../bench/held-memory.ts';
import { nightBlocks } from '../../../bench/night-blocks.ts';

describe('a night fed block by block', () => {
  it('holds no more memory after four million samples than after one million, and still says when it slept and what woke it', () => {
    const live = createLiveDrain({});
    const before = heldBytes();
    const held: number[] = [];
    let samples = 0;
    for (const block of nightBlocks(4_000_000, 1000)) {
      live.push(block);
      samples += block.timeS.length;
      if (samples % 1_000_000 === 0) held.push(heldBytes() - before);
    }
    expect(held).toHaveLength(4);
    // 262,144 bins of 32 bytes, and the noise of the generator
    expect(Math.max(...held)).toBeLessThan(16e6);
    expect(held[3]).toBeLessThan(held[0] + 2e6);
    const result = live.result();
    expect(result.trace.samples).toBe(4_000_000);
    expect(Math.abs((result.asleep?.at_s ?? 0) - 1245)).toBeLessThan(5);
    expect(result.wakeups).toHaveLength(4);
    expect(result.wake_period_s).toBeCloseTo(600, 0);
  });
});
