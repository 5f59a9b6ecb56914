import { describe, expect, it } from 'vitest';
import type { PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise } from '../traces.ts';

/**
 * A motor of 9 A standing and 3 A running that drives to its stop and is switched on again there. It gains speed with 12 ms; at the stop, and at the end of 16 ms of play, its current is
 * back at 9 A. L/R is 0.3 ms, within one reading.
 */
const STANDS_A = 9;
const gainsSpeed = (atS: number): number => 3 + 6 * Math.exp(-atS / 0.012);
const toTheStop = (atS: number): number => (atS < 0.09 ? gainsSpeed(atS) : STANDS_A);
const throughPlay = (atS: number): number => (atS < 0.008 ? gainsSpeed(atS) : atS < 0.016 ? gainsSpeed(0.016 - atS) : STANDS_A);

/** The same play with a winding of 1 ms, which comes up to 7.8 A before the rotor takes its share. */
const behindSlowWinding = (atS: number): number => (atS < 0.004 ? 7.8 * (1 - Math.exp(-atS / 0.001)) : atS < 0.02 ? 7.8 + 75 * (atS - 0.004) - 2.5 * Math.sin((Math.PI * (atS - 0.004)) / 0.016) : STANDS_A);

/** Presses of unlike lengths, as a hand makes them. */
function presses(currents: readonly ((atS: number) => number)[], rateHz = 2000): PressReading['stalls'][] {
  const hiss = noise(0.01, 3);
  const lengthsS = [0.3, 0.36, 0.42];
  const amps = (t: number): number => currents.reduce((sum, currentA, p) => (t >= 1 + p && t < 1 + p + lengthsS[p]! ? sum + currentA(t - 1 - p) : sum), 0);
  return analyseActuation(draw(rateHz, 4, (t) => amps(t) + hiss()), {}).actuations.map(({ stalls }) => stalls);
}

describe('a motor that is switched on again against its stop', () => {
  it('stands in the press that took it there as well: at the level at which it stands in the others', () => {
    const [first, ...others] = presses([toTheStop, throughPlay, throughPlay]);
    expect(first).toHaveLength(1);
    expect(first?.[0]?.at).toBe('travel');
    expect(Math.abs((first?.[0]?.start_s ?? 0) - 1.09)).toBeLessThan(0.02);
    expect(others.map((stalls) => stalls.map(({ at }) => at))).toEqual([['start'], ['start']]);
  });

  // a coil too comes up slowly to one level, and never falls back
  it('stands behind a slow winding as well, whose current falls back on its way up as the rotor moves', () => {
    expect(presses([behindSlowWinding, behindSlowWinding]).map((stalls) => stalls.length)).toEqual([1, 1]);
    expect(presses([1, 2].map(() => (atS) => STANDS_A * (1 - Math.exp(-atS / 0.008))))).toEqual([[], []]);
  });

  it('is not said to stand by that one press alone: one even level does not tell', () => {
    expect(presses([toTheStop])).toEqual([[]]);
  });
});
