import { describe, expect, it } from 'vitest';
import { gateOutcomes } from '../../../score/drain/gate.ts';
import { countConstants, numbersIn } from '../../../score/drain/constants.ts';
import { besideBaseline } from '../../../score/baseline.ts';

/** `npx tsx tests/score/drain/main-gate.ts` writes the baseline anew, once a change is better and nothing is worse. */
describe('sixty nights of all generators', () => {
  it('come out no worse than the committed baseline, each by itself', () => {
    const outcomes = gateOutcomes();
    expect(Object.keys(outcomes)).toHaveLength(60);
    const { names, worse } = besideBaseline('night', outcomes);
    expect(Object.keys(outcomes).sort()).toEqual(names);
    expect(worse).toEqual([]);
    // a minute of work, more on a busy machine
  }, 600_000);

  it('are read with no more constants than before, with a name or without', () => {
    expect(countConstants()).toBeLessThanOrEqual(MOST_CONSTANTS);
    expect(countConstants()).toBeGreaterThan(0);
  });

  it('count a number wherever it decides something, and no arithmetic', () => {
    expect(numbersIn("/* 7 */ const MOST_A = 3.5; // 8\nif (x[0] > 4 * y && z < 1e-9) return 'code-9' + 2 / 3600 + item5;")).toEqual(['3.5', '4', '1e-9']);
  });
});

/** Each is a place where a number decides something: it may only fall. */
const MOST_CONSTANTS = 40;
