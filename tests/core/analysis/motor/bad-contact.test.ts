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
    const n = noise(0.02);
    const amps = broken([[2.5, 2.531]]);
    const follows = 1 - Math.exp(-1 / (rateHz * 0.002));
    let firstA = 0;
    let shownA = 0;
    const trace = draw(rateHz, 5, (t) => {
      firstA += (amps(t) - firstA) * follows;
      shownA += (firstA - shownA) * follows;
      return shownA + n();
    });
    const { actuations } = analyseActuation(trace, {});
    expect(actuations.map(({ finding }) => finding)).toEqual(['intermittent']);
    expect(actuations[0]?.dropouts).toHaveLength(1);
    expect(Math.abs((actuations[0]?.dropouts[0]?.start_s ?? 0) - 2.5)).toBeLessThan(2 * 0.002);
    expect(Math.abs((actuations[0]?.dropouts[0]?.end_s ?? 0) - 2.531)).toBeLessThan(2 * 0.002);
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
