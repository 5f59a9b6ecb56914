import { describe, expect, it } from 'vitest';
import { badCommutation } from '../../../../../src/core/analysis/motor/commutator/folding.ts';
import { notchTrain } from '../../../../../src/core/analysis/motor/commutator/notches.ts';
import { findRevolutions } from '../../../../../src/core/analysis/motor/commutator/revolution.ts';
import { noise } from '../traces.ts';
import { pressOf, readBy, sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 5000;
const COUNT = 2 * RATE_HZ;

describe('a low segment', () => {
  /** Forty turns a second of ten commutations at 4 A, one of which lacks 15 % in the turns that are named. */
  const found = (isLow: (turn: number) => boolean, scale = 1, lost = 0.15, idle: { reachA?: number; stepA?: number } = {}) => {
    const hiss = noise(0.01, 9);
    const values = Float32Array.from({ length: COUNT }, (_value, i) => {
      const turned = (40 * i) / RATE_HZ;
      const place = turned % 1;
      return scale * (4 * (1 + 0.04 * (Math.abs(Math.sin(10 * Math.PI * place)) - 2 / Math.PI) + 0.01 * Math.cos(2 * Math.PI * place + 1) - (place < 0.1 && isLow(Math.floor(turned)) ? lost : 0)) + hiss());
    });
    const ripple = { frequency_hz: 400, low_hz: 399, high_hz: 401, revolutions_per_s: 40, count: 800 };
    return badCommutation(pressOf(0, COUNT), [{ startIndex: 0, endIndex: COUNT }], ripple, 10, { baseline: { ...readBy(values), noiseA: 0.01 * scale, reachA: 0.03 * scale, ...idle }, sampling: sampledAt(RATE_HZ, COUNT) });
  };

  it('is there in every fifth of the run: one that is gone from the last is none', () => {
    expect(found(() => true)).not.toBeNull();
    expect(found((turn) => turn < 63)).toBeNull();
    expect(found((turn) => turn >= 17)).toBeNull();
  });

  it('is the same share of a hundredth and of a hundred times the current', () => {
    const plain = found(() => true)!;
    for (const scale of [0.01, 100]) {
      const other = found(() => true, scale)!;
      expect([other.depth_a / scale, other.low_a / scale, other.high_a / scale, other.share]).toEqual([plain.depth_a, plain.low_a, plain.high_a, plain.share].map((value) => expect.closeTo(value, 4)));
      expect(found(() => true, scale, 0.02)).toBeNull();
    }
  });

  it('is none where another load makes pulses of a quarter of its depth while the motor stands still, unless steps of the converter reach as far', () => {
    const { depth_a: depthA } = found(() => true)!;
    const beside = (reachA: number, stepA = 0): boolean => found(() => true, 1, 0.15, { reachA, stepA }) !== null;
    expect([beside(0.24 * depthA), beside(0.26 * depthA)]).toEqual([true, false]);
    // one reading in a thousand lies 3.29 deviations off
    expect([beside(1.1 * depthA, (1.1 * depthA) / 3.2), beside(1.1 * depthA, (1.1 * depthA) / 3.4)]).toEqual([true, false]);
  });

  it('has bounds that narrow parts of the run alike make narrow: five of them, and no wider than a tenth of it', () => {
    const { depth_a: depthA, low_a: lowA, high_a: highA } = found(() => true)!;
    expect(depthA - lowA).toBeCloseTo(highA - depthA, 9);
    expect((highA - lowA) / depthA).toBeLessThan(0.05);
  });
});

describe('notches of a lost coil', () => {
  const read = (startsS: readonly number[]) => {
    const hiss = noise(0.02, 5);
    const values = new Float32Array(COUNT).map(() => 4 + hiss());
    for (const startS of startsS) for (let i = Math.round(startS * RATE_HZ); i < Math.min(COUNT, Math.round((startS + 0.0025) * RATE_HZ)); i++) values[i]! -= 2;
    return notchTrain(pressOf(0, COUNT), { startIndex: 0, endIndex: COUNT }, { ...readBy(values), noiseA: 0.02 }, sampledAt(RATE_HZ, COUNT));
  };
  const evenly = Array.from({ length: 79 }, (_value, n) => 0.01 + n / 40);

  it('come at even intervals, all along the run', () => {
    expect(read(evenly)?.revolutions_per_s).toBeCloseTo(40, 1);
    // a third of a turn early and late by turns of three
    expect(read(evenly.map((atS, n) => atS + [0, 0.008, -0.008][n % 3]!))).toBeNull();
    // in the first half only
    expect(read(evenly.slice(0, 40))).toBeNull();
  });

  it('are at least twenty', () => {
    expect(read(Array.from({ length: 19 }, (_value, n) => 0.02 + n / 9.6))).toBeNull();
    expect(read(Array.from({ length: 20 }, (_value, n) => 0.02 + n / 10))?.revolutions_per_s).toBeCloseTo(10, 1);
  });
});

describe('the turns of a rotor by its comb alone', () => {
  const turnHz = 20;
  /** Sizes by order of the turn, A. */
  const read = (sizes: Readonly<Record<number, number>>, perRevolution?: number, count = COUNT) => {
    const hiss = noise(0.002, 4);
    const values = Float32Array.from({ length: count }, (_value, i) => 4 + Object.entries(sizes).reduce((sum, [order, size]) => sum + size * Math.cos((2 * Math.PI * Number(order) * turnHz * i) / RATE_HZ + Number(order)), 0) + hiss());
    return findRevolutions(values, { startIndex: 0, endIndex: count }, sampledAt(RATE_HZ, count), null, perRevolution);
  };
  const even = Object.fromEntries(Array.from({ length: 14 }, (_value, o) => [o + 1, 0.02]));

  it('are found though a higher of the first four orders is the only strong one', () => {
    for (const strong of [3, 4]) {
      const found = read({ ...even, [strong]: 0.08, 12: 0.06 });
      expect([found?.rateHz, found?.perRevolution], String(strong)).toEqual([expect.closeTo(turnHz, 1), 12]);
    }
  });

  it('need a commutation that stands out by twice those beside it, the one that was typed in where one was', () => {
    expect(read(even)).toBeNull();
    expect([read({ ...even, 12: 0.036 }), read({ ...even, 12: 0.048 })].map((found) => found?.perRevolution ?? null)).toEqual([null, 12]);
    // of two the stronger
    expect(read({ ...even, 8: 0.08, 12: 0.1 })?.perRevolution).toBe(12);
    expect(read({ ...even, 8: 0.1, 12: 0.08 })?.perRevolution).toBe(8);
    expect([read({ ...even, 12: 0.1 }, 12)?.perRevolution, read({ ...even, 12: 0.1 }, 10)]).toEqual([12, null]);
    // three segments and two brushes make six a turn at the least
    expect(read({ ...even, 5: 0.1 })).toBeNull();
  });

  it('are found in a run of one window, of two and of three: half a second holds eight turns of the slowest', () => {
    for (const count of [2500, 3500, 4500]) expect(read({ ...even, 12: 0.1 }, undefined, count)?.rateHz, String(count)).toBeCloseTo(turnHz, 0);
    // fewer than 64 readings are no window
    expect(read({ ...even, 12: 0.1 }, undefined, 63)).toBeNull();
  });

  it('need five orders, and none half way between', () => {
    expect(read({ ...even, 12: 0.1 })).not.toBeNull();
    for (const missing of [2, 3, 5]) expect(read({ ...even, 12: 0.1, [missing]: 0 }), String(missing)).toBeNull();
    for (const between of [0.5, 1.5]) expect(read({ ...even, 12: 0.1, [between]: 0.02 }), String(between)).toBeNull();
  });
});
