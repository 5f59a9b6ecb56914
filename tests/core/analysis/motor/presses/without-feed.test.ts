import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../../analyse.ts';
import { draw, noise, press } from '../traces.ts';

const RATE_HZ = 1000;
const read = (currentA: (t: number) => number, voltageV: (t: number) => number) => {
  const n = noise(0.01);
  return analyseActuation(draw(RATE_HZ, 6, (t) => currentA(t) + n(), voltageV), {});
};
const held = (t: number): number => (t >= 1 && t < 3 ? 12 : 0);

describe('no volts at the motor and no current', () => {
  it('all along is no press and no run, but unpowered', () => {
    const result = read(() => 0, () => 0);
    expect(result.actuations).toEqual([]);
    expect(result.verdict.finding).toBe('unpowered');
  });

  it('between presses is none of theirs: what a falling load drives through the shorted motor flows without volts', () => {
    const driven = (t: number): number => (t >= 3.02 && t < 4 ? 1.2 * (1 - Math.exp(-(t - 3.02) / 0.05)) : 0);
    const [first, ...more] = read((t) => press(t, 1, 3, 12, 4) + driven(t), (t) => held(t) - (t >= 1 && t < 3 ? 0.05 * press(t, 1, 3, 12, 4) : 0)).actuations;
    expect(more).toEqual([]);
    expect(Math.abs((first?.end_s ?? 0) - 3)).toBeLessThan(0.03);
    expect(first?.run?.end_s ?? Infinity).toBeLessThan(3.03);
  });

  it('is a dead motor where the volts are there', () => {
    const result = read(() => 0, held);
    expect(result.actuations).toEqual([]);
    expect(result.verdict.finding).toBe('dead');
  });
});
