import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/** The motor runs at 4.4 A, is pressed into a soft stop from 2 s and let go at `endS`; the sensor's range ends at 5.37 A. */
function stopBeyondRange(endS: number, topA: number): ReturnType<typeof draw> {
  const n = noise(0.017);
  const amps = (t: number): number => (t >= 2 && t < endS ? topA - (topA - 4.4) * Math.exp(-(t - 2) / 0.15) : press(t, 1, endS, 10, 4.4, 0.023));
  const fine = (a: number): number => Math.round(a / 0.0122) * 0.0122;
  return draw(1000, endS + 1, (t) => Math.min(5.37, fine(amps(t) + n())));
}

describe('a stop beyond the end of the sensor\'s range', () => {
  it('is not missed because the end of the range lies just above the running current', () => {
    const result = analyseActuation(stopBeyondRange(3, 9.5), {});
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations[0]?.stalls[0]?.at_least).toBe(true);
    expect(Math.abs((result.actuations[0]?.run?.median_a as number) / 4.4 - 1)).toBeLessThan(0.02);
  });

  it('is not read at a moment at which the current was still within the range', () => {
    const { stalls } = analyseActuation(stopBeyondRange(3, 9.5), {}).actuations[0];
    // 9.5 - 5.1 e^(-t/0.15) reaches 5.37 A after 32 ms
    expect(stalls[0]?.start_s).toBeGreaterThan(2.028);
  });

  it('is not made out of a short visit to the end of the range', () => {
    expect(analyseActuation(stopBeyondRange(2.15, 9.5), {}).verdict.finding).toBe('normal');
  });
});
