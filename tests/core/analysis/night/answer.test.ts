import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../src/core/trace.ts';
import { Dice } from '../../../score/drain/dice.ts';
import { read, recording } from './recording.ts';

/** the maker's wait of 5 min (Saturn Aura 2008): short recordings can be at rest */
const SETTLED = { settlingS: 300, zeroUncertaintyA: 0.0002 };
const pulled = (label: string, fromS: number, toS: number): Mark[] => [{ kind: 'pull', label, timeS: fromS }, { kind: 'refit', label, timeS: toS }];
const between = (atS: number, fromS: number, toS: number): boolean => atS >= fromS && atS < toS;

describe('the fuses of a drain', () => {
  // F1 carries 11.7 mA of 211.7 mA, F2 10 mA, F3 none: 190 mA flow past all of them
  const marks = [...pulled('F3', 500, 560), ...pulled('F2', 700, 760), ...pulled('F1', 900, 960)];
  const { pulls, unexplained_a: unexplainedA, verdict } = read(recording(1200, 5, 0.001, (atS) => 0.2117 - (between(atS, 700, 760) ? 0.01 : 0) - (between(atS, 900, 960) ? 0.0117 : 0)), marks, SETTLED);

  it('are sorted by size, whatever the order they were pulled in', () => {
    expect(pulls.map(({ label, carries }) => [label, carries])).toEqual([['F1', true], ['F2', true], ['F3', false]]);
    expect(pulls[0].change_a).toBeCloseTo(-0.0117, 3);
  });

  it('come after the largest share that none of them explains: 190 mA go before the 11.7 mA of one fuse', () => {
    expect(unexplainedA).toBeCloseTo(0.19, 3);
    expect(verdict.finding).toBe('drain');
    expect(verdict.next[0]).toContain('190 mA');
    expect(verdict.next.findIndex((line) => line.includes('F1'))).toBeGreaterThan(0);
  });

  it('are followed first where one carries most of it', () => {
    const { verdict: found } = read(recording(1200, 5, 0.001, (atS) => 0.2117 - (between(atS, 900, 960) ? 0.19 : 0)), pulled('F1', 900, 960), SETTLED);
    expect(found.next[0]).toContain('F1');
  });

  it('pulled while the vehicle was awake are to be pulled again at rest', () => {
    const { pulls: early, verdict: said } = read(recording(1500, 5, 0.001, (atS) => (atS < 250 ? 0.9 : 0.02) - (between(atS, 120, 180) ? 0.3 : 0)), pulled('F5', 120, 180), SETTLED);
    expect(early[0].carries).toBeNull();
    expect(said.because.join(' ')).toContain('not measured');
    expect(said.next.join(' ')).toContain('again once it has settled');
  });

  it('have bounds that hold the change in about 95 of 100: the level with the fuse out counts once, though pull and refit both rest on it', () => {
    let inside = 0;
    let tried = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const trace = recording(700, 2, 0.002, (atS) => 0.1 - (between(atS, 350, 380) ? 0.02 : 0) - (between(atS, 450, 480) ? 0.05 : 0) - (between(atS, 550, 580) ? 0.01 : 0), seed);
      for (const { label, low_a: lowA, high_a: highA, carries } of read(trace, [...pulled('F1', 350, 380), ...pulled('F2', 450, 480), ...pulled('F3', 550, 580)], SETTLED).pulls) {
        if (carries === null) continue;
        tried++;
        const truthA = { F1: -0.02, F2: -0.05, F3: -0.01 }[label] ?? NaN;
        if (lowA <= truthA && truthA <= highA) inside++;
      }
    }
    expect(tried).toBeGreaterThan(110);
    expect(inside / tried).toBeGreaterThan(0.91);
    expect(inside / tried).toBeLessThan(0.995);
  });
});

