import { describe, expect, it } from 'vitest';
import { losingText, LossWatch } from '../../../src/core/decode/loss-watch.ts';

/** Blocks every 0.1 s from 0 on; before some of them blocks are missing. Answers by their moment. */
function watched(options: { readonly blocks: number; readonly losses: number; readonly lostEach?: number; readonly damagedEach?: number; readonly rateHz?: number }) {
  const { blocks, losses, lostEach = 1, damagedEach = 0, rateHz = 1000 } = options;
  const watch = new LossWatch();
  // the first block of all begins the look
  watch.block({ lostBlocks: 0, damaged: 0 }, rateHz, 0);
  const said: number[] = [];
  let last = null;
  for (let k = 1; k <= blocks; k++) {
    const happened = Math.min(k, losses);
    const answer = watch.block({ lostBlocks: happened * lostEach, damaged: happened * damagedEach }, rateHz, k / 10);
    if (answer === null) continue;
    said.push(k / 10);
    last = answer;
  }
  return { watch, said, last };
}

describe('blocks that are lost', () => {
  it('are reported after five seconds in which it happened five times', () => {
    expect(watched({ blocks: 49, losses: 5 }).said).toEqual([]);
    expect(watched({ blocks: 50, losses: 5 }).said).toEqual([5]);
    expect(watched({ blocks: 50, losses: 4 }).said).toEqual([]);
    // many at once are one accident
    expect(watched({ blocks: 50, losses: 1, lostEach: 40 }).said).toEqual([]);
  });

  it('are reported with what arrives, and the highest usual rate below four fifths of it', () => {
    // 50 blocks came, 50 are missing: of 1000 a second 500 arrive, four fifths are 400
    expect(watched({ blocks: 50, losses: 5, lostEach: 10 }).last).toEqual({ lost: 0.5, rateHz: 1000, arrivedHz: 500, heldRateHz: 200, damaged: false });
    const held = (arrivedHz: number) => watched({ blocks: 50, losses: 5, lostEach: 10, rateHz: 2 * arrivedHz }).last!.heldRateHz;
    // four fifths of these are 1, 2, 4.9, 5, 10, 19, 50, 100, 1000 and 9,900
    expect([1.25, 2.5, 6.125, 6.25, 12.5, 23.75, 62.5, 125, 1250, 12_375].map(held)).toEqual([1, 2, 2, 5, 10, 10, 50, 100, 1000, 5000]);
    expect(held(1.2)).toBeNull();
  });

  it('that came damaged are most of what is missing, or not', () => {
    const damaged = (lostEach: number, damagedEach: number) => watched({ blocks: 50, losses: 5, lostEach, damagedEach }).last!.damaged;
    expect([damaged(2, 1), damaged(2, 2), damaged(3, 1), damaged(1, 1)]).toEqual([false, true, false, true]);
  });

  it('so few as one in two hundred are worth telling, fewer are not', () => {
    const often = (came: number) => {
      const watch = new LossWatch();
      watch.block({ lostBlocks: 0, damaged: 0 }, 1000, 0);
      let answer = null;
      for (let k = 1; k <= came; k++) answer = watch.block({ lostBlocks: Math.min(k, 5), damaged: 0 }, 1000, (5 * k) / came);
      return answer;
    };
    // 5 of 5 + 995 are half a percent
    expect(often(995)).not.toBeNull();
    expect(often(996)).toBeNull();
  });

  it('are reported again after a minute, and known meanwhile for twice five seconds', () => {
    const watch = new LossWatch();
    watch.block({ lostBlocks: 0, damaged: 0 }, 1000, 0);
    const said: number[] = [];
    for (let k = 1; k <= 700; k++) if (watch.block({ lostBlocks: k, damaged: 0 }, 1000, k / 10) !== null) said.push(k / 10);
    expect(said).toEqual([5, 65]);
    expect(watch.overloadAt(80)).toMatchObject({ lost: 0.5 });
    expect(watch.overloadAt(80.1)).toBeNull();
  });

  it('are forgotten when the line holds again', () => {
    const { watch } = watched({ blocks: 50, losses: 5 });
    expect(watch.overloadAt(5)).not.toBeNull();
    for (let k = 51; k <= 100; k++) watch.block({ lostBlocks: 5, damaged: 0 }, 1000, k / 10);
    expect(watch.overloadAt(10)).toBeNull();
  });

  it('count although nothing could be read of the block that shows it, which is no block that came', () => {
    const watch = new LossWatch();
    watch.block({ lostBlocks: 0, damaged: 0 }, 1000, 0);
    for (let k = 1; k < 50; k++) watch.note({ lostBlocks: k, damaged: k }, 1000, k / 10);
    expect(watch.block({ lostBlocks: 49, damaged: 49 }, 1000, 5)).toMatchObject({ lost: 0.98, arrivedHz: expect.closeTo(20, 9), damaged: true });
  });
});

describe('what a line loses, in words', () => {
  it('has thousands a second from 1000 on, with so many figures that the least loss of which it speaks is to be seen', () => {
    const said = (rateHz: number, arrivedHz: number): string => losingText({ rateHz, arrivedHz, heldRateHz: null, damaged: false, lost: 1 });
    expect(said(1000, 944)).toContain('1 kS/s');
    expect(said(1000, 944)).toContain('944 S/s');
    // half a percent of 50,000 readings a second
    expect(said(50_000, 49_750)).toContain('49.8 kS/s');
    expect(said(12_345, 940)).toContain('12.3 kS/s');
    expect(said(12_345, 940)).toContain('940 S/s');
  });
});
