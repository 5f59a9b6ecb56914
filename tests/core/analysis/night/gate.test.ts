import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { gateOutcomes, OUTCOMES } from '../../../score/drain/gate.ts';
import { countConstants } from '../../../score/drain/constants.ts';
import type { Outcome } from '../../../score/situations/night/types.ts';

/** `npx tsx tests/score/drain/main-gate.ts` writes the baseline anew, once a change is better and nothing is worse. */
describe('sixty nights of all generators', () => {
  it('come out no worse than the committed baseline, each by itself', () => {
    const kept = JSON.parse(readFileSync(new URL('../../../score/baseline-night.json', import.meta.url), 'utf8')) as Readonly<Record<string, Outcome>>;
    const outcomes = gateOutcomes();
    expect(Object.keys(outcomes)).toHaveLength(60);
    expect(Object.keys(outcomes).sort()).toEqual(Object.keys(kept).sort());
    const worse = Object.entries(outcomes).filter(([name, outcome]) => OUTCOMES.indexOf(outcome) > OUTCOMES.indexOf(kept[name] ?? 'right'));
    expect(worse).toEqual([]);
    // a minute of work, more on a busy machine
  }, 600_000);

  it('are read with no more named constants than before', () => {
    expect(countConstants()).toBeLessThanOrEqual(MOST_CONSTANTS);
  });
});

/** Each is a place where a number decides something: it may only fall. */
const MOST_CONSTANTS = 60;
