import { describe, expect, it } from 'vitest';
import { ArmSignal } from '../../../src/daemon/recording/arm-signal.ts';

/** Pushes values a tenth of a second apart. */
function pushed(signal: ArmSignal, ...values: number[]): ArmSignal {
  for (const [i, value] of values.entries()) signal.push(i / 10, value);
  return signal;
}

/** 0, a, 0, a …: every step from sample to sample is a. */
const toggling = (count: number, a: number): number[] => Array.from({ length: count }, (_, i) => (i % 2) * a);

/** standard deviation of a normal sample by the median of absolute steps: 1.4826 (of the median absolute deviation) over the square root of 2 (a step is a difference of two samples) */
const SIGMA_OF_STEP = 1.4826 / Math.SQRT2;

describe('the last six samples', () => {
  it('have a level from the third on and a change from the sixth', () => {
    expect(pushed(new ArmSignal(), 1, 2).levelA).toBeNaN();
    expect(pushed(new ArmSignal(), 1, 9, 2).levelA).toBe(2);
    expect(pushed(new ArmSignal(), 1, 9, 2, 7, 8).changeA).toBeNaN();
    // medians 2 and 7
    expect(pushed(new ArmSignal(), 1, 9, 2, 7, 8, 3).changeA).toBe(5);
  });

  it('begin anew after missing time, with the noise still known', () => {
    const signal = pushed(new ArmSignal(), ...toggling(17, 1));
    signal.gap();
    expect(signal.levelA).toBeNaN();
    expect(pushed(signal, 100, 100).levelA).toBeNaN();
    expect(pushed(signal, 100).levelA).toBe(100);
    expect(signal.noiseA).toBeCloseTo(SIGMA_OF_STEP, 4);
  });

  it('have a steepest step each way, by their times', () => {
    const signal = pushed(new ArmSignal(), 0, 1, 5, 5, 3, 3);
    expect(signal.steepest(1)).toBeCloseTo(40, 9);
    expect(signal.steepest(-1)).toBeCloseTo(20, 9);
    // the first step and the last count as the others do
    expect(pushed(new ArmSignal(), 0, 7, 7, 7, 7, 7).steepest(1)).toBeCloseTo(70, 9);
    expect(pushed(new ArmSignal(), 7, 7, 7, 7, 7, 0).steepest(-1)).toBeCloseTo(70, 9);
    expect(pushed(new ArmSignal(), 7, 7, 7, 7, 7, 7).steepest(1)).toBe(0);
  });

  it('passed a value with the first of the last three that is at it or past it', () => {
    expect(pushed(new ArmSignal(), 9, 9, 9, 5, 4, 7).firstPast(5)).toBeCloseTo(0.3, 9);
    expect(pushed(new ArmSignal(), 9, 9, 9, 4, 5, 7).firstPast(5)).toBeCloseTo(0.4, 9);
    expect(pushed(new ArmSignal(), 9, 9, 9, 4, 4, 7).firstPast(5)).toBeCloseTo(0.5, 9);
    expect(pushed(new ArmSignal(), 1, 2, 3, 4, 5, 6).beforeLastS).toBeCloseTo(0.4, 9);
  });
});

describe('the noise', () => {
  it('is known after sixteen steps, then judged every 64', () => {
    expect(pushed(new ArmSignal(), ...toggling(16, 1))).toMatchObject({ knowsNoise: false, noiseA: 0 });
    const signal = pushed(new ArmSignal(), ...toggling(17, 1));
    expect(signal.knowsNoise).toBe(true);
    expect(signal.noiseA).toBeCloseTo(SIGMA_OF_STEP, 4);
    // the last sample was 0: 47 steps of 2 A make 63, of which 16 are of 1 A
    const twos = toggling(49, 2).slice(1);
    pushed(signal, ...twos.slice(0, 47));
    expect(signal.noiseA).toBeCloseTo(SIGMA_OF_STEP, 4);
    pushed(signal, twos[47]!);
    expect(signal.noiseA).toBeCloseTo(2 * SIGMA_OF_STEP, 4);
  });

  it('is that of the last 512 steps', () => {
    // 512 steps of 2 A, then of 1 A: with 256 of each the median lies between, with 320 it is 1 A
    const signal = pushed(new ArmSignal(), ...toggling(513, 2));
    expect(signal.noiseA).toBeCloseTo(2 * SIGMA_OF_STEP, 4);
    const ones = toggling(321, 1).slice(1);
    pushed(signal, ...ones.slice(0, 256));
    expect(signal.noiseA).toBeCloseTo(1.5 * SIGMA_OF_STEP, 4);
    pushed(signal, ...ones.slice(256));
    expect(signal.noiseA).toBeCloseTo(SIGMA_OF_STEP, 4);
  });
});
