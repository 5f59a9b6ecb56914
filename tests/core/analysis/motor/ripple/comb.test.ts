import { describe, expect, it } from 'vitest';
import { isLostInComb } from '../../../../../src/core/analysis/motor/ripple/comb.ts';
import type { Line } from '../../../../../src/core/analysis/motor/ripple/ripple-line.ts';

const BIN_HZ = 5;
/** lines at every multiple of a turn of 8 bins (40 Hz), with these powers from the first order on; 0 leaves one out */
function comb(powers: readonly number[], bins = 8): Line[] {
  return powers.flatMap((power, p) => (power === 0 ? [] : [{ bin: bins * (p + 1), at: bins * (p + 1), power }]));
}

describe('a line among those of one turn', () => {
  const fading = [100, 80, 60, 50, 40, 30, 20, 15, 10, 8];

  it('is lost in them where its neighbour is stronger: a bad segment makes all orders', () => {
    const lines = comb(fading);
    for (const order of [3, 5, 9]) expect(isLostInComb(lines[order - 1] as Line, lines, BIN_HZ)).toBe(true);
  });

  it('is the commutation where it is stronger than both beside it', () => {
    const lines = comb(fading.map((power, p) => (p === 7 ? 31 : power)));
    expect(isLostInComb(lines[7] as Line, lines, BIN_HZ)).toBe(false);
    expect(isLostInComb(lines[8] as Line, lines, BIN_HZ)).toBe(true);
  });

  it('is no comb with four orders only: an uneven rotor makes the first ones', () => {
    const rotor = [...comb([100, 80, 60, 50]), { bin: 64, at: 64, power: 20 }];
    expect(isLostInComb(rotor[4] as Line, rotor, BIN_HZ)).toBe(false);
    const five = [...comb([100, 80, 60, 50, 40, 0, 30]), { bin: 64, at: 64, power: 20 }];
    expect(isLostInComb(five[6] as Line, five, BIN_HZ)).toBe(true);
  });

  it('is no comb of a turn where the base is faster than a rotor turns: 8 bins of 15 Hz are 120 a second', () => {
    const lines = comb(fading);
    expect(isLostInComb(lines[4] as Line, lines, 13.7)).toBe(true);
    expect(isLostInComb(lines[4] as Line, lines, 15)).toBe(false);
  });

  it('is none of a comb where it lies between two orders, and the first of one is not lost in it', () => {
    const lines = [...comb(fading), { bin: 36, at: 36.5, power: 5 }];
    expect(isLostInComb(lines[10] as Line, lines, BIN_HZ)).toBe(false);
    expect(isLostInComb(lines[0] as Line, lines, BIN_HZ)).toBe(false);
  });

  it('does not change with the scale of the power', () => {
    const lines = comb(fading.map((power) => power * 1e-9));
    expect(isLostInComb(lines[4] as Line, lines, BIN_HZ)).toBe(true);
  });
});
