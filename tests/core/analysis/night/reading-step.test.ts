import { describe, expect, it } from 'vitest';
import { readingStepA } from '../../../../src/core/analysis/night/levels/noise.ts';
import { noise } from '../motor/traces.ts';
import { read, recording } from './recording.ts';

const rounded = (count: number, levelA: (i: number) => number, stepA: number): Float32Array =>
  Float32Array.from({ length: count }, (_value, i) => Math.round(levelA(i) / stepA) * stepA);

describe('the step of a reading', () => {
  it('is seen at rest even when the readings before, awake, spread over thousands of steps', () => {
    const wobble = noise(0.0005);
    const awake = noise(0.7, 2);
    // a meter of 1 mA resolution, two fifths of the recording awake at 1 to 5 A
    const values = rounded(4000, (i) => (i < 1600 ? 3 + awake() : 0.0923 + wobble()), 0.001);
    expect(readingStepA(values)).toBeCloseTo(0.001, 6);
  });

  it('is none where readings lie between all steps', () => {
    const wobble = noise(0.0005);
    expect(readingStepA(Float32Array.from({ length: 4000 }, () => 0.0923 + wobble()))).toBe(0);
  });
});

describe('the bounds of a level read in coarse steps', () => {
  // 100 A / 75 mV shunt on a 2.5 uV step: 3.33 mA (TI INA226 data sheet)
  const stepA = 1 / 300;

  it.each([0, 0.05, 0.15, 0.3, 0.6])('hold the true level wherever it lies between two steps, noise of %f steps', (sigma) => {
    for (let part = 0; part < 10; part++) {
      const levelA = (9 + part / 10) * stepA;
      const trace = recording(1500, 2, sigma * stepA, (atS) => (atS < 200 ? 0.9 + 0.2 * Math.sin(atS) : levelA), part + 1);
      const asleep = read({ ...trace, currentA: trace.currentA.map((value) => Math.round(value / stepA) * stepA) }, [], { zeroUncertaintyA: 0 }).asleep;
      expect(asleep?.low_a).toBeLessThanOrEqual(levelA + 2e-5);
      expect(asleep?.high_a).toBeGreaterThanOrEqual(levelA - 2e-5);
      // half a step is the most that rounding can hide
      expect((asleep?.high_a ?? 1) - (asleep?.low_a ?? 0)).toBeLessThan(1.3 * stepA);
    }
  });
});
