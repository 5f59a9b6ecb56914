import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { meanSpeedOver } from '../../../../../src/core/analysis/motor/ripple/speed-over-run.ts';
import { pressOf, readBy, sampledAt } from './columns.ts';

const RATE_HZ = 1000;
/** levels, A, of a tenth of a second each */
function speedOf(levels: readonly number[], usualA: number, highestA: number, sign: 1 | -1 = 1): { low: number; high: number } {
  const values = Float32Array.from(levels.flatMap((levelA) => Array.from({ length: 100 }, () => levelA * sign)));
  return meanSpeedOver({ startIndex: 0, endIndex: values.length }, pressOf(0, values.length, sign), usualA, highestA, { baseline: readBy(values), sampling: sampledAt(RATE_HZ, values.length) });
}

describe('mean speed over a run', () => {
  it('is the usual one at the usual current', () => {
    expect(speedOf([4, 4, 4], 4, 14)).toEqual({ low: 1, high: 1 });
  });

  // v = R i + k w, v constant: w = (I_stand - i)/(I_stand - I_usual). At 9 A with 14 A standing 5/10 = 0.5, with 28 A standing 19/24 = 0.7917;
  // half of the time at each level: (1 + 0.5)/2 = 0.75 and (1 + 0.7917)/2 = 0.8958
  it('falls with the current on the straight line of a brushed motor, between the least and the greatest standing current', () => {
    const { low, high } = speedOf([4, 9], 4, 14);
    expect(low).toBeCloseTo(0.75, 6);
    expect(high).toBeCloseTo(0.8958, 4);
  });

  it('is above the usual one where the current was below it: at 3 A with 14 A standing 11/10', () => {
    const { low, high } = speedOf([3], 4, 14);
    expect(high).toBeCloseTo(1.1, 6);
    expect(low).toBeCloseTo(25 / 24, 6);
  });

  it('counts a stall as no speed, never as less', () => {
    expect(speedOf([4, 14, 20], 4, 14).low).toBeCloseTo(1 / 3, 6);
  });

  it('leaves anything open while no current flows: the rotor coasts', () => {
    expect(speedOf([4, 0], 4, 14)).toEqual({ low: 0.5, high: 1 });
  });

  it('is taken as the usual one where the highest current is no more than that', () => {
    expect(speedOf([4, 5], 4, 2)).toEqual({ low: 1, high: 1 });
  });

  it('does not change with the scale of the sensor, its sign, or the order in time', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0.1, max: 20, noNaN: true }), { minLength: 1, maxLength: 8 }), fc.double({ min: 0.1, max: 50, noNaN: true }), (levels, scale) => {
        const plain = speedOf(levels, 4, 14);
        for (const other of [speedOf(levels.map((levelA) => levelA * scale), 4 * scale, 14 * scale), speedOf(levels, 4, 14, -1), speedOf(levels.toReversed(), 4, 14)]) {
          expect(other.low).toBeCloseTo(plain.low, 4);
          expect(other.high).toBeCloseTo(plain.high, 4);
        }
      }),
      { numRuns: 50 },
    );
  });
});
