import { describe, expect, it } from 'vitest';
import { withVisits } from '../../../../../src/core/analysis/night/wake-ups/visits.ts';
import type { WakeUp } from '../../../../../src/core/analysis/results.ts';
import { drawn, type Drawn } from '../drawn.ts';

const OFF: Drawn[] = [[2, 60], [0.5, 300]];
const wake = (startS: number, lengthS: number, peakA = 2, cause: WakeUp['cause'] = null): WakeUp => ({ start_s: startS, end_s: startS + lengthS, peak_a: peakA, charge_c: 1, cause });
const lengthOf = (levels: readonly Drawn[]): number => levels.reduce((sum, [, lengthS]) => sum + lengthS, 0);
/** The causes of one wake-up of these levels, an hour after the vehicle fell asleep by `OFF`. */
function causeOf(levels: readonly Drawn[], peakA = 2, ending = OFF, cause: WakeUp['cause'] = null): WakeUp['cause'] {
  const readings = drawn([...ending, [0.02, 3600], ...levels, [0.02, 600]]);
  return withVisits(readings, lengthOf(ending), [wake(lengthOf(ending) + 3600, lengthOf(levels), peakA, cause)], 0.02)[0]!.cause;
}

describe('somebody at the vehicle', () => {
  it('sets off the time-outs of key-off once more: its last level within a tenth, for as long within a fifth', () => {
    expect(causeOf([[3, 30], [0.5, 300]])).toBe('person');
    expect([239, 240, 375, 376].map((lengthS) => causeOf([[3, 30], [0.5, lengthS]]))).toEqual([null, 'person', 'person', null]);
    expect([0.449, 0.451, 0.555, 0.556].map((levelA) => causeOf([[3, 30], [levelA, 300]]))).toEqual([null, 'person', 'person', null]);
    expect([causeOf([[3, 30], [0.5, 300]], 2, []), causeOf([])]).toEqual([null, null]);
  });

  it('has a door lamp or two: 0.8 A above the rest (two lamps of 5 W), for half a minute', () => {
    expect([0.81, 0.83].map((peakA) => causeOf([[3, 30], [0.5, 300]], peakA))).toEqual([null, 'person']);
    expect([28, 29, 30].map((lengthS) => causeOf([[3, lengthS - 24], [0.5, 24]], 2, [[2, 60], [0.5, 24]]))).toEqual([null, null, 'person']);
  });

  it('leaves more stages than one module has: three, each lower', () => {
    expect([causeOf([[3, 20], [2, 20]]), causeOf([[3, 20], [2, 20], [1, 20]]), causeOf([[1, 20], [2, 20], [1.5, 20]]), causeOf([[1, 20], [2, 20], [3, 20]])]).toEqual([null, 'person', null, null]);
    // alike within a tenth are one, and less than 4 s are none
    expect([causeOf([[3, 20], [2.69, 20], [1, 20]]), causeOf([[3, 20], [2.71, 20], [1, 20]])]).toEqual(['person', null]);
    expect([3, 4].map((lengthS) => causeOf([[3, lengthS], [2, 20], [1, 20]]))).toEqual([null, 'person']);
    // 3 A for 10 s and 2.72 A for 90 s are 2.748 A: 2.48 A lie within a tenth of it
    expect(causeOf([[3, 10], [2.72, 90], [2.48, 20], [1, 20]])).toBeNull();
    expect(causeOf([[3, 90], [2.72, 10], [2.48, 20], [1, 20]])).toBe('person');
  });

  it('is not asked about where the cause is known', () => {
    expect(causeOf([[3, 20], [2, 20], [1, 20]], 2, OFF, 'fuse')).toBe('fuse');
  });

  it('comes at no period: six that keep time are a module of many stages', () => {
    const stages: Drawn[] = [[3, 20], [2, 20], [1, 20]];
    const causes = (sleepsS: readonly number[]): unknown[] => {
      const levels: Drawn[] = [...OFF];
      const wakes: WakeUp[] = [];
      for (const sleepS of sleepsS) {
        levels.push([0.02, sleepS]);
        wakes.push(wake(lengthOf(levels), 60));
        levels.push(...stages);
      }
      const found = withVisits(drawn([...levels, [0.02, 600]]), 360, wakes, 0.02);
      return [...new Set(found.map(({ cause }) => cause))];
    };
    expect([causes([600, 600, 600, 600, 600]), causes([600, 600, 600, 600, 600, 600])]).toEqual([['person'], [null]]);
    expect(causes([600, 100, 2000, 300, 900, 50])).toEqual(['person']);
  });
});
