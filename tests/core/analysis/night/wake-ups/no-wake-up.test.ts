import { describe, expect, it } from 'vitest';
import { isPulses, isSwing } from '../../../../../src/core/analysis/night/wake-ups/no-wake-up.ts';
import { isUnseenStep } from '../../../../../src/core/analysis/night/wake-ups/unseen-step.ts';
import type { Pulses } from '../../../../../src/core/analysis/results.ts';
import type { Excursion, Readings } from '../../../../../src/core/analysis/night/types.ts';
import { drawn, type Drawn } from '../drawn.ts';

/** 10 mA to 110 mA in so many seconds, as blocks; 0: at once. */
const ramp = (lengthS: number): Drawn[] => Array.from({ length: lengthS }, (_, i) => [0.01 + (0.1 * (i + 0.5)) / lengthS, 1]);
/** Ten minutes of rest, up, ten minutes, down, ten minutes; what lies between the middles of both edges. */
function hill(upS: number, downS: number, awayUpS = 0, awayDownS = 0): { readonly readings: Readings; readonly run: Excursion } {
  const up = ramp(upS);
  const down = ramp(downS).reverse();
  const readings = drawn([[0.01, 600], ...up, [0.11, 600, awayUpS], ...down, [0.01, 600, awayDownS]]);
  const endS = 600 + upS + awayUpS + 600 + downS / 2;
  return { readings, run: { startS: 600 + upS / 2, endS, restA: 0.01 } };
}
const swings = (...how: Parameters<typeof hill>): boolean => {
  const { readings, run } = hill(...how);
  return isSwing(readings, run);
};

describe('a stretch that swells and dies away', () => {
  it('has no step: four seconds against four change by less than half of its height at both edges', () => {
    // on a ramp of L seconds neighbouring windows of 4 s lie 4/L of the height apart
    expect([swings(0, 0), swings(6, 6), swings(12, 12)]).toEqual([false, false, true]);
    expect([swings(0, 12), swings(12, 0), swings(12, 6)]).toEqual([false, false, false]);
  });

  it('is judged by the edge that was seen, where the other lies in a gap; without any it is none', () => {
    // windows of 4 s beside a gap of 5 s reach over more than 2 x 4 + 4 s
    expect([swings(0, 12, 60), swings(12, 0, 0, 60), swings(12, 6, 60), swings(0, 0, 60, 60)]).toEqual([true, true, false, false]);
    const begins = drawn([...ramp(12), [0.11, 600], ...ramp(40).reverse(), [0.01, 600]]);
    expect(isSwing(begins, { startS: 0, endS: 632, restA: 0.01 })).toBe(true);
    expect(isSwing(begins, { startS: 700, endS: 700, restA: 0.01 })).toBe(false);
    const ends = drawn([[0.01, 600], ...ramp(12), [0.11, 600]]);
    expect(isSwing(ends, { startS: 606, endS: 1212, restA: 0.01 })).toBe(true);
  });

  it('is not judged by what lies before the key was off or after the end', () => {
    const { readings, run } = hill(12, 0);
    expect([isSwing(readings, run), isSwing({ ...readings, lastS: run.endS }, run), isSwing({ ...readings, lastS: run.endS + 10 }, run)]).toEqual([false, true, false]);
    const { readings: mirrored, run: late } = hill(0, 12);
    expect([isSwing(mirrored, late), isSwing({ ...mirrored, firstS: late.startS - 2 }, late), isSwing({ ...mirrored, firstS: late.startS - 20 }, late)]).toEqual([false, true, false]);
  });
});

describe('a stretch in which a busy feed pulses as it always does', () => {
  const PULSES: Pulses = { floor_a: 0.02, pulse_a: 0.1, duty: 0.2, mean_a: 0.04, period_s: 10 };
  const run = (lengthS: number): Excursion => ({ startS: 100, endS: 100 + lengthS, restA: 0.02 });
  const pulses = (levelA: number, lengthS = 20, low = 0): boolean => isPulses(drawn([[1, 100], [0.02, low], [levelA, 100 - low], [1, 100]]), run(lengthS), PULSES);

  it('is back at less than half of a pulse for the lower third', () => {
    expect([pulses(0.069), pulses(0.071)]).toEqual([true, false]);
    // the point at 35 % of 20 bins lies at 6.65: between the seventh and the eighth
    expect([pulses(1, 20, 7), pulses(1, 20, 8)]).toEqual([false, true]);
  });

  it('is two periods long, and recorded', () => {
    expect([pulses(0.02, 19.9), pulses(0.02, 20)]).toEqual([false, true]);
    expect([isPulses(drawn([[0.02, 100]]), run(20), null), isPulses(drawn([[0.02, 50]]), run(20), PULSES)]).toEqual([false, false]);
  });
});

describe('a level that is there after a gap', () => {
  const unseen = (after: readonly Drawn[], restA = 0.02, before: readonly Drawn[] = [[0.02, 100]]): boolean => isUnseenStep(drawn([...before, ...after]), before.length, restA, 0.003);

  it('is no step that was seen, if the logger was away for longer than a hand', () => {
    expect([unseen([[0.05, 100]]), unseen([[0.05, 100, 4]]), unseen([[0.05, 100, 5]])]).toEqual([false, false, true]);
    // the gap a block before or behind the edge
    expect(unseen([[0.05, 100]], 0.02, [[0.02, 100], [0.05, 1, 10]])).toBe(true);
    expect(unseen([[0.05, 100]], 0.02, [[0.02, 100], [0.05, 2, 10]])).toBe(false);
  });

  it('lies no higher than a zero moves in a night: four times 14.05 mA (Allegro ACS712, 0.26 A in 185 K, over 10 K)', () => {
    expect([0.0762, 0.0763].map((levelA) => unseen([[levelA, 100, 10]]))).toEqual([true, false]);
  });

  it('stays for half a minute, to the end or to the next gap', () => {
    expect([unseen([[0.05, 19, 10]]), unseen([[0.05, 20, 10]])]).toEqual([false, true]);
    expect([unseen([[0.05, 19, 10], [0.02, 50, 10]]), unseen([[0.05, 20, 10], [0.02, 50, 10]])]).toEqual([false, true]);
  });

  it('does not come back to the rest for longer than a hand', () => {
    expect([3, 4].map((lengthS) => unseen([[0.05, 50, 10], [0.02, lengthS], [0.05, 50]]))).toEqual([true, false]);
    expect([0.0229, 0.0231].map((levelA) => unseen([[0.05, 50, 10], [levelA, 50]]))).toEqual([false, true]);
  });
});
