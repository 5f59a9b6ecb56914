import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { draw, noise, press } from './traces.ts';

/** One hold of the switch from 1 to 4 s in which the current is gone in the ranges, and the motor, stopped by then, starts anew after each. */
function broken(ranges: readonly (readonly [number, number])[]): (t: number) => number {
  return (t) => {
    if (ranges.some(([from, to]) => t >= from && t < to)) return 0;
    const startS = ranges.reduce((latest, [, to]) => (t >= to ? to : latest), 1);
    return press(t, startS, 4, 15, 4, 0.02);
  };
}

/** The same behind a clamp of two stages, with its noise. */
function slowed(rateHz: number, currentA: (atS: number) => number, stageS: number): (atS: number) => number {
  const n = noise(0.02);
  const follows = 1 - Math.exp(-1 / (rateHz * stageS));
  let firstA = 0;
  let shownA = 0;
  return (t) => {
    firstA += (currentA(t) - firstA) * follows;
    shownA += (firstA - shownA) * follows;
    return shownA + n();
  };
}

describe('a contact that is known to be bad', () => {
  it('is not taken for a switch let go when one of its breaks lasts 0.2 s', () => {
    const n = noise(0.02);
    const amps = broken([[1.6, 1.8], [2.5, 2.53], [3.1, 3.2]]);
    const result = analyseActuation(draw(2000, 5, (t) => amps(t) + n()), {});
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]?.dropouts).toHaveLength(3);
  });

  // two stages of 80 Hz, 2 ms each: 31 ms are fifteen of them, and 1 ms after the contact has come back 9 % of the level shows (1 - e^-0.5 (1 + 0.5))
  it('is seen behind a clamp that comes back as slowly as it fell, however many readings that takes', () => {
    const rateHz = 20_000;
    const trace = draw(rateHz, 5, slowed(rateHz, broken([[2.5, 2.531]]), 0.002));
    const { actuations } = analyseActuation(trace, {});
    expect(actuations.map(({ finding }) => finding)).toEqual(['intermittent']);
    expect(actuations[0]?.dropouts).toHaveLength(1);
    expect(Math.abs((actuations[0]?.dropouts[0]?.start_s ?? 0) - 2.5)).toBeLessThan(2 * 0.002);
    expect(Math.abs((actuations[0]?.dropouts[0]?.end_s ?? 0) - 2.531)).toBeLessThan(2 * 0.002);
  });

  // two stages of 60 Hz: after seven of their time constants, 19 ms, 0.7 % of the level is left, (1 + 7) e^-7, and the current is gone for a reading or none
  it.each([12, 15, 17, 18, 19, 20, 21, 24, 30])('is seen behind a slow clamp where the current is gone for %d ms, which it shows as a dip, as nothing for a moment, or for long', (goneMs) => {
    const strong = broken([[2.5, 2.5 + goneMs / 1000]]);
    const amps = slowed(1000, (t) => 10 * strong(t), 1 / (2 * Math.PI * 60));
    const { actuations } = analyseActuation(draw(1000, 5, amps), {});
    expect(actuations.map(({ dropouts }) => dropouts.length)).toEqual([1]);
    expect(Math.abs((actuations[0]?.dropouts[0]?.start_s ?? 0) - 2.5)).toBeLessThan(0.01);
  });

  it('is none where a mechanism runs free through its play for 30 ms, and the motor takes a fifth of its current', () => {
    const amps = slowed(1000, (t) => (t >= 2.5 && t < 2.53 ? 0.8 : press(t, 1, 4, 15, 4, 0.02)), 1 / (2 * Math.PI * 60));
    expect(analyseActuation(draw(1000, 5, amps), {}).actuations.flatMap(({ dropouts }) => dropouts)).toEqual([]);
  });

  it('is none where the logger writes the same nothing for 38 ms: a sensor that reads goes on being noisy', () => {
    const n = noise(0.02);
    const trace = draw(1000, 5, (t) => (t >= 2.5 && t < 2.538 ? 0 : press(t, 1, 4, 15, 4, 0.02) + n()));
    expect(analyseActuation(trace, {}).actuations.flatMap(({ dropouts }) => dropouts)).toEqual([]);
  });

  // k w above V for 15 ms, then the rotor slows down by e^(-t/0.1): its current is back at half after 0.1 ln 2 = 69 ms; no rotor does that in 12
  it('is none where the current goes at once and comes back as a rotor slows down: the feed sagged', () => {
    const after = (backS: number): number => {
      const n = noise(0.02);
      const amps = (t: number): number => (t < 2.5 || t >= 4 ? press(t, 1, 4, 15, 4, 0.02) : t < 2.515 ? 0 : 4 * (1 - Math.exp(-(t - 2.515) / backS)));
      return analyseActuation(draw(2000, 5, (t) => amps(t) + n()), {}).actuations.flatMap(({ dropouts }) => dropouts).length;
    };
    expect([after(0.1), after(0.003)]).toEqual([0, 1]);
  });

  it('does not swallow a switch let go for 0.2 s where no break is too short for a hand', () => {
    const n = noise(0.02);
    const amps = broken([[2.3, 2.5]]);
    expect(analyseActuation(draw(2000, 5, (t) => amps(t) + n()), {}).actuations).toHaveLength(2);
  });

  it('does not join two presses 0.7 s apart as if a cut-out had opened in between, when the motor never stood', () => {
    const n = noise(0.02);
    const amps = (t: number): number => (t >= 2 && t < 2.08 ? 0 : press(t, 1, 5, 3.4, 0.95, 0.012)) + press(t, 5.73, 7, 3.4, 0.95, 0.012);
    const result = analyseActuation(draw(2000, 8, (t) => amps(t) + n()), {});
    expect(result.actuations).toHaveLength(2);
    expect(result.actuations[1]?.start_s).toBeCloseTo(5.73, 2);
  });
});
