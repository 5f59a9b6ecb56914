import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { blockMeans, findIdle } from '../../../../../src/core/analysis/motor/sensor/idle.ts';
import { noise } from '../traces.ts';

/** Blocks of one mains period each, as pairs of blocks. */
const idleOf = (count: number, at: (b: number) => number, blockLength = 1): number[][] => {
  const ranges = [...findIdle(Float64Array.from({ length: count }, (_value, b) => at(b)), blockLength)];
  return ranges.filter((_index, r) => r % 2 === 0).map((from, r) => [from, ranges[2 * r + 1]!]);
};
const within = (b: number, from: number, to: number): boolean => b >= from && b < to;

describe('the means of blocks', () => {
  it('are those of whole blocks', () => {
    expect([...blockMeans(Float32Array.of(1, 2, 3, 4, 5, 6, 100), 3, 2)]).toEqual([2, 5]);
    expect(blockMeans(Float32Array.of(1, 2), 3, 0)).toHaveLength(0);
  });
});

describe('the idle stretches of a trace', () => {
  it('are those without a press, without the blocks that a press touches', () => {
    // blocks 40 to 59 carry 5 A: the last idle one before it and the first after it may hold its edge
    expect(idleOf(100, (b) => (within(b, 40, 60) ? 5 : 0))).toEqual([[0, 39], [61, 100]]);
    expect(idleOf(100, (b) => (within(b, 40, 60) ? 5 : 0), 20)).toEqual([[0, 780], [1220, 2000]]);
    expect(idleOf(100, () => 0)).toEqual([[0, 100]]);
    // the press is there from the first block on, or to the last
    expect([idleOf(100, (b) => (b < 60 ? 5 : 0)), idleOf(100, (b) => (b < 40 ? 0 : 5))]).toEqual([[[61, 100]], [[0, 39]]]);
    // two blocks between two presses have no block that neither touches; three have one
    expect([2, 3].map((gap) => idleOf(100, (b) => (within(b, 30, 50) || within(b, 50 + gap, 80) ? 5 : 0)).length)).toEqual([2, 3]);
  });

  it('are the same for a clamp the other way round', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 10_000 }), fc.double({ min: -0.15, max: 0.15, noNaN: true }), fc.integer({ min: 10, max: 60 }), (seed, zeroA, onB) => {
        const hiss = noise(0.003, seed);
        const means = Array.from({ length: 100 }, (_value, b) => zeroA + hiss() + (within(b, onB, onB + 20) ? 4 : 0));
        const plain = idleOf(100, (b) => means[b]!);
        expect(idleOf(100, (b) => -means[b]!)).toEqual(plain);
        expect(plain).toEqual([[0, onB - 1], [onB + 21, 100]]);
      }),
      { numRuns: 30 },
    );
  });

  it('lie within four times what a bad clamp shows, 0.15 A, and within a hundredth of the largest current', () => {
    const zero = (levelA: number, pressA: number) => idleOf(100, (b) => levelA + (within(b, 40, 60) ? pressA : 0)).length;
    expect([zero(0.59, 5), zero(0.61, 5), zero(-0.59, 5), zero(-0.61, 5), zero(0.99, 100), zero(1.02, 100)]).toEqual([2, 0, 2, 0, 2, 0]);
  });

  it('need five blocks in all, and a level that five blocks, or one in twenty, keep', () => {
    expect([idleOf(4, () => 0), idleOf(5, () => 0)]).toEqual([[], [[0, 5]]]);
    // each block at a level of its own is no level: of 100 blocks five must agree within 40 mA
    const spread = (same: number) => idleOf(100, (b) => (b < same ? 0 : 1 + b)).length;
    expect([spread(4), spread(5)]).toEqual([0, 1]);
    // of 40 blocks two
    expect([idleOf(40, (b) => (b < 1 ? 0 : 1 + b)).length, idleOf(40, (b) => (b < 3 ? 0 : 1 + b)).length]).toEqual([0, 1]);
  });

  it('follow a zero that drifts, and one that jumps by what a bad clamp may', () => {
    // 0.2 A in 200 blocks
    expect(idleOf(200, (b) => 0.001 * b + (within(b, 80, 100) ? 5 : 0))).toEqual([[0, 79], [101, 200]]);
    expect(idleOf(200, (b) => (b < 100 ? 0 : 0.03))).toEqual([[0, 200]]);
    // one that comes to rest in the end is followed back from there
    expect(idleOf(200, (b) => Math.min(0.25, 0.0025 * b))).toEqual([[0, 200]]);
  });

  it('follow a zero that runs away through a long press by its slope', () => {
    // 0.004 A a block: 0.8 A while nothing is seen of it
    expect(idleOf(400, (b) => 0.004 * b + (within(b, 100, 300) ? 8 : 0))).toEqual([[0, 99], [301, 400]]);
    expect(idleOf(400, (b) => -0.004 * b - (within(b, 100, 300) ? 8 : 0))).toEqual([[0, 99], [301, 400]]);
  });

  describe('are none where a small current flows', () => {
    /** Beside a press of 5 A in the blocks 20 to 39, which makes a zero within 0.3 A likelier to be one that wanders. */
    const beside = (at: (b: number) => number, count = 300) => idleOf(count, (b) => (within(b, 20, 40) ? 5 : at(b)));

    // the two blocks about a jump are neither
    it('that is jumped to and back from, either way', () => {
      for (const levelA of [0.2, -0.2]) expect(beside((b) => (within(b, 80, 120) ? levelA : 0))).toEqual([[0, 19], [41, 79], [121, 300]]);
    });

    it('in two levels one after the other, each away from where the clamp comes back to', () => {
      expect(beside((b) => (within(b, 80, 120) ? 0.2 : within(b, 120, 160) ? 0.1 : 0))).toEqual([[0, 19], [41, 79], [161, 300]]);
      // up to a level and down past it
      expect(beside((b) => (within(b, 80, 120) ? 0.15 : within(b, 120, 160) ? -0.1 : 0))).toEqual([[0, 19], [41, 79], [161, 300]]);
    });

    it('but a zero that moved for good, or comes back to another place', () => {
      expect(beside((b) => (b < 80 ? 0 : 0.2))).toEqual([[0, 19], [41, 79], [81, 300]]);
      // a quarter of the 0.15 A that lie between are 37 mA
      const back = (toA: number) => beside((b) => (within(b, 80, 120) ? 0.2 : b < 80 ? 0 : toA)).length;
      expect([back(0.03), back(0.05)]).toEqual([3, 4]);
    });

    it('but one that wanders while presses come and go', () => {
      const levels = (...amps: number[]) => beside((b) => (b < 80 ? 0 : b >= 200 ? 0 : (b - 80) % 40 >= 30 ? 5 : amps[Math.floor((b - 80) / 40)]!)).length;
      // a quarter of 0.15 A again: a current stands, a zero creeps on by up to 40 mA from one moment to the next
      expect([levels(0.15, 0.15, 0.15), levels(0.15, 0.17, 0.15), levels(0.15, 0.185, 0.22)]).toEqual([3, 3, 6]);
    });
  });

  it('end where what was jumped to is farther than a zero wanders, as nothing larger says how far that is', () => {
    expect(idleOf(200, (b) => (b < 80 ? 0 : 0.2))).toEqual([[0, 79]]);
  });
});
