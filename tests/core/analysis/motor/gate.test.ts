import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { countConstants } from '../../../score/actuation/constants.ts';
import { gateOutcomes, OUTCOMES, TRACES } from '../../../score/actuation/gate.ts';
import type { Outcome } from '../../../score/situations/motor/judge.ts';

/** `npx tsx tests/score/actuation/main-gate.ts` writes the baseline anew, once a change is better and nothing is worse. */
describe('motor traces of all generators', () => {
  it('come out no worse than the committed baseline, each by itself', () => {
    const kept = JSON.parse(readFileSync(new URL('../../../score/baseline-motor.json', import.meta.url), 'utf8')) as Readonly<Record<string, Outcome>>;
    const outcomes = gateOutcomes();
    expect(Object.keys(outcomes)).toHaveLength(TRACES);
    expect(Object.keys(outcomes).sort()).toEqual(Object.keys(kept).sort());
    const worse = Object.entries(outcomes).filter(([name, outcome]) => OUTCOMES.indexOf(outcome) > OUTCOMES.indexOf(kept[name] ?? 'right'));
    expect(worse).toEqual([]);
  }, 900_000);

  it('are read with no more named constants than before', () => {
    expect(countConstants()).toBeLessThanOrEqual(MOST_CONSTANTS);
  });
});

/** Each is a place where a number decides something: it may only fall. */
const MOST_CONSTANTS = 280;
