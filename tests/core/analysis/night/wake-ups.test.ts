import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../src/core/trace.ts';
import { Dice } from '../../../score/drain/dice.ts';
import { read, recording } from './recording.ts';

/** 20 mA asleep from the start; at each moment 0.3 A for 4 s, then 0.12 A for the rest of 30 s. */
function nightWith(starts: readonly number[], lengthS: number, noiseA = 0.002): ReturnType<typeof recording> {
  return recording(lengthS, 10, noiseA, (atS) => {
    const startS = starts.findLast((one) => one <= atS);
    const sinceS = startS === undefined ? Infinity : atS - startS;
    return 0.02 + (sinceS < 4 ? 0.3 : sinceS < 30 ? 0.12 : 0);
  });
}

describe('wake-ups', () => {
  it('have start, length, peak and charge, the sleeping level included', () => {
    const { wakeups } = read(nightWith([1000, 2300], 3000));
    expect(wakeups).toHaveLength(2);
    wakeups.forEach((wake, index) => {
      expect(Math.abs(wake.start_s - [1000, 2300][index])).toBeLessThan(0.3);
      expect(Math.abs(wake.end_s - wake.start_s - 30)).toBeLessThan(0.5);
      expect(Math.abs(wake.peak_a - 0.32)).toBeLessThan(0.01);
      expect(Math.abs(wake.charge_c - (0.32 * 4 + 0.14 * 26))).toBeLessThan(0.15);
      expect(wake.cause).toBeNull();
    });
  });

  it('keep a period whose uncertainty holds the true one, also when one is missed and the beat jitters', () => {
    const dice = new Dice(5);
    const starts = Array.from({ length: 14 }, (_, k) => 500 + 540 * k + 4 * dice.normal()).filter((_, k) => k !== 6);
    const { wake_period_s: periodS, wake_rhythm: rhythm } = read(nightWith(starts, 8400));
    expect(periodS).not.toBeNull();
    expect(Math.abs((periodS ?? 0) / 540 - 1)).toBeLessThan(0.02);
    expect(rhythm?.regular).toBe(true);
    expect(rhythm?.low_s).toBeLessThanOrEqual(540);
    expect(rhythm?.high_s).toBeGreaterThanOrEqual(540);
  });

  it('have no period when they come without a beat', () => {
    const { wakeups, wake_period_s: periodS, wake_rhythm: rhythm } = read(nightWith([400, 700, 1900, 2350, 4100, 4260, 5900, 7400], 8000));
    expect(wakeups).toHaveLength(8);
    expect(periodS).toBeNull();
    expect(rhythm?.regular).toBe(false);
  });

  it('of a person who opens a door are recognised by the mark, ten seconds early or late, and stay out of period and average', () => {
    const own = [600, 1200, 1800, 2400, 3000];
    const marks: Mark[] = [{ timeS: 990, kind: 'wake', label: 'door' }, { timeS: 2710, kind: 'wake', label: 'boot' }];
    const alone = read(nightWith(own, 3600));
    const visited = read(nightWith([...own, 1000, 2700].sort((a, b) => a - b), 3600), marks);
    expect(visited.wakeups.filter((wake) => wake.cause === 'person').map((wake) => Math.round(wake.start_s / 100))).toEqual([10, 27]);
    expect(visited.wake_period_s).toBeCloseTo(600, 0);
    expect(Math.abs(visited.average_a - alone.average_a)).toBeLessThan(0.0003);
  });

  it('are not the flashes of an alarm lamp, whose current counts in the level all the same', () => {
    // 15 mA for a tenth of every second: 1.5 mA
    const result = read(recording(3000, 50, 0.001, (atS) => 0.012 + (atS % 1.03 < 0.103 ? 0.015 : 0)));
    expect(result.wakeups).toEqual([]);
    expect(Math.abs((result.asleep?.level_a ?? 0) - 0.0135)).toBeLessThan(0.0002);
  });
});
