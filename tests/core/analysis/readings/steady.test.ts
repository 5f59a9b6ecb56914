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

  it('counts up the name of the fuse', () => {
    expect([nextLabel('F12'), nextLabel('F09'), nextLabel('left 3'), nextLabel('radio'), nextLabel('')]).toEqual(['F13', 'F10', 'left 4', 'radio 2', 'F1']);
  });
});
