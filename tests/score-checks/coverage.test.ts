import { describe, expect, it } from 'vitest';
import { coverageOf, FIGURES } from '../score/coverage/coverage.ts';

/** Motor tests and nights of the gate; `npm run score -- --coverage` prints the table of a thousand. */
const TESTS = 24;
const NIGHTS = 60;
const SEED = 40_001;

/**
 * A block this small cannot tell 93 % from 97 %. The errors in standard uncertainties can: their root mean square over n traces is 1 within
 * 3/sqrt(2 n) in 997 of 1000 (chi squared), and of n intervals of 95 % at least 95 % less three standard deviations hold.
 */
describe('95 % bounds of every figure, with all errors of a sensor in', () => {
  const coverage = coverageOf(SEED, TESTS, NIGHTS);

  it.each(FIGURES)('hold what flowed: %s', (figure) => {
    const { share, spread, all } = coverage[figure];
    const traces = figure === 'sleep level' || figure === 'pull change' ? NIGHTS : TESTS;
    expect(all).toBeGreaterThanOrEqual(0.9 * traces);
    expect(share).toBeGreaterThan(0.95 - 3 * Math.sqrt((0.95 * 0.05) / traces));
    expect(spread).toBeLessThan(1 + 3 / Math.sqrt(2 * traces));
    expect(spread).toBeGreaterThan(1 - 3 / Math.sqrt(2 * traces));
  });
});
