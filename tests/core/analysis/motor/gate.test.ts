import { describe, expect, it } from 'vitest';
import { countConstants, countNumbers } from '../../../score/actuation/constants.ts';
import { gateOutcomes, TRACES } from '../../../score/actuation/gate.ts';
import { besideBaseline } from '../../../score/baseline.ts';

/** `npx tsx tests/score/actuation/main-gate.ts` writes the baseline anew, once a change is better and nothing is worse. */
describe('motor traces of all generators', () => {
  it('come out no worse than the committed baseline, each by itself', () => {
    const outcomes = gateOutcomes();
    expect(Object.keys(outcomes)).toHaveLength(TRACES);
    const { names, worse } = besideBaseline('motor', outcomes);
    expect(Object.keys(outcomes).sort()).toEqual(names);
    expect(worse).toEqual([]);
  }, 900_000);

  it('are read with no more named constants than before', () => {
    expect(countConstants()).toBeLessThanOrEqual(MOST_CONSTANTS);
    expect(countNumbers()).toBeLessThanOrEqual(MOST_NUMBERS);
  });
});

/** Each is a place where a number decides something: both may only fall. */
const MOST_CONSTANTS = 90;
const MOST_NUMBERS = 209;
