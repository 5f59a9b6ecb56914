import { describe, expect, it } from 'vitest';
import { OwnClock } from '../../../src/core/decode/own-clock.ts';

interface Given {
  readonly index: number;
  readonly atS: number;
  readonly afterGap: boolean;
}

/** A clock in seconds of lines that come once a second, and what it has given out. */
function watched({ factor = 1, usualS = 1, floorS = -Infinity } = {}) {
  const out: Given[] = [];
  const clock = new OwnClock({ give: (index, atS, afterGap) => void out.push({ index, atS, afterGap }), overrun: () => undefined }, factor, usualS, floorS);
  let next = 0;
  const push = (...lines: readonly (readonly [timeS: number, arrivalS: number])[]): void => {
    for (const [timeS, arrivalS] of lines) clock.push(next++, timeS, arrivalS);
  };
  const times = (): number[] => {
    clock.flush();
    return out.map(({ atS }) => Number(atS.toFixed(6)));
  };
  return { clock, out, push, times };
}

describe('a clock that the lines carry', () => {
  it('begins at the first arrival, never before 0, and a usual step behind what was given out', () => {
    const first = (arrivalS: number, floorS?: number): unknown => {
      const { clock, out, push } = watched({ floorS, usualS: 0.02 });
      push([700, arrivalS]);
      clock.flush();
      return out[0];
    };
    expect(first(3)).toEqual({ index: 0, atS: 3, afterGap: false });
    expect(first(-2)).toEqual({ index: 0, atS: 0, afterGap: false });
    expect(first(3, 5)).toEqual({ index: 0, atS: 5.02, afterGap: true });
    expect(first(9, 5)).toEqual({ index: 0, atS: 9, afterGap: true });
  });

  it('is believed from a quarter of a second before the arrival to five after, and a twentieth of the time passed either way', () => {
    // the third line says 12 s. Early by 12 - a < 0.25 + 0.05 (a - 11), so a > 12.8/1.05 = 11.7143; late by a - 12 < 5 + 0.05 (a - 11), so a < 16.45/0.95 = 17.3158
    const believed = (arrivalS: number): boolean => {
      const { push, times } = watched();
      push([0, 10], [1, 11], [2, arrivalS]);
      return times().length === 3;
    };
    expect([11.715, 11.713, 17.315, 17.317].map(believed)).toEqual([true, false, true, false]);
  });

  it('leaves a gap after more than five usual steps; lines of one time before it are spread over a usual one', () => {
    const across = (stepS: number): [number, boolean | undefined] => {
      const { clock, out, push } = watched();
      push([0, 10], [1, 11], [1, 11], [1 + stepS, 11 + stepS]);
      clock.flush();
      return [out[2]!.atS - out[1]!.atS, out[3]!.afterGap];
    };
    expect(across(5)).toEqual([2.5, false]);
    expect(across(5.5)).toEqual([0.5, true]);
  });

  it('after a long pause gives way to the arrival where it is not near that', () => {
    const after = (arrivalS: number): number | undefined => {
      const { push, times } = watched();
      push([0, 10], [1, 11], [101, arrivalS]);
      return times()[2];
    };
    // by the clock 111 s; near from 0.25 s before to 5 s after
    expect([110.76, 110.74, 115.9, 116.1].map(after)).toEqual([111, 110.74, 111, 116.1]);
  });

  it('turns at 2^32 of its units, and only where that fits the arrival', () => {
    const turnS = 2 ** 32 * 1e-6;
    const { clock, push, times } = watched({ factor: 1e-6 });
    push([turnS - 1, 10], [0, 11], [1, 12], [2, 13]);
    expect(times()).toEqual([10, 11, 12, 13]);
    expect([clock.refused, clock.restarts]).toEqual([0, 0]);
    // once more, and a fall that is no turn
    push([turnS - 1, 9 + turnS], [0, 10 + turnS], [1, 11 + turnS]);
    expect(times().slice(4)).toEqual([9, 10, 11].map((s) => Number((s + turnS).toFixed(6))));
    push([0.5, 12 + turnS]);
    times();
    expect([clock.refused, clock.restarts]).toEqual([1, 0]);
  });

  it('that leaps is believed when three lines in a row agree, as a restart where it fell', () => {
    const leap = (toS: number, lines: number): [number, number, number] => {
      const { clock, out, push } = watched();
      push([500, 10], [501, 11]);
      for (let i = 0; i < lines; i++) push([toS + i, 12 + i]);
      clock.flush();
      return [out.length, clock.refused, clock.restarts];
    };
    expect([leap(0, 2), leap(0, 3)]).toEqual([[2, 2, 0], [5, 0, 1]]);
    expect([leap(900, 2), leap(900, 3)]).toEqual([[2, 2, 0], [5, 0, 0]]);
    const { out, push, times } = watched();
    push([500, 10], [501, 11], [0, 12], [1, 13], [2, 14], [3, 15]);
    expect(times()).toEqual([10, 11, 12, 13, 14, 15]);
    expect(out.map(({ afterGap }) => afterGap)).toEqual([false, false, true, false, false, false]);
  });

  it('agrees with itself within a quarter of a second and a twentieth of the time passed, and never falling', () => {
    const agrees = (secondS: number, passedS: number): boolean => {
      const { clock, push } = watched();
      push([500, 10], [501, 11], [0, 12], [secondS, 12 + passedS], [secondS + 1, 13 + passedS]);
      clock.flush();
      return clock.restarts === 1;
    };
    // 2 s passed: 0.25 + 0.1 s either way
    expect([2.34, 2.36, 1.66, 1.64].map((secondS) => agrees(secondS, 2))).toEqual([true, false, true, false]);
    expect([agrees(0, 0.1), agrees(-0.01, 0.1)]).toEqual([true, false]);
  });

  it('that stands still takes a thousand lines, then refuses a thousand and one at a time', () => {
    const { clock, push, times } = watched();
    const refused: number[] = [];
    for (let i = 1; i <= 2001; i++) {
      push([5, 10]);
      if (i === 1000 || i === 2000 || i === 2001) refused.push(clock.refused);
    }
    expect(refused).toEqual([0, 0, 1001]);
    expect(times()).toHaveLength(1000);
  });

  it('follows a gap after an interruption, where something was given out before it', () => {
    const { clock, out, push } = watched();
    clock.interrupt();
    push([0, 10], [1, 11]);
    clock.interrupt();
    push([2, 12], [3, 13]);
    clock.flush();
    expect(out.map(({ atS, afterGap }) => [atS, afterGap])).toEqual([[10, false], [11, false], [12, true], [13, false]]);
  });

  it('reports the rate of its lines', () => {
    const { clock, push } = watched();
    expect(clock.report()).toBeNull();
    // half a second apart at last, by a clock that is 1 % fast: in 400 steps the usual one has come to 0.505 of its seconds
    for (let i = 0; i < 600; i++) push([i * 0.505, 10 + i * 0.5]);
    expect(clock.report()!.rateHz).toBeCloseTo(2, 3);
    expect(clock.report()!.driftPpm).toBeCloseTo((1 - 0.5 / 0.505) * 1e6, 0);
  });
});
