import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { differenceOf } from '../../../../src/core/analysis/compare/difference.ts';

describe('the difference of two overlaid recordings', () => {
  it('is exact for straight lines of different rates, where both cover the time', () => {
    // arithmetic: (3 t + 1) - (t - 2) = 2 t + 3
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 200 }), fc.integer({ min: 2, max: 200 }), fc.double({ min: -0.4, max: 0.4, noNaN: true }), (beforeCount, afterCount, shiftS) => {
        const beforeS = Array.from({ length: beforeCount }, (_, i) => i / (beforeCount - 1));
        const afterS = Array.from({ length: afterCount }, (_, i) => shiftS + i / (afterCount - 1));
        const found = differenceOf({ timeS: beforeS, currentA: beforeS.map((t) => t - 2) }, { timeS: afterS, currentA: afterS.map((t) => 3 * t + 1) });
        expect(found.timeS).toEqual(beforeS.filter((t) => t >= afterS[0]! && t <= afterS.at(-1)!));
        found.timeS.forEach((t, i) => expect(found.currentA[i]!).toBeCloseTo(2 * t + 3, 9));
      }),
    );
  });

  it('holds what was subtracted, moment by moment, to both ends of the second recording', () => {
    // 2 A at 1 s and 4 A at 3 s make 3 A at 2 s
    expect(differenceOf({ timeS: [0, 1, 2, 3, 4], currentA: [9, 1, 1, 5, 9] }, { timeS: [1, 3], currentA: [2, 4] })).toEqual({ timeS: [1, 2, 3], beforeA: [1, 1, 5], afterA: [2, 3, 4], currentA: [1, 2, -1] });
    // squares at whole seconds, straight between them: 2.5 A at 1.5 s, 6.5 A at 2.5 s
    expect(differenceOf({ timeS: [0.5, 1.5, 2.5, 3], currentA: [0, 0, 0, 0] }, { timeS: [0, 1, 2, 3], currentA: [0, 1, 4, 9] }).currentA).toEqual([0.5, 2.5, 6.5, 9]);
    expect(differenceOf({ timeS: [1], currentA: [1] }, { timeS: [1], currentA: [2] }).timeS).toEqual([]);
  });

  it('is empty when the two do not overlap in time, and when one has no line', () => {
    const line = { timeS: [0, 1], currentA: [1, 1] };
    expect(differenceOf(line, { timeS: [2, 3], currentA: [1, 1] }).timeS).toEqual([]);
    expect(differenceOf(line, { timeS: [], currentA: [] }).timeS).toEqual([]);
    expect(differenceOf({ timeS: [], currentA: [] }, line).timeS).toEqual([]);
  });
});
