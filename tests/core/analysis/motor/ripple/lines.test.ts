import { describe, expect, it } from 'vitest';
import { clearOfNoise } from '../../../../../src/core/analysis/motor/ripple/line-odds.ts';
import { boundOf, follow, isThroughout, withoutStrays } from '../../../../../src/core/analysis/motor/ripple/line-track.ts';
import { chooseRipple, clearFactor, findLines, firstOf, lineAt, type Line } from '../../../../../src/core/analysis/motor/ripple/ripple-line.ts';
import { byOrder, isAliasByOrder, isRotors } from '../../../../../src/core/analysis/motor/ripple/ripple-order.ts';
import { couldBeRotation } from '../../../../../src/core/analysis/motor/ripple/rotation-line.ts';
import { isSure, orderOf } from '../../../../../src/core/analysis/motor/ripple/rotation-rate.ts';
import { peakBetweenBins, SpectrumMaker, strongestBin } from '../../../../../src/core/analysis/motor/signal/spectrum.ts';

describe('what noise makes of a line', () => {
  // ln(3/0.001)/ln 2 = 11.55; SciPy 1.17.1: chi2.ppf(1 - 0.001/60, 6)/chi2.ppf(0.5, 6) = 5.974
  it('is passed by the highest of some bins with the false-alarm probability', () => {
    expect(clearOfNoise(3, 1)).toBeCloseTo(11.55, 2);
    expect(clearOfNoise(60, 3)).toBeCloseTo(5.974, 3);
  });

  it('falls as more spectra are averaged and rises with the bins that are looked at', () => {
    expect(clearOfNoise(10, 4)).toBeLessThan(clearOfNoise(10, 2));
    expect(clearOfNoise(20, 4)).toBeGreaterThan(clearOfNoise(10, 4));
  });
});

describe('a line of a spectrum', () => {
  const power = (lines: Readonly<Record<number, number>>, length = 129): Float64Array => Float64Array.from({ length }, (_value, k) => lines[k] ?? 1);
  const floors = new Float64Array(129).fill(1);

  // SciPy 1.17.1: chi2.ppf(1 - 0.001/129, 2 n)/chi2.ppf(0.5, 2 n) for n = 1, 2 and 7, the roots of the numbers of windows
  it.each([[1, 16.977], [4, 8.645], [49, 3.702]])('is clear in the mean of %i spectra from %d times its surroundings on', (averaged, factor) => {
    expect(clearFactor(129, averaged)).toBeCloseTo(factor, 2);
    expect(findLines(power({ 40: factor * 1.01 }), floors, averaged, 3).map(({ bin }) => bin)).toEqual([40]);
    expect(findLines(power({ 40: factor * 0.99 }), floors, averaged, 3)).toEqual([]);
  });

  it('is not looked for below the lowest bin, nor on the last', () => {
    expect(findLines(power({ 5: 100, 128: 100 }), floors, 1, 6)).toEqual([]);
  });

  // a Hann window's main lobe is a parabola in the logarithm to some hundredths of a bin
  it.each([0, 0.1, 0.25, 0.4])('is placed between bins: %d past bin 20', (past) => {
    const maker = new SpectrumMaker(256);
    const found = new Float64Array(129);
    maker.addPower(Float64Array.from({ length: 256 }, (_value, i) => Math.sin((2 * Math.PI * (20 + past) * i) / 256 + 0.3)), 0, found);
    expect(Math.abs(peakBetweenBins(found, strongestBin(found, 2, 127)) - 20 - past)).toBeLessThan(0.04);
  });

  it('has the same power in two stretches read at once as in each alone', () => {
    const maker = new SpectrumMaker(64);
    const values = Float64Array.from({ length: 160 }, (_value, i) => Math.sin(0.7 * i) + Math.cos(1.3 * i * i));
    const [both1, both2, alone1, alone2] = Array.from({ length: 4 }, () => new Float64Array(33));
    maker.addPowers(values, 0, 90, both1 as Float64Array, both2 as Float64Array);
    maker.addPower(values, 0, alone1 as Float64Array);
    maker.addPower(values, 90, alone2 as Float64Array);
    for (let k = 0; k <= 32; k++) {
      expect(both1?.[k]).toBeCloseTo(alone1?.[k] ?? NaN, 8);
      expect(both2?.[k]).toBeCloseTo(alone2?.[k] ?? NaN, 8);
    }
  });

  // the floor of 1 is less than a quarter of the mean; 522 in seven windows make a mean of 75, 507 of 72
  it('goes through a run where most windows have it, each a quarter of its mean', () => {
    const windows = (powers: readonly number[]) => powers.map((height) => power({ 40: height }));
    const throughout = (powers: readonly number[]): boolean => isThroughout({ bin: 40, power: powers.reduce((sum, height) => sum + height, 0) }, windows(powers));
    expect(throughout([40, 40, 40, 40, 0, 0, 0])).toBe(true);
    expect(throughout([40, 40, 40, 0, 0, 0])).toBe(false);
    expect(throughout([100, 20, 20, 20, 322, 20, 20])).toBe(true);
    expect(throughout([100, 17, 17, 17, 322, 17, 17])).toBe(false);
  });

  it('goes through a run though it wanders by 5 % of its place, and not by more', () => {
    const wandering = (bins: readonly number[]): boolean => isThroughout({ bin: 60, power: 40 * bins.length }, bins.map((bin) => power({ [bin]: 40 })));
    expect(wandering([57, 60, 63])).toBe(true);
    expect(wandering([55, 60, 65])).toBe(false);
  });

  it('is found again within 5 % of its place, and not where the edge of that is the highest', () => {
    expect(lineAt(power({ 41: 50 }), floors, 4, 40)?.bin).toBe(41);
    expect(lineAt(power({ 42: 50 }), floors, 4, 40)).toBeNull();
    // 8.645 times the surroundings
    expect(lineAt(power({ 41: 8.6 }), floors, 4, 40)).toBeNull();
    expect(lineAt(power({ 41: 8.7 }), floors, 4, 40)?.bin).toBe(41);
  });
});

