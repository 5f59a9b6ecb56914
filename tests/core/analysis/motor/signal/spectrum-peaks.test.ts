import { describe, expect, it } from 'vitest';
import { peakBetweenBins, SpectrumMaker, spectrumMaker, strongestBin } from '../../../../../src/core/analysis/motor/signal/spectrum.ts';

const powerOf = (values: readonly number[], startIndex = 0): Float64Array => {
  const length = 64;
  const power = new Float64Array(length / 2 + 1);
  new SpectrumMaker(length).addPower(Float64Array.from(values), startIndex, power);
  return power;
};
/** Eight whole periods in 64 readings, so that both halves hold whole ones: neither mean nor slope. */
const cosine = (count: number, sizeA: number): number[] => Array.from({ length: count }, (_value, i) => sizeA * Math.cos((2 * Math.PI * 8 * i) / 64));

describe('a power spectrum', () => {
  it('has (a N/4)² of a sine of amplitude a on its bin, a quarter of that beside it, and nothing farther away (Hann window; Harris 1978)', () => {
    const power = powerOf(cosine(64, 3));
    expect([...power.subarray(6, 11)].map((value) => Number((value / (3 * 16) ** 2).toFixed(9)))).toEqual([0, 0.25, 1, 0.25, 0]);
  });

  it('knows nothing of a mean, nor of a straight line', () => {
    const plain = powerOf(cosine(64, 3));
    for (const [k, value] of powerOf(cosine(64, 3).map((reading, i) => reading + 40 - 0.7 * i)).entries()) expect(value).toBeCloseTo(plain[k]!, 6);
  });

  it('is added to what was there, and begins where it is told to', () => {
    const power = new Float64Array(33);
    const values = Float64Array.from([...new Array<number>(5).fill(99), ...cosine(64, 1)]);
    for (let round = 0; round < 3; round++) spectrumMaker(64).addPower(values, 5, power);
    expect(power[8]).toBeCloseTo(3 * 16 ** 2, 6);
    // one table for each length
    expect(spectrumMaker(64)).toBe(spectrumMaker(64));
    expect(spectrumMaker(128).length).toBe(128);
  });
});

describe('the power of each bin', () => {
  const wave = (length: number, k: number, phase: number) => (i: number): number => Math.cos((2 * Math.PI * k * i) / length + phase);

  it('is that of its own wave, for every length, and for two stretches at once', () => {
    for (const length of [8, 16, 32, 64, 128]) {
      const maker = new SpectrumMaker(length);
      // waves of even numbers of periods have neither a mean nor a slope between the halves
      for (let k = 2; k <= length / 2 - 2; k += 2) {
        const two = Float64Array.from({ length: 2 * length }, (_value, i) => (i < length ? 2 * wave(length, k, 0.7)(i) : 3 * wave(length, k, -1.1)(i)));
        const [one, first, second] = [1, 2, 3].map(() => new Float64Array(length / 2 + 1)) as [Float64Array, Float64Array, Float64Array];
        maker.addPower(two, 0, one);
        maker.addPowers(two, 0, length, first, second);
        for (let bin = 0; bin <= length / 2; bin++) {
          const share = bin === k ? 1 : Math.abs(bin - k) === 1 ? 1 / 4 : 0;
          expect([one[bin], first[bin], second[bin]], `${length} ${k} ${bin}`).toEqual([4, 4, 9].map((squared) => expect.closeTo(squared * share * (length / 4) ** 2, 6)));
        }
      }
    }
  });

  it('reaches to the highest, of readings that are above and below in turn', () => {
    const power = powerOf(Array.from({ length: 64 }, (_value, i) => (-1) ** i));
    // half of the Hann window's sum, N/2, squared; a quarter of it in amplitude beside it
    expect([power[32], power[31]]).toEqual([expect.closeTo(32 ** 2, 6), expect.closeTo(16 ** 2, 6)]);
  });
});

describe('the strongest bin', () => {
  const power = Float64Array.of(9, 1, 4, 2, 4, 8);
  it('is looked for from the first to the last, both included; of two alike it is the first', () => {
    expect([strongestBin(power, 0, 5), strongestBin(power, 1, 4), strongestBin(power, 1, 5), strongestBin(power, 1, 1), strongestBin(power, 3, 2)]).toEqual([0, 2, 5, 1, 3]);
  });
});

describe('a peak between bins', () => {
  it('is where the logarithms of three bins have the top of their parabola: that of a Gaussian line exactly', () => {
    const line = (at: number): Float64Array => Float64Array.from({ length: 8 }, (_value, k) => 7 * Math.exp(-((k - at) ** 2)));
    for (const at of [3.6, 3.9, 4, 4.2, 4.45]) expect(peakBetweenBins(line(at), 4)).toBeCloseTo(at, 9);
  });

  it('is no farther than half a bin away, and on the bin where there is no top', () => {
    // logarithms 0, 1, 1.9: the parabola has its top at (1.9/2)/0.1 = 9.5 bins
    const steep = [0, 1, 1.9].map(Math.exp);
    expect([peakBetweenBins(Float64Array.from(steep), 1), peakBetweenBins(Float64Array.from(steep.toReversed()), 1)]).toEqual([1.5, 0.5]);
    expect([peakBetweenBins(Float64Array.of(2, 2, 2), 1), peakBetweenBins(Float64Array.of(5, 1, 3), 1), peakBetweenBins(Float64Array.of(0, 0, 0), 1), peakBetweenBins(Float64Array.of(0, 1, 0), 1)]).toEqual([1, 1, 1, 1]);
  });
});
