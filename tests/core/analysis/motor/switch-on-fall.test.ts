import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/** Resistance that its own heat raises towards `grow` times its cold value, R' = (P - what it gives off) C: quick at first, slower as it warms. */
function warming(atS: number, onS: number, offS: number, coldA: number, grow: number, warmS: number): number {
  if (atS < onS || atS >= offS) return 0;
  let heat = 0;
  const stepS = 0.002;
  for (let t = onS; t < atS; t += stepS) heat += (stepS / warmS) * (grow / (1 + (grow - 1) * heat) - heat);
  return coldA / (1 + (grow - 1) * heat);
}

describe('what a fall after the switch-on says', () => {
  it('calls a fall that slows down, without a commutator, a heater that warms', () => {
    const wobbleA = noise(0.02);
    const result = analyseActuation(draw(1000, 5, (atS) => warming(atS, 0.5, 4, 30, 3, 1.2) + wobbleA()), {});
    expect(result.load.kind).toBe('heater');
    expect(result.verdict.finding).toBe('normal');
  });

  it('calls an exponential fall of the same length no heater', () => {
    const wobbleA = noise(0.02);
    const result = analyseActuation(draw(1000, 5, (atS) => press(atS, 0.5, 4, 30, 10, 0.25) + wobbleA()), {});
    expect(result.load.kind).not.toBe('heater');
  });

  it('does not call a motor locked that falls by a sixth at once: it turns, if slowly (v = R i + k w)', () => {
    const wobbleA = noise(0.01);
    const result = analyseActuation(draw(1000, 4, (atS) => press(atS, 0.5, 3, 6, 5, 0.03) + wobbleA()), {});
    expect(result.verdict.finding).not.toBe('locked');
    expect(result.actuations[0]?.stalls).toEqual([]);
  });

  it('calls no level that comes up within a millisecond a heater at 4 kS/s: a quick winding shows on its way up, one that is there at once is left open', () => {
    const wobbleA = noise(0.01);
    // L/R 0.15 ms, as the quickest of the motor datasheets: three readings, at 0.81, 0.96 and 0.99 of the level; a hundredth of that: none
    const told = [0.15e-3, 1.5e-6].map((tauS) => {
      const level = (atS: number): number => (atS < 0.5 || atS >= 2 ? 0 : 5 * (1 - Math.exp(-(atS - 0.5) / tauS)));
      const { load, verdict } = analyseActuation(draw(4000, 3, (atS) => level(atS) + wobbleA()), {});
      return [load.kind, verdict.finding];
    });
    expect(told).toEqual([['unknown', 'locked'], ['unknown', 'unclear']]);
  });
});

describe('a drive that lets go in mid-travel', () => {
  const ripple = (atS: number): number => 1 + 0.02 * Math.sin(2 * Math.PI * 300 * atS);
  const gear = (leftA: number, fallS: number) => (atS: number): number => {
    if (atS < 2) return press(atS, 0.5, 4, 20, 5, 0.03) * ripple(atS);
    return atS < 4 ? (leftA + (5 - leftA) * Math.exp(-(atS - 2) / fallS)) * ripple(atS) : 0;
  };

  it('is reported with its moment, and makes the motor suspect', () => {
    const wobbleA = noise(0.02);
    const current = gear(0.6, 0.03);
    const result = analyseActuation(draw(4000, 5, (atS) => current(atS) + wobbleA()), {});
    const slip = result.actuations[0]?.events?.find(({ code }) => code === 'slip');
    expect(slip?.at_s).toBeGreaterThan(1.95);
    expect(slip?.at_s).toBeLessThan(2.1);
    expect(result.verdict.finding).toBe('suspect');
  });

  it('is not seen where half of the load stays', () => {
    const wobbleA = noise(0.02);
    const current = gear(2.5, 0.03);
    const result = analyseActuation(draw(4000, 5, (atS) => current(atS) + wobbleA()), {});
    expect(result.actuations[0]?.events?.some(({ code }) => code === 'slip') ?? false).toBe(false);
  });
});

describe('a drive that holds its place by pulses', () => {
  it('runs unchopped first, and no pulse is a lost contact', () => {
    const wobbleA = noise(0.005);
    // full on for a second, then 4 ms in 20 ms (a position servo: fifty pulses a second)
    const current = (atS: number): number => {
      if (atS < 0.5 || atS >= 3) return 0;
      if (atS < 1.5) return press(atS, 0.5, 3, 3, 0.9, 0.02);
      return (atS * 50) % 1 < 0.2 ? 2.5 : 0;
    };
    const result = analyseActuation(draw(2000, 4, (atS) => current(atS) + wobbleA()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.dropouts).toEqual([]);
    expect(result.problems.map(({ code }) => code)).not.toContain('chopped');
  });
});

describe('where the lead is at the motor', () => {
  it('ends a press with its volts: what a released mechanism drives through the shorted motor is no run', () => {
    const wobbleA = noise(0.01);
    // locked for half a second, then a spring turns the shorted motor back for 80 ms
    const current = (atS: number): number => (atS < 0.5 || atS >= 1.08 ? 0 : atS < 1 ? 2.5 * (1 - Math.exp(-(atS - 0.5) / 0.001)) : 0.5 * Math.sin((Math.PI * (atS - 1)) / 0.08));
    const volts = (atS: number): number => (atS >= 0.5 && atS < 1 ? 12 : 0);
    const result = analyseActuation(draw(10_000, 2, (atS) => current(atS) + wobbleA(), volts), {});
    expect(result.actuations[0]?.end_s).toBeLessThan(1.01);
    expect(result.actuations[0]?.run).toBeNull();
    expect(result.verdict.finding).not.toBe('starved');
  });
});
