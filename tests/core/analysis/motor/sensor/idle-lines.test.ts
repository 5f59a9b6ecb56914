import { describe, expect, it } from 'vitest';
import { idleSpectra, isInIdle, isMains } from '../../../../../src/core/analysis/motor/sensor/idle-lines.ts';
import type { Baseline } from '../../../../../src/core/analysis/motor/sensor/baseline.ts';
import { readBy } from '../ripple/columns.ts';

const LENGTH = 64;
/** Windows of 64 readings one behind the other, each a cosine of eight periods of this amplitude. */
const windows = (count: number, sizeA: (w: number) => number): Float32Array => Float32Array.from({ length: count * LENGTH }, (_value, i) => sizeA(Math.floor(i / LENGTH)) * Math.cos((2 * Math.PI * 8 * i) / LENGTH));
const powerOf = (deviationA: Float32Array, ...idle: number[]): number | null => {
  const power = idleSpectra(readBy(deviationA, Int32Array.from(idle)))(LENGTH);
  // that of an amplitude of one, (N/4)²
  return power === null ? null : Number((power[8]! / 16 ** 2).toFixed(4));
};

describe('the spectrum of the idle clamp', () => {
  it('is the mean of the windows that fit into its stretches', () => {
    const deviationA = windows(6, (w) => w);
    expect([powerOf(deviationA, 64, 128), powerOf(deviationA, 64, 192), powerOf(deviationA, 64, 255), powerOf(deviationA, 64, 256), powerOf(deviationA, 64, 128, 192, 320)]).toEqual([1, 2.5, 2.5, 14 / 3, 26 / 3].map((mean) => Number(mean.toFixed(4))));
  });

  it('is none where none fits, and made once', () => {
    expect([powerOf(windows(2, () => 1)), powerOf(windows(2, () => 1), 0, 63), powerOf(windows(2, () => 1), 0, 63, 64, 127)]).toEqual([null, null, null]);
    const spectra = idleSpectra(readBy(windows(2, () => 1), Int32Array.of(0, 128)));
    expect(spectra(LENGTH)).toBe(spectra(LENGTH));
    const few = idleSpectra(readBy(windows(2, () => 1), Int32Array.of(0, 30)));
    expect([few(64), few(64), few(32)]).toEqual([null, null, null]);
    expect(few(16)).toHaveLength(9);
  });

  it('is of every second window, or every third, where there are more than 24', () => {
    const odd = (w: number): number => Number(w % 2 === 1);
    // all 24; of 25 the first, the third ... of 49 the first, the fourth, the seventh
    expect([powerOf(windows(24, odd), 0, 24 * LENGTH), powerOf(windows(25, odd), 0, 25 * LENGTH)]).toEqual([0.5, 0]);
    expect([powerOf(windows(49, (w) => Number(w % 3 !== 0)), 0, 49 * LENGTH), powerOf(windows(49, (w) => Number(w % 3 === 0)), 0, 49 * LENGTH)]).toEqual([0, 1]);
    // they are counted on from one stretch to the next
    expect(powerOf(windows(25, odd), 0, 5 * LENGTH, 5 * LENGTH, 25 * LENGTH)).toBe(0);
  });
});

describe('a line of the idle clamp', () => {
  it('has a tenth of the power of the run in its bin, or in one beside it', () => {
    const idle = Float64Array.of(0, 0, 0, 1.1, 0, 0, 2);
    expect([1, 2, 3, 4, 5, 6].map((bin) => isInIdle(idle, bin, 10))).toEqual([false, true, true, true, true, true]);
    expect([isInIdle(idle, 3, 11), isInIdle(idle, 3, 10.9), isInIdle(Float64Array.of(3, 0, 0), 0, 10), isInIdle(null, 3, 0)]).toEqual([false, true, true, false]);
  });
});

describe('what is left of a mains hum', () => {
  const hum = (amplitudeA: number): Baseline => ({ ...readBy(new Float32Array(0)), hum: { frequencyHz: 50, amplitudeA } });
  it('lies within a hertz, or a bin, of it, with a quarter of what was taken out', () => {
    expect([50, 50.75, 51, 49.25, 49].map((hz) => isMains(hz, 0.25, 0.1, hum(1)))).toEqual([true, true, false, true, false]);
    expect([52.5, 53, 53.5].map((hz) => isMains(hz, 3, 0.1, hum(1)))).toEqual([true, false, false]);
    expect([0.24, 0.25].map((amplitudeA) => isMains(50, 1, amplitudeA, hum(1)))).toEqual([true, false]);
  });

  it('or within half of that of twice its frequency, with less than what was taken out', () => {
    expect([100, 100.25, 100.5, 99.75, 99.5, 101].map((hz) => isMains(hz, 0.25, 0.9, hum(1)))).toEqual([true, true, false, true, false, false]);
    expect([101.25, 101.5].map((hz) => isMains(hz, 3, 0.9, hum(1)))).toEqual([true, false]);
    expect([0.9, 1].map((amplitudeA) => isMains(100, 1, amplitudeA, hum(1)))).toEqual([true, false]);
  });

  it('is nothing where there was none', () => {
    expect(isMains(50, 1, 0.001, readBy(new Float32Array(0)))).toBe(false);
  });
});
