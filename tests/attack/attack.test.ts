import { describe, expect, it } from 'vitest';
import { seededRandom } from '../../src/core/random.ts';
import { ATTACKS, runAttack } from './all.ts';

/** Long enough for each to do all it does at least once; `npm run attack` goes on for minutes and judges the times as well. */
const SHORT_MS = 2500;

describe('a short form of each attack', () => {
  it('takes its part of the whole time, and all of them the whole', () => {
    expect(ATTACKS.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 6);
  });

  it.each(ATTACKS.map((attack) => [attack.name, attack] as const))('%s: every promise is kept', { timeout: 120_000 }, async (_name, attack) => {
    const figures = await runAttack(attack, SHORT_MS, seededRandom(1));
    const judged = figures.filter(({ kept, timed }) => kept !== undefined && timed !== true);
    expect(judged.length).toBeGreaterThan(0);
    expect(judged.filter(({ kept }) => kept === false)).toEqual([]);
  });
});