describe('the track of a line', () => {
  it('is followed from window to window within 5 % of where all together have it', () => {
    const window = (bin: number): Float64Array => Float64Array.from({ length: 129 }, (_value, k) => Math.exp(-((k - bin) ** 2)));
    const track = follow([window(50), window(52), window(48), window(80)], 50, 5);
    expect(track.slice(0, 3).map((hz) => Math.round(hz))).toEqual([250, 260, 240]);
    expect(track[3]).toBeLessThan(5 * 55);
  });

  // middle 100, median distance 1, limit 3.7 x 1.48 = 5.5: 107 is a stray and takes the middle
  it('loses windows whose line was lost in noise to its middle', () => {
    expect(withoutStrays([99, 100, 101, 107, 100])).toEqual([99, 100, 101, 100, 100]);
    expect(withoutStrays([99, 100, 101, 104])).toEqual([99, 100, 101, 104]);
  });

  // 8 windows count as 4: t(3) = 3.182, s of 1..8 = 2.449, 3.182 x 2.4495/2 = 3.8975; and a tenth of a bin of 5 Hz = 0.5: root of squares 3.929
  it('has bounds by the scatter of its windows, half of them independent, and never better than a line is placed', () => {
    expect(boundOf([1, 2, 3, 4, 5, 6, 7, 8], 5)).toBeCloseTo(3.929, 2);
    expect(boundOf([3, 3, 3, 3], 5)).toBeCloseTo(0.5, 6);
    expect(boundOf([3, 3], 5)).toBe(2.5);
  });
});

