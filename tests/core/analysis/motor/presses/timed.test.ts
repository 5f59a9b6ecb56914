import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise } from '../traces.ts';

/** Filaments, lit for 0.35 s at these moments: 38 A cold, 23 A still warm from the flash before, then 3.5 A. */
function flashes(startsS: readonly number[]) {
  const hiss = noise(0.01, 2);
  return analyseActuation(draw(2000, 6, (atS) => {
    const which = startsS.findLastIndex((startS) => atS >= startS);
    const sinceS = which < 0 ? Infinity : atS - (startsS[which] ?? 0);
    return (sinceS < 0.35 ? 3.5 * (1 + (which === 0 ? 10 : 5.5) * Math.exp(-sinceS / 0.03)) : 0) + hiss();
  }), {});
}

// indicators flash 60 to 120 times a minute (UN Regulation 48)
describe('what switches by the clock', () => {
  it.each([5, 6, 7])('is a press each time, of %i flashes on end: no contact is lost as evenly', (count) => {
    const { actuations, verdict } = flashes(Array.from({ length: count }, (_value, f) => 0.8 + 0.7 * f));
    expect(actuations).toHaveLength(count);
    expect(verdict.finding).not.toBe('intermittent');
  });

  it('is one press of a contact that is lost where the pauses differ', () => {
    expect(flashes([0.8, 1.5, 2.1, 2.85, 3.5]).actuations.length).toBeLessThan(5);
  });
});
