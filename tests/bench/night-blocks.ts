import type { SampleBlock } from '../../src/core/trace.ts';
import { Dice } from '../score/drain/dice.ts';

export const NIGHT_BLOCK = 10_000;

/**
 * A night as a source delivers it, in blocks of 10 s at 1 kS/s: awake modules for 20 min, then asleep with a wake-up of 45 s every
 * 10 min. Each block is made when it is asked for and in memory of its own, as blocks from a logger are.
 */
export function* nightBlocks(samples: number, rateHz: number): Generator<SampleBlock> {
  const dice = new Dice(7);
  const noise = Float32Array.from({ length: 65_537 }, () => 0.004 * dice.normal());
  for (let at = 0; at < samples; at += NIGHT_BLOCK) {
    const length = Math.min(NIGHT_BLOCK, samples - at);
    const timeS = new Float64Array(length);
    const currentA = new Float32Array(length);
    for (let i = 0; i < length; i++) {
      const atS = (at + i) / rateHz;
      timeS[i] = atS;
      currentA[i] = (atS < 1200 ? 0.13 : 0.025) + (atS % 600 < 45 ? 0.135 : 0) + noise[(at + i) % 65_537];
    }
    yield { timeS, currentA, voltageV: null };
  }
}