describe('the ripple among the lines', () => {
  const line = (at: number, power: number): Line => ({ bin: Math.round(at), at, power });

  it('is the strongest where that is too fast for the rotor: 4 x 110 Hz', () => {
    const lines = [line(20, 5), line(90, 10)];
    expect(chooseRipple(lines, undefined, 5)?.at).toBe(90);
    expect(chooseRipple([], undefined, 5)).toBeNull();
  });

  it('is a line that is more than a harmonic of the strongest one: at six times it a rectified wave has 3/143 of the amplitude', () => {
    const harmonic = (3 / 143) ** 2;
    expect(chooseRipple([line(10, 1), line(60, 4.1 * harmonic)], undefined, 5)?.at).toBe(60);
    expect(chooseRipple([line(10, 1), line(60, 3.9 * harmonic)], undefined, 5)?.at).toBe(10);
  });

  it('is the multiple of the rotation that was typed in', () => {
    const lines = [line(8, 10), line(40, 3), line(80, 4)];
    expect(chooseRipple(lines, 10, 5)?.at).toBe(80);
    expect(chooseRipple(lines, 5, 5)?.at).toBe(40);
  });

  it('is the first where only its second harmonic stood clear of the hum', () => {
    const [first, second] = [line(20, 9), line(40, 3)];
    expect(firstOf([first, second], second)).toBe(first);
    expect(firstOf([line(20, 2), second], second)).toBe(second);
  });

  it('may be the rotation itself where its ripple would be out of sight, too weak or beyond a slow clamp', () => {
    const seen = { hz: 50, power: 1, floorAt: () => 1e-5 };
    // 0.025 squared of the power is 6.25e-4: above the floor, so its ripple would have shown
    expect(couldBeRotation(seen, undefined, Infinity, 1000)).toBe(false);
    expect(couldBeRotation({ ...seen, floorAt: () => 1e-3 }, undefined, Infinity, 1000)).toBe(true);
    expect(couldBeRotation(seen, undefined, Infinity, 299)).toBe(true);
    expect(couldBeRotation(seen, undefined, 20, 1000)).toBe(false);
    expect(couldBeRotation(seen, undefined, 1, 1000)).toBe(false);
    expect(couldBeRotation({ ...seen, hz: 110 }, undefined, 1, 299)).toBe(false);
    // ten ripples a turn at 8 turns a second or more are a motor of usual speed
    expect(couldBeRotation({ ...seen, hz: 80, floorAt: () => 1 }, 10, Infinity, 1000)).toBe(false);
    expect(couldBeRotation({ ...seen, hz: 79, floorAt: () => 1 }, 10, Infinity, 1000)).toBe(true);
  });
});

describe('orders of the rotation', () => {
  const turn = { hz: 40, uncertaintyHz: 0.02 };

  it('are whole numbers within 0.05, or none', () => {
    expect(orderOf(400, turn)).toBe(10);
    expect(orderOf(401.9, turn)).toBe(10);
    expect(orderOf(402.1, turn)).toBeNull();
  });

  // 2 x order x 0.02/40 = 0.25 at order 250
  it('are not known where the turn is not known well enough', () => {
    expect(isSure(249 * 40, turn)).toBe(true);
    expect(isSure(251 * 40, turn)).toBe(false);
    expect(orderOf(251 * 40, turn)).toBeNull();
  });

  it('from the second to the fifth are a rotor\'s: three segments and two brushes make six commutations a turn', () => {
    expect([1, 2, 5, 6, 10].map((order) => isRotors(order * 40, turn))).toEqual([false, true, true, false, false]);
    expect(isRotors(90, turn)).toBe(false);
  });

  it('that are odd are segments where the line at twice the rate stands out, by twice the harmonic of a rectified wave, 4/25 of the power: commutations come in even numbers', () => {
    const segments: Line = { bin: 104, at: 104, power: 10 };
    const commutations: Line = { bin: 208, at: 208, power: 1.7 };
    // 104 bins of 5 Hz are 13 turns of 40 Hz
    expect(byOrder(segments, [segments, commutations], turn, 5, undefined)).toBe(commutations);
    expect(byOrder(segments, [segments, { ...commutations, power: 1.5 }], turn, 5, undefined)).toBe(segments);
    expect(byOrder(segments, [segments, commutations], turn, 5, 13)).toBe(segments);
    expect(byOrder({ bin: 80, at: 80, power: 10 }, [{ bin: 160, at: 160, power: 9 }], turn, 5, undefined).at).toBe(80);
  });

  it('that are none show a folded line where the rate less it is an even order: 2000 - 770 = 1230, 60 turns of 20.5', () => {
    const slow = { hz: 20.5, uncertaintyHz: 0.005 };
    expect(isAliasByOrder(770, slow, 2000)).toBe(true);
    expect(isAliasByOrder(40 * 20.5, slow, 2000)).toBe(false);
    expect(isAliasByOrder(770, slow, 20_000)).toBe(false);
  });
});
