import { describe, expect, it } from 'vitest';
import { LONGEST_TIME_OUT_S, runningTimeOuts, timeOutFor } from '../../../../src/core/reference/time-outs.ts';
import { wakePeriod } from '../../../../src/core/analysis/night/wake-ups/wake-period.ts';
import { wakingAdds } from '../../../../src/core/analysis/night/wake-ups/wake-rate.ts';
import type { WakeUp } from '../../../../src/core/analysis/results.ts';
import { Dice } from '../../../score/drain/dice.ts';
import { read, recording } from './recording.ts';

/** lamps and modules of a shutdown, then 20 mA; seconds since key-off */
const shutdownA = (sinceS: number): number => (sinceS < 30 ? 3 : sinceS < 120 ? 1.2 : sinceS < 260 ? 0.21 : 0.02);

describe('the beginning of the night', () => {
  it('is the moment the engine stops, and everything counts from there', () => {
    const result = read(recording(4000, 5, 0.003, (atS) => (atS < 600 ? -18 + atS / 100 : shutdownA(atS - 600))));
    expect(Math.abs((result.key_off_s ?? 0) - 600)).toBeLessThan(5);
    expect(result.verdict.finding).toBe('asleep');
    expect(Math.abs((result.asleep?.at_s ?? 0) - 860)).toBeLessThan(5);
  });

  it('is the moment the ignition goes off, one level far above all that follows', () => {
    const result = read(recording(4000, 5, 0.003, (atS) => (atS < 400 ? 11 : shutdownA(atS - 400))));
    expect(Math.abs((result.key_off_s ?? 0) - 400)).toBeLessThan(5);
  });

  it('is not reported where the vehicle was parked from the first reading', () => {
    expect(read(recording(4000, 5, 0.003, shutdownA)).key_off_s).toBeNull();
  });

  it.each([
    ['milliamps read as amps', 1000],
    ['amps read as milliamps', 0.001],
    ['the clamp the wrong way round', -1],
  ])('says that it cannot tell: %s', (_what, factor) => {
    const result = read(recording(4000, 5, 0.003 * Math.abs(factor), (atS) => factor * shutdownA(atS)));
    expect(result.verdict.finding).toBe('unclear');
    expect(result.asleep).toBeNull();
  });
});

describe('a rest', () => {
  it('begins when a load that dies away has no more than a tenth of the level left', () => {
    // 60 mA with a time constant of 20 min above 15 mA: 2 mA are left after 3.4 time constants
    const result = read(recording(20_000, 2, 0.0005, (atS) => (atS < 200 ? 1.2 : 0.015 + 0.06 * Math.exp(-(atS - 200) / 1200))));
    expect(result.verdict.finding).toBe('asleep');
    expect(Math.abs((result.asleep?.at_s ?? 0) - (200 + 1200 * Math.log(0.06 / 0.002)))).toBeLessThan(300);
    expect(Math.abs((result.asleep?.level_a ?? 0) - 0.015)).toBeLessThan(0.0007);
  });

  it('waits for the longest published time-out at a level that awake modules draw, for the usual one below', () => {
    // Ford 2023 Edge: 75 min; Jeep Compass 2021: 30 min; Oldsmobile Aurora 2001: 80 mA at least while awake
    expect(LONGEST_TIME_OUT_S).toBe(4500);
    expect(timeOutFor(0.2).lengthS).toBe(4500);
    expect(timeOutFor(0.06).lengthS).toBe(1800);
    expect(runningTimeOuts(600, 0.2).map((one) => one.name)).toEqual(['transmission-controller', 'radio', 'module-time-outs', 'longest']);
  });

  it('names a lamp left on by its size and steadiness', () => {
    // a lamp of 10 W takes 0.83 A at 12 V
    const { verdict } = read(recording(6000, 5, 0.003, (atS) => shutdownA(atS) + 0.83));
    expect(verdict.finding).toBe('drain');
    expect(verdict.because.join(' ')).toContain('lamp of about 10 W');
    expect(verdict.next[0]).toContain('lamp left on');
  });
});

