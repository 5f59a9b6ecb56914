import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { SpectrumMaker } from '../../../../src/core/analysis/motor/signal/spectrum.ts';

/** Power of each bin by the sums that define the discrete Fourier transform, after the slope between the two halves and the mean are taken out and the stretch is windowed (Hann). */
function plainPower(values: readonly number[]): number[] {
  const { length } = values;
  const half = length / 2;
  const sum = (part: readonly number[]): number => part.reduce((total, value) => total + value, 0);
  const slope = (sum(values.slice(half)) - sum(values.slice(0, half))) / half ** 2;
  const mean = sum(values) / length;
  const windowed = values.map((value, i) => (value - mean - slope * (i - (length - 1) / 2)) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / length)));
  return Array.from({ length: half + 1 }, (_, k) => {
    const real = sum(windowed.map((value, i) => value * Math.cos((2 * Math.PI * k * i) / length)));
    const imaginary = sum(windowed.map((value, i) => value * Math.sin((2 * Math.PI * k * i) / length)));
    return real ** 2 + imaginary ** 2;
  });
}

const twoStretches = fc.integer({ min: 2, max: 6 }).chain((bits) => fc.tuple(fc.constant(2 ** bits), fc.array(fc.double({ min: -50, max: 50, noNaN: true }), { minLength: 2 ** (bits + 1), maxLength: 2 ** (bits + 1) })));

function expectClose(power: Float64Array, plain: readonly number[]): void {
  // rounding is relative to the strongest bin, not to each
  const tolerance = 1e-9 * Math.max(1, ...plain);
  plain.forEach((value, k) => expect(Math.abs(power[k]! - value)).toBeLessThanOrEqual(tolerance));
}

describe('the fast power spectrum', () => {
  it('is that of the sums which define the transform, one stretch at a time or two', () => {
    fc.assert(
      fc.property(twoStretches, ([length, values]) => {
        const maker = new SpectrumMaker(length);
        const samples = Float64Array.from(values);
        const bins = length / 2 + 1;
        const one = new Float64Array(bins);
        maker.addPower(samples, length, one);
        expectClose(one, plainPower(values.slice(length)));
        const first = new Float64Array(bins);
        const second = new Float64Array(bins);
        maker.addPowers(samples, 0, length, first, second);
        expectClose(first, plainPower(values.slice(0, length)));
        expectClose(second, plainPower(values.slice(length)));
      }),
      { numRuns: 100 },
    );
  });
});
