import { describe, expect, it } from 'vitest';
import { nextLabel, SteadyReading } from '../../../../src/core/analysis/readings/steady.ts';

/** Readings ten times a second, as a page gets them. */
function taken(course: (atS: number) => number, durationS: number): { atS: number; v: number }[] {
  const steady = new SteadyReading();
  const found: { atS: number; v: number }[] = [];
  for (let step = 0; step <= durationS * 10; step++) {
    const v = steady.push(step / 10, course(step / 10));
    if (v !== null) found.push({ atS: step / 10, v });
  }
  return found;
}

describe('a reading taken hands free', () => {
  it('is taken once it has stood still, and only once', () => {
    const found = taken(() => 0.0031, 20);
    expect(found).toHaveLength(1);
    expect(found[0]?.v).toBeCloseTo(0.0031, 9);
    expect(found[0]!.atS).toBeGreaterThanOrEqual(1);
  });

  it('is taken anew at the next fuse, even where that one carries the same, if the lead was away between', () => {
    expect(taken((atS) => (atS > 5 && atS < 6 ? 0.05 * Math.sin(40 * atS) : 0.0031), 12)).toHaveLength(2);
  });

  it('is not taken while the lead moves', () => {
    expect(taken((atS) => 0.003 * Math.sin(3 * atS), 20)).toHaveLength(0);
  });

  it('is taken when it has stood for one and a half of two seconds, as the mean of these', () => {
    const steady = new SteadyReading();
    const readings: (number | null)[] = [];
    for (const atS of [10, 10.5, 11]) readings.push(steady.push(atS, 0.01));
    readings.push(steady.push(11.5, 0.0104));
    expect(readings).toEqual([null, null, null, expect.closeTo(0.0101, 12)]);
    // not yet
    const early = new SteadyReading();
    expect([early.push(0, 0.01), early.push(0.5, 0.01), early.push(1.49, 0.01)]).toEqual([null, null, null]);
    // what is two seconds old no longer counts
    const moved = new SteadyReading();
    expect([moved.push(0, 5), moved.push(1, 0.01), moved.push(2, 0.01), moved.push(2.5, 0.01)]).toEqual([null, null, null, 0.01]);
  });

  it('counts as still within a twentieth of its size, or 50 uV where that is more', () => {
    const still = (v: number, otherV: number): boolean => {
      const steady = new SteadyReading();
      return [steady.push(0, v), steady.push(1, otherV), steady.push(1.5, v)].some((taken) => taken !== null);
    };
    // mean of 100, 105.1 and 100 mV is 101.7: a twentieth is 5.085
    expect([still(0.1, 0.105), still(0.1, 0.1052), still(-0.1, -0.105), still(-0.1, -0.1052)]).toEqual([true, false, true, false]);
    expect([still(0.0001, 0.00014), still(0.0001, 0.00016), still(0, 0.00004)]).toEqual([true, false, true]);
  });

  it('is taken again once it has moved away by more than four of these', () => {
    const again = (awayV: number): number => {
      const steady = new SteadyReading();
      let count = 0;
      for (let step = 0; step <= 80; step++) if (steady.push(step / 10, step === 30 ? awayV : 0.1) !== null) count += 1;
      return count;
    };
    // four times 5 mV
    expect([again(0.1199), again(0.1201), again(0.0801), again(0.0799)]).toEqual([1, 2, 1, 2]);
  });

  it('counts up the name of the fuse', () => {
    expect([nextLabel('F12'), nextLabel('F09'), nextLabel('left 3'), nextLabel('radio'), nextLabel('')]).toEqual(['F13', 'F10', 'left 4', 'radio 2', 'F1']);
  });
});
