import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise } from '../traces.ts';

/** L/R of a winding, s (motor datasheets: 0.14 to 3 ms) */
const WINDING_S = 0.0015;

/** One press of 2 s at 10 A, behind a switch-on so much higher that dies away with 30 ms. */
function find(above: number): string {
  const jitter = noise(0.01, 2);
  return analyseActuation(draw(4000, 4, (atS) => (atS >= 1 && atS < 3 ? 10 * (1 - Math.exp(-(atS - 1) / WINDING_S)) * (1 + above * Math.exp(-(atS - 1) / 0.03)) : 0) + jitter()), {}).verdict.finding;
}

describe('one level that is all there is', () => {
  // in the tenth of a second that a switch-on takes a standing winding warms by a few kelvin at the most, 0.39 % each (IEC 60228)
  it.each([[0, 'locked'], [0.03, 'locked'], [0.08, 'unclear']] as const)('behind a switch-on %s of it higher is %s: what is higher by a twentieth may have gained some speed', (above, finding) => {
    expect(find(above)).toBe(finding);
  });
});
