import { describe, expect, it } from 'vitest';
import { WAKE_KINDS, wakeCoverage } from '../score/coverage/wakes.ts';

/** Of each kind; the starts alone, so that there can be many. `npm run score -- --coverage` prints them. */
const NIGHTS = 1000;

/** Of a thousand bounds that hold in 95 of 100, 929 to 971 hold in 997 of 1000 such blocks (binomial, three standard deviations): about the goal, 93 to 97. */
describe('95 % bounds of the period of wake-ups', () => {
  it.each(WAKE_KINDS)('hold it: %s', (kind) => {
    const { share, all } = wakeCoverage(kind, 1, NIGHTS);
    expect(all).toBe(NIGHTS);
    expect(Math.abs(share - 0.95)).toBeLessThan(3 * Math.sqrt((0.95 * 0.05) / NIGHTS));
  });
});
