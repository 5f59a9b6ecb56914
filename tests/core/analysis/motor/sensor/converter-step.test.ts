import { describe, expect, it } from 'vitest';
import { converterStep, shortScatter, stepUncertainty } from '../../../../../src/core/analysis/motor/sensor/converter-step.ts';
import { noise } from '../traces.ts';

describe('what the steps of a converter leave open', () => {
  it('is the middle 95 % of one step, and next to nothing once half a step of scatter washes it out (Widrow 1996)', () => {
    // exp(-2 pi² (1/4 - 1/12)) = exp(-3.289868) = 0.0372588
    expect([stepUncertainty(0.2, 0), stepUncertainty(0.2, 0.1)]).toEqual([expect.closeTo(0.095, 12), expect.closeTo(0.095 * 0.0372588, 8)]);
    // the scatter of an even spread over one step, step/sqrt(12), is no scatter beside it; twice its variance is: exp(-2 pi²/12) = 0.193025
    expect([stepUncertainty(1, 1 / Math.sqrt(12)), stepUncertainty(1, Math.sqrt(2 / 12))]).toEqual([expect.closeTo(0.475, 12), expect.closeTo(0.475 * 0.193025, 6)]);
    expect([stepUncertainty(0, 1), stepUncertainty(-1, 1), stepUncertainty(NaN, 1)]).toEqual([0, 0, 0]);
  });

  it('goes with the unit: of ten times the step and the scatter it is ten times', () => {
    expect(stepUncertainty(2, 0.7)).toBeCloseTo(10 * stepUncertainty(0.2, 0.07), 12);
  });
});

describe('the step of the converter', () => {
  const stepped = (count: number, stepA: number): Float32Array => {
    const hiss = noise(0.5);
    return Float32Array.from({ length: count }, () => Math.round(hiss() / stepA) * stepA);
  };
  it('is read off the raw values, of a long trace off 20,001 of them all over it', () => {
    expect([converterStep(stepped(2000, 0.25)), converterStep(stepped(20_001, 0.25)), converterStep(stepped(50_000, 0.25))]).toEqual([0.25, 0.25, 0.25]);
    // the first 20,001 of these 60,000 stand still
    const late = stepped(60_000, 0.25).fill(0, 0, 30_000);
    expect(converterStep(late)).toBe(0.25);
  });

  it('is 0 where they lie on no raster', () => {
    const hiss = noise(0.5);
    expect(converterStep(Float32Array.from({ length: 3000 }, () => hiss()))).toBe(0);
  });
});

describe('the scatter of readings within short stretches', () => {
  it('is that of normal readings, by the median difference of those five apart', () => {
    // a ramp of 1 A a reading: 5 x 1.482602/sqrt(2)
    expect(shortScatter(Float64Array.from({ length: 40 }, (_value, i) => i))).toBeCloseTo(5.241790, 5);
    const hiss = noise(0.2, 9);
    const slow = Float64Array.from({ length: 20_000 }, (_value, i) => hiss() + 3 * Math.sin(i / 4000));
    expect(Math.abs(shortScatter(slow) / 0.2 - 1)).toBeLessThan(0.05);
  });

  it('is not known of fewer than ten', () => {
    const zigzag = (count: number): Float64Array => Float64Array.from({ length: count }, (_value, i) => i % 2);
    // 1.482602/sqrt(2)
    expect([shortScatter(zigzag(9)), shortScatter(zigzag(10))]).toEqual([0, expect.closeTo(1.048358, 5)]);
  });
});
