import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import type { LoadKind } from '../../../../../src/core/analysis/results.ts';
import { draw, noise, press } from '../traces.ts';

/** A cold engine of four cylinders at 200 turns a minute: two compressions a turn (common practice, no published source). */
const COMPRESSIONS_HZ = (2 * 200) / 60;

function kindOf(loadA: (afterS: number) => number, peakA = 600): LoadKind {
  const jitter = noise(1);
  return analyseActuation(draw(2000, 4, (atS) => (press(atS, 0.5, 3, peakA, 0) + (atS >= 0.5 && atS < 3 ? loadA(atS - 0.5) : 0)) + jitter()), {}).load.kind;
}

/** up to the new level within a tenth of a second, as a rope tightens */
const joined = (afterS: number, atS: number): number => 1 / (1 + Math.exp(-(afterS - atS) / 0.02));

describe('a load of hundreds of amperes', () => {
  it('is a starter where the current comes and goes with the compressions', () => {
    expect(kindOf((afterS) => 150 + 40 * Math.sin(2 * Math.PI * COMPRESSIONS_HZ * afterS))).toBe('starter');
    // the engine fires after 1.2 s and leaves the starter spinning by itself
    expect(kindOf((afterS) => (afterS < 1.2 ? 150 + 40 * Math.sin(2 * Math.PI * COMPRESSIONS_HZ * afterS) : 60))).toBe('starter');
  });

  it.each([
    ['takes up its load', (afterS: number) => 80 + 90 * joined(afterS, 1.2)],
    ['loses its load', (afterS: number) => 170 - 90 * joined(afterS, 1.2)],
    ['is loaded harder for a while', (afterS: number) => 80 + 90 * (joined(afterS, 1) - joined(afterS, 1.8))],
  ])('is none where a winch %s', (_what, loadA) => {
    expect(kindOf(loadA)).not.toBe('starter');
  });
});
