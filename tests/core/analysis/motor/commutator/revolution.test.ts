import { describe, expect, it } from 'vitest';
import { findRevolutions } from '../../../../../src/core/analysis/motor/commutator/revolution.ts';
import { noise } from '../traces.ts';
import { sampledAt } from '../ripple/columns.ts';

const RATE_HZ = 5000;
const SECONDS = 2;
const PER_TURN = 12;

/** A run at 4 A with a wave once a turn of `turnA` and a ripple twelve times a turn; the speed goes in a straight line from one rate to the other. */
function turnsOf(fromHz: number, toHz: number, { turnA = 0.1, notch = 0, known = true } = {}) {
  const hiss = noise(0.01, 4);
  const values = Float32Array.from({ length: SECONDS * RATE_HZ }, (_value, i) => {
    const atS = i / RATE_HZ;
    const turned = fromHz * atS + ((toHz - fromHz) * atS * atS) / (2 * SECONDS);
    return 4 + turnA * Math.cos(2 * Math.PI * turned) + 0.08 * Math.cos(2 * Math.PI * PER_TURN * turned) - (turned % 1 < 1 / PER_TURN ? notch : 0) + hiss();
  });
  const rippleHz = (PER_TURN * (fromHz + toHz)) / 2;
  return findRevolutions(values, { startIndex: 0, endIndex: values.length }, sampledAt(RATE_HZ, values.length), known ? rippleHz : null, known ? PER_TURN : undefined);
}

describe('the turns of a rotor by what comes once a turn', () => {
  // 40 a second for two seconds are 80
  it('are followed at an even speed', () => {
    const found = turnsOf(40, 40);
    expect(found?.rateHz).toBeCloseTo(40, 1);
    expect(found?.perRevolution).toBe(PER_TURN);
    expect(Math.abs((found?.turns.at(-1) ?? 0) - 80)).toBeLessThan(0.1);
  });

  // from 39 to 41 a second: the mean, 40, for two seconds; after the first half (39 + 39.5...40)/2: 39.5
  it('are followed through a speed that changes by some per cent', () => {
    const found = turnsOf(39, 41);
    expect(Math.abs((found?.turns.at(-1) ?? 0) - 80)).toBeLessThan(0.2);
    expect(Math.abs((found?.turns[RATE_HZ] ?? 0) - 39.5)).toBeLessThan(0.2);
  });

  it('are found by the comb of a notch where nobody typed in the ripples a turn', () => {
    const found = turnsOf(40, 40, { notch: 0.6, known: false });
    expect(found?.rateHz).toBeCloseTo(40, 1);
  });

  it('are none where nothing comes once a turn', () => {
    expect(turnsOf(40, 40, { turnA: 0 })).toBeNull();
    expect(turnsOf(40, 40, { turnA: 0, known: false })).toBeNull();
  });
});