describe('a wake-up beside a fuse', () => {
  it('is on the beat of the others before it is blamed on the fuse', () => {
    // six wake-ups a minute apart, the fourth right when F1 is pulled
    const wakes = [600, 660, 720, 780, 840, 900];
    const { wakeups, wake_period_s: periodS } = read(recording(1200, 10, 0.001, (atS) => 0.02 + (wakes.some((one) => between(atS, one, one + 6)) ? 0.3 : 0) - (between(atS, 782, 870) ? 0.005 : 0)), pulled('F1', 782, 870), SETTLED);
    expect(wakeups.map(({ cause }) => cause)).toEqual(wakes.map(() => null));
    expect(periodS).toBeCloseTo(60, 0);
  });

  it('is blamed on the fuse where no beat explains it', () => {
    const { wakeups } = read(recording(1200, 10, 0.001, (atS) => 0.02 + (between(atS, 801, 815) ? 0.3 : 0)), pulled('F1', 780, 801), SETTLED);
    expect(wakeups.map(({ cause }) => cause)).toEqual(['fuse']);
  });
});

describe('a level below zero', () => {
  it.each([-0.012, -0.3, -6])('of %s A is never rest: current flows into the battery, or the clamp sits the wrong way round', (levelA) => {
    const { asleep, verdict, over_limit: overLimit } = read(recording(1800, 2, 0.001, () => levelA));
    expect([verdict.finding, asleep, overLimit]).toEqual(['unclear', null, null]);
    expect(verdict.because.join(' ')).toContain('flows into the battery');
    expect(verdict.because.join(' ')).toContain('the wrong way round');
  });

  it('within what the zero may be off by is not held against the clamp', () => {
    expect(read(recording(1800, 2, 0.001, () => -0.002), [], { zeroUncertaintyA: 0.003 }).verdict.finding).not.toBe('unclear');
  });
});

describe('a night that began on the charger', () => {
  it('is cut where the charger comes off, and says where', () => {
    const { key_off_s: keyOffS, asleep, average_a: averageA, verdict } = read(recording(4000, 2, 0.001, (atS) => (atS < 900 ? -5 : atS < 1100 ? 0.4 : 0.02)));
    expect(keyOffS).toBeCloseTo(900, -1);
    expect(asleep?.at_s).toBeCloseTo(1100, -1);
    expect(averageA).toBeCloseTo(0.02, 3);
    expect(verdict.because[0]).toContain('15 min');
  });

  it('is not read from the gaps between clouds while a panel still feeds: a panel hides what it feeds', () => {
    // sun on the panel all day, but for four minutes at the beginning
    const { asleep, verdict } = read(recording(7200, 2, 0.001, (atS) => (between(atS, 0, 100) ? 0.03 : between(atS, 100, 130) ? -0.06 : between(atS, 130, 500) ? 0.02 : -0.4)));
    expect(asleep).toBeNull();
    expect(['unclear', 'too-short']).toContain(verdict.finding);
  });
});

describe('a wait', () => {
  it('ends at a time of the clock', () => {
    const { wait_s: waitS, wait_until: until } = read(recording(900, 2, 0.001, () => 0.13), [], { startedAtMs: Date.UTC(2026, 3, 8, 20, 0, 0) });
    // 75 min from key-off (Ford 2023 Edge)
    expect(Date.parse(until ?? '')).toBe(Date.UTC(2026, 3, 8, 20, 15, 0) - 500 + 1000 * (waitS ?? 0));
    expect(Date.parse(until ?? '')).toBeGreaterThanOrEqual(Date.UTC(2026, 3, 8, 21, 14, 0));
  });
});

describe('a Hall sensor of 15 A whose zero nobody stated', () => {
  it('gives a drain of 180 mA no closer than its zero wanders: Allegro ACS712, 0.26 mV a degree at 185 mV/A over ten degrees', () => {
    const { asleep } = read(recording(6000, 2, 0.025, () => 0.18));
    expect((asleep!.high_a - asleep!.low_a) / 2).toBeGreaterThan((1.96 * 10 * 0.26) / 185);
  });
});

describe('a rest', () => {
  it('does not begin while more than a tenth of it is still to go, however small the single steps are beside it', () => {
    // a lamp of 1.7 A; modules of 70, 60 and 70 mA go off one after the other
    const { asleep } = read(recording(6000, 2, 0.002, (atS) => 1.7 + (atS < 100 ? 1 : 0) + (atS < 400 ? 0.07 : 0) + (atS < 700 ? 0.06 : 0) + (atS < 1500 ? 0.07 : 0)));
    expect(asleep!.at_s).toBeGreaterThan(395);
  });

  it('begins at the end of a creep that the noise lets be cut into many levels', () => {
    // 60 mA with a time constant of 800 s above 20 mA: 2 mA are left after 2720 s
    const { asleep } = read(recording(20_000, 2, 0.0003, (atS) => (atS < 900 ? 0.1 : 0) + 0.02 + 0.06 * Math.exp(-atS / 800)));
    expect(Math.abs(asleep!.at_s - 800 * Math.log(0.06 / 0.002))).toBeLessThan(400);
    expect(asleep!.level_a).toBeCloseTo(0.02, 3);
  });
});