describe('what happens at rest', () => {
  it('is a possible pull where the current steps down and back up, and none where a mark names it', () => {
    const trace = recording(7000, 5, 0.002, (atS) => shutdownA(atS) + (atS >= 5500 && atS < 5560 ? 0 : 0.12));
    const { possible_pulls: possible, verdict, asleep } = read(trace);
    expect(possible).toHaveLength(1);
    expect(Math.abs((possible[0]?.from_s ?? 0) - 5500)).toBeLessThan(2);
    expect(Math.abs((possible[0]?.change_a ?? 0) + 0.12)).toBeLessThan(0.001);
    expect(Math.abs((asleep?.at_s ?? 0) - 260)).toBeLessThan(5);
    expect(verdict.finding).toBe('drain');
    const marked = read(trace, [{ timeS: 5501, kind: 'pull', label: 'F4' }, { timeS: 5560, kind: 'refit', label: 'F4' }]);
    expect(marked.possible_pulls).toEqual([]);
    expect(marked.pulls[0]).toMatchObject({ label: 'F4', carries: true });
  });

  it('is a visit where the time-outs of the key-off come again: no wake-up by itself, and not in the average', () => {
    const result = read(recording(12_000, 5, 0.003, (atS) => (atS >= 6000 ? shutdownA(atS - 6000) : shutdownA(atS))));
    expect(result.wakeups.map((wake) => wake.cause)).toEqual(['person']);
    expect(result.verdict.finding).toBe('asleep');
    expect(result.over_limit).toBe(false);
  });

  it('is reported in a handful of rows when a bus pulses every second, with floor, height, duty and mean', () => {
    const result = read(recording(7000, 10, 0.001, (atS) => shutdownA(atS) + (atS % 1 < 0.15 ? 0.09 : 0)));
    expect(result.levels.length).toBeLessThanOrEqual(24);
    expect(result.pulses?.period_s).toBeCloseTo(1, 1);
    expect(result.pulses?.duty).toBeCloseTo(0.2, 1);
    expect(result.pulses?.floor_a).toBeCloseTo(0.02, 3);
    expect(result.pulses?.pulse_a).toBeCloseTo(0.09, 2);
    expect(result.verdict.because.join(' ')).toContain('between pulses');
    expect(Math.abs((result.pulses?.mean_a ?? 0) - 0.038)).toBeLessThan(0.002);
  });
});

const wakeAt = (startS: number): WakeUp => ({ start_s: startS, end_s: startS + 20, peak_a: 0.3, charge_c: 6, cause: null });

describe('the period of wake-ups', () => {
  const starts = (seed: number, count: number, sleep: (dice: Dice) => number): WakeUp[] => {
    const dice = new Dice(seed);
    let atS = 0;
    return Array.from({ length: count }, () => wakeAt((atS += sleep(dice))));
  };

  it('is hardly ever reported for wake-ups at random', () => {
    let reported = 0;
    for (let seed = 1; seed <= 400; seed++) if (wakePeriod(starts(seed, 5 + (seed % 20), (dice) => -600 * Math.log(1 - dice.unit())), 0.1)?.regular === true) reported++;
    expect(reported).toBeLessThanOrEqual(8);
  });

  it('holds the mean of independent sleeps in about 95 of 100 nights', () => {
    let inside = 0;
    for (let seed = 1; seed <= 400; seed++) {
      const rhythm = wakePeriod(starts(seed, 8 + (seed % 30), (dice) => 600 + 60 * dice.normal()), 0.1);
      if (rhythm !== null && rhythm.low_s <= 600 && rhythm.high_s >= 600) inside++;
    }
    expect(inside / 400).toBeGreaterThan(0.92);
    expect(inside / 400).toBeLessThan(0.985);
  });

  it('holds the period of a clock in about 95 of 100 nights, by the time between readings alone', () => {
    let inside = 0;
    let alone = 0;
    for (let seed = 1; seed <= 400; seed++) {
      const dice = new Dice(seed);
      const firstS = dice.unit();
      // each moment is read anywhere within the 0.1 s of its reading
      const clock = Array.from({ length: 5 + (seed % 30) }, (_, k) => wakeAt(firstS + 600.03 * k + 0.1 * (dice.unit() - 0.5)));
      const rhythm = wakePeriod(clock, 0.1);
      if (rhythm !== null && rhythm.low_s <= 600.03 && rhythm.high_s >= 600.03) inside++;
      // two ends, each within a reading of 0.1 s: 95 % of a triangle (scipy.stats.triang) over all sleeps
      if (rhythm !== null && rhythm.high_s - rhythm.low_s < (2.0001 * 0.1 * 0.7763932) / (clock.length - 1)) alone++;
    }
    expect(inside / 400).toBeGreaterThan(0.92);
    expect(inside / 400).toBeLessThan(0.985);
    expect(alone).toBeGreaterThan(0.95 * 400);
  });

  it('adds little for one wake-up: half the 2.5 % quantile of chi-squared with two degrees of freedom is 0.0253 (Garwood 1936)', () => {
    expect(wakingAdds([wakeAt(0)], 0, 1000)).toBeCloseTo((6 * 0.0253178) / 1000, 7);
  });
});
