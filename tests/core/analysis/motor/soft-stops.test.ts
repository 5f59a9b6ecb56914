import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/** Ripple of a motor of this speed share: its size follows the current, its frequency the speed, and the last bars before it stalls wave slowly. */
function ripple(): (rateHz: number, speed: number, currentA: number) => number {
  let turns = 0;
  return (rateHz, speed, currentA) => {
    turns += (600 * Math.max(0, speed)) / rateHz;
    return 0.02 * currentA * Math.sin(2 * Math.PI * turns);
  };
}

/** Runs at 4 A and is pressed from 2 s into a soft stop until it stalls at 14 A: the current climbs as the speed falls. */
function softStop(climbS: number, endS: number): ReturnType<typeof draw> {
  const rateHz = 2000;
  const n = noise(0.005);
  const wave = ripple();
  return draw(rateHz, endS + 1, (t) => {
    const levelA = t >= 2 && t < endS ? 14 - 10 * Math.exp(-(t - 2) / climbS) : press(t, 1, endS, 13.6, 4, 0.036);
    const speed = levelA === 0 ? 0 : (14 - levelA) / 10 - 0.01;
    return levelA + wave(rateHz, speed, levelA) + n();
  });
}

describe('a motor pressed into a soft stop', () => {
  it('is not called normal because its current still climbs and waves before it stalls', () => {
    const result = analyseActuation(softStop(0.25, 3), {});
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations[0]?.stalls).toHaveLength(1);
    expect(result.actuations[0]?.stalls[0]?.at).toBe('travel');
    expect(Math.abs((result.actuations[0]?.stalls[0]?.level_a as number) / 14 - 1)).toBeLessThan(0.05);
    expect(Math.abs((result.actuations[0]?.run?.median_a as number) / 4 - 1)).toBeLessThan(0.02);
  });

  it.each([0.1, 0.2, 0.3])('does not stand while the current is far below the level it ends on (climb %s s)', (climbS) => {
    const { stalls } = analyseActuation(softStop(climbS, 4), {}).actuations[0] as { stalls: { start_s: number }[] };
    expect(stalls).toHaveLength(1);
    // speed is at most a tenth of full from where e^(-t/climb) is 0.11
    expect(stalls[0].start_s).toBeGreaterThan(2 + 1.9 * climbS);
    expect(stalls[0].start_s).toBeLessThan(2 + 3.5 * climbS);
  });

  it('does not take the level on which it creeps for a stall of its own when the current then goes up another step', () => {
    const n = noise(0.02);
    const amps = (t: number): number => (t >= 2.25 && t < 2.6 ? 39.7 : t >= 2 && t < 2.6 ? 34 : press(t, 1, 2.6, 35.7, 10));
    const { stalls } = analyseActuation(draw(2000, 4, (t) => amps(t) + n()), {}).actuations[0];
    expect(stalls.map(({ level_a: levelA }) => Math.round(levelA))).toEqual([40]);
    expect(stalls[0]?.start_s).toBeCloseTo(2.25, 1);
  });

  it('does not take a heavy stretch, on which the current climbs and holds an even level, for a stop', () => {
    const n = noise(0.02);
    const climb = (t: number): number => (t < 3 || t >= 5 ? 0 : 4.6 * (1 - Math.exp(-(t - 3) / 0.15)));
    const result = analyseActuation(draw(1000, 6, (t) => press(t, 1, 5, 15.9, 7.2) + climb(t) + n()), {});
    expect(result.verdict.finding).toBe('normal');
  });
});