describe('a fuse pulled without a mark', () => {
  it.each([['a blip of the hand', 0.4, 0.25], ['a module that boots', 20, 0.06]])('is offered although %s hides the level when it goes back', (_what, blipS, blipA) => {
    const { possible_pulls: possible } = read(recording(1400, 5, 0.001, (atS) => 0.3 - (between(atS, 700, 790) ? 0.15 : 0) + (between(atS, 790, 790 + blipS) ? blipA : 0)), [], SETTLED);
    expect(possible).toHaveLength(1);
    expect(possible[0].change_a).toBeCloseTo(-0.15, 3);
  });

  it('is offered between two wake-ups, which are no fuse put back late', () => {
    const { possible_pulls: possible } = read(recording(1800, 5, 0.001, (atS) => 0.18 + (between(atS, 700, 720) || between(atS, 950, 974) ? 0.45 : 0) - (between(atS, 830, 950) ? 0.015 : 0)), [], SETTLED);
    expect(possible.map((one) => Math.round(1000 * one.change_a))).toEqual([-15]);
  });
});

describe('an average that the zero leaves open', () => {
  it('is no sleep: what wakes again and again is said, and that it is too close to the limit', () => {
    // 20 mA, and 400 mA for 31.5 s each 450 s: 48 mA of 50 mA, and nobody stated the zero
    const { verdict, over_limit: overLimit, average_a: averageA } = read(recording(9000, 2, 0.001, (atS) => 0.02 + (atS % 450 > 400 && atS % 450 < 431.5 ? 0.4 : 0)));
    expect(averageA).toBeCloseTo(0.048, 3);
    expect([verdict.finding, overLimit]).toEqual(['waking', null]);
    expect(verdict.next[0]).toContain('Zero the sensor');
  });
});

describe('the sleeps of a clock that runs slower by the hour', () => {
  it('have the mean of the recording, as well as its two ends are read', () => {
    const dice = new Dice(7);
    const starts = [500];
    while (starts.length < 16) starts.push(starts[starts.length - 1] + 400 * (1 + (0.01 * starts[starts.length - 1]) / 3600) + 0.1 * dice.normal());
    const { wake_rhythm: rhythm } = read(recording(starts[15] + 300, 2, 0.001, (atS) => 0.02 + (starts.some((one) => between(atS, one, one + 10)) ? 0.3 : 0)), [], SETTLED);
    const meanS = (starts[15] - starts[0]) / 15;
    expect(rhythm!.low_s).toBeLessThanOrEqual(meanS);
    expect(rhythm!.high_s).toBeGreaterThanOrEqual(meanS);
    // two moments of 0.5 s over 15 sleeps
    expect(rhythm!.high_s - rhythm!.low_s).toBeLessThan(0.1);
  });
});

describe('a module that polls beside a steady drain', () => {
  it('counts with every pulse, also with those that are levels of their own but small beside the drain', () => {
    // 60 mA for 0.4 s every 17.6 s on 161 mA
    const trace = recording(4000, 5, 0.0005, (atS) => 0.161 + (atS % 17.6 < 0.4 ? 0.06 : 0));
    const { asleep } = read(trace, [], SETTLED);
    const meanA = trace.currentA.reduce((sum, value) => sum + value, 0) / trace.currentA.length;
    expect(Math.abs(asleep!.level_a - meanA)).toBeLessThan(0.00002);
  });

  it('does not hide a module that still times out: the rest begins after it', () => {
    // a bus that is busy half of each second with 220 mA; 42 mA more until 480 s
    const { asleep } = read(recording(4000, 10, 0.001, (atS) => 0.015 + (atS < 400 ? 0.6 : 0) + (atS < 480 ? 0.042 : 0) + (atS % 1.03 < 0.6 ? 0.22 : 0)));
    expect(asleep === null || asleep.at_s > 450).toBe(true);
  });
});
