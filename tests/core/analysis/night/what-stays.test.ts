import { describe, expect, it } from 'vitest';
import { read, recording } from './recording.ts';

const H = 3600;
const NOISE_A = 0.002;
/** lamps and modules until 600 s, then the floor */
const parkedA = (floorA: number) => (atS: number): number => floorA + (atS < 60 ? 2.5 : atS < 180 ? 1.5 : atS < 600 ? 0.4 : 0);
/** 6 mA at rest until `atS`, then another current for good */
const risen = (riseS: number, stayA: (sinceS: number) => number, lengthS = 3 * H, limitA = 0.05) =>
  read(recording(lengthS, 5, NOISE_A, (atS) => (atS < riseS ? parkedA(0.006)(atS) : stayA(atS - riseS))), [], { limitA });

describe('a current that rises from the rest and stays', () => {
  it('is the rest itself within the limit, once it is seen for much longer, and no wake-up; the level from before is within its bounds', () => {
    const { verdict, asleep, wakeups, over_limit: overLimit } = risen(2000, () => 0.03);
    expect([verdict.finding, overLimit, wakeups]).toEqual(['asleep', false, []]);
    expect(Math.abs(asleep!.at_s - 2000)).toBeLessThan(5);
    expect(asleep!.level_a).toBeCloseTo(0.03, 3);
    expect(asleep!.low_a).toBeLessThan(0.006);
    // JCGM 100:2008, 5.1.2: half the width is 1.96 times the root of the squares of the parts
    expect((asleep!.high_a - asleep!.low_a) / 2).toBeCloseTo(1.96 * Math.hypot(...asleep!.uncertainty!.map(({ contribution }) => contribution)), 4);
    expect(verdict.because.join(' ')).toContain('stays at 30');
  });

  it('is a wake-up that goes on where the rest before it was seen for longer', () => {
    const { verdict, asleep } = risen(6000, () => 0.03);
    expect(verdict.finding).toBe('asleep');
    expect(asleep!.level_a).toBeCloseTo(0.006, 3);
    expect(verdict.because.join(' ')).not.toContain('stays at');
  });

  it('says nothing of the level before it where no zero moves so far', () => {
    const { verdict, asleep } = risen(2000, () => 0.1, 3 * H, 0.2);
    expect(verdict.finding).toBe('asleep');
    expect(asleep!.level_a).toBeCloseTo(0.1, 3);
    expect(asleep!.low_a).toBeGreaterThan(0.09);
  });

  it('is a drain above the limit, with its level, once it outlasts every time-out from its own beginning', () => {
    const { verdict, asleep, average_a: averageA, over_limit: overLimit } = risen(3000, () => 0.3);
    expect([verdict.finding, overLimit]).toEqual(['drain', true]);
    expect(Math.abs(asleep!.at_s - 3000)).toBeLessThan(5);
    expect(asleep!.level_a).toBeCloseTo(0.3, 3);
    expect(averageA).toBeCloseTo(0.3, 3);
    // 75 min (Ford 2023 Edge), 67 of them seen
    const pending = risen(3000, () => 0.3, 7000);
    expect([pending.verdict.finding, pending.asleep]).toEqual(['too-short', null]);
  });

  it('has no level where it goes on growing', () => {
    const { verdict, asleep } = risen(3000, (sinceS) => 0.06 + (0.4 * sinceS) / (5 * H), 6 * H);
    expect(['drain', 'awake']).toContain(verdict.finding);
    expect(asleep).toBeNull();
  });

  it('stays a drain without a level where it rises once more, too late to say which of the two is the rest', () => {
    const { verdict, asleep } = risen(3000, (sinceS) => (sinceS < 1500 ? 0.3 : 0.5), 3000 + 5100);
    expect([verdict.finding, asleep]).toEqual(['drain', null]);
  });

  it('is no drain where it begins high and settles within the limit', () => {
    const { verdict, asleep, over_limit: overLimit } = risen(2000, (sinceS) => (sinceS < 600 ? 4 : 0.03));
    expect([verdict.finding, overLimit]).toEqual(['asleep', false]);
    expect(asleep!.level_a).toBeCloseTo(0.03, 3);
  });
});
