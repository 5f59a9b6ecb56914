import { describe, expect, it } from 'vitest';
import { readingStepA } from '../../../../src/core/analysis/drain/noise.ts';
import { noise } from '../actuation/traces.ts';

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
