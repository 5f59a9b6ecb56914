import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { genuineShare } from '../../../../../src/core/analysis/motor/ripple/alias-odds.ts';

describe('how likely a line is where it seems to be', () => {
  // computed apart from the code, Python 3 math: density exp(-(ln f - ln 300)²/2s²)/f with s = ln(1000/90)/(2*1.645) = 0.732 (15 turns of six ripples to 1 kHz), against all foldings up to 4 kHz
  it.each([
    [300, 1000, 0.79],
    [376, 1000, 0.695],
    [150, 500, 0.489],
    [300, 5000, 1],
    [127, 2000, 0.991],
  ])('%i Hz of a logger of %i samples a second: %f', (hz, rateHz, share) => {
    expect(genuineShare(hz, rateHz)).toBeCloseTo(share, 3);
  });

  it('is less than even beside half the rate, where a line and its mirror are as usual, and grows with the rate', () => {
    fc.assert(
      fc.property(fc.double({ min: 30, max: 380, noNaN: true }), (hz) => {
        expect(genuineShare(hz, 2.001 * hz)).toBeLessThan(0.5);
        expect(genuineShare(hz, 4000)).toBeGreaterThan(genuineShare(hz, 2000));
        expect(genuineShare(hz, 2000)).toBeGreaterThan(genuineShare(hz, 1000));
      }),
      { numRuns: 50 },
    );
  });
});
