import { describe, expect, it } from 'vitest';
import type { DrainResult, Pull } from '../../../src/core/analysis/results.ts';
import { commutationWords, fitWords, fuseWords, peakWords, runWords, travelWords, wireWords } from '../../../src/core/present/wording/actuation-words.ts';
import { ohms, plusMinus, provingFigures, tellingActuation, withoutScale } from '../../../src/core/present/wording/figures.ts';
import { pullChange } from '../../../src/core/present/wording/pull-words.ts';
import { ribbonSegments } from '../../../src/core/present/wording/ribbon.ts';
import { actuation, actuationResult, drainResult } from '../report/examples.ts';

describe('the actuation shown as proof', () => {
  const stalled = (startS: number, durationS: number) =>
    actuation({ start_s: startS, stalls: [{ start_s: startS, end_s: startS + durationS, level_a: 13, at: 'travel' }], finding: 'stalled' });

  it('is the longest stall, not the short one in which the recording stopped', () => {
    expect(tellingActuation(actuationResult([stalled(1, 1.6), stalled(9, 0.08), actuation({ start_s: 12 })]))!.start_s).toBe(1);
  });

  it('is the last of equals, and the last at all when none carries the finding', () => {
    expect(tellingActuation(actuationResult([stalled(1, 1), stalled(9, 1)]))!.start_s).toBe(9);
    expect(tellingActuation(actuationResult([actuation({ start_s: 3 }), actuation({ start_s: 7 })]))!.start_s).toBe(7);
    expect(tellingActuation(actuationResult([]))).toBeNull();
  });
});

describe('figures that are bounds', () => {
  const inrush = { peak_a: 10, at_s: 1, settle_s: 0.2, charge_c: 2, i2t_a2s: 20 };

  it('stand behind "at least" on the card where the sensor\'s range ended', () => {
    const clipped = actuation({
      inrush: { ...inrush, peak_at_least: true, low_peak_a: 10, high_peak_a: null },
      run: { start_s: 1.2, end_s: 3, median_a: 10, low_a: 10, high_a: 10, spread_a: 0, slope_a_per_s: 0, at_least: true },
    });
    expect(provingFigures(actuationResult([clipped], 'normal'))).toEqual([
      { label: 'Running', value: 'at least 10.0 A', beside: '' },
      { label: 'Inrush peak', value: 'at least 10.0 A', beside: '' },
    ]);
  });

  it('have both ends where a slow sensor rounded the peak off', () => {
    const rounded = actuation({ inrush: { ...inrush, low_peak_a: 10, high_peak_a: 13 } });
    expect(provingFigures(actuationResult([rounded], 'normal'))[1]).toEqual({ label: 'Inrush peak', value: 'at least 10.0 A', beside: 'at most 13.0 A' });
    expect(peakWords(inrush)).toEqual({ figure: '10.0 A', beside: 'over after 200 ms' });
    expect(peakWords(rounded.inrush!)).toEqual({ figure: 'at least 10.0 A', beside: 'at most 13.0 A, over after 200 ms' });
  });

  it('are said in the ribbon as well', () => {
    const stalled = actuation({ stalls: [{ start_s: 3, end_s: 4, level_a: 10, at: 'travel', at_least: true }], finding: 'stalled' });
    const words = ribbonSegments(actuationResult([stalled]), 0, [], [], 5).map(({ detail }) => detail);
    expect(words.join(' ')).toContain('forward: at least 10.0 A for 1.0 s, after running');
  });

  it('are each of their own stretch in the ribbon: from where it begins, for as long as it takes', () => {
    const one = actuation({
      inrush: { ...inrush, settle_s: 0.25 }, dropouts: [{ start_s: 2, end_s: 2.5 }],
      stalls: [{ start_s: 3, end_s: 4, level_a: 13, at: 'start' }], run: { start_s: 1.25, end_s: 3, median_a: 4, low_a: 4, high_a: 4, spread_a: 0, slope_a_per_s: 0 },
    });
    expect(ribbonSegments(actuationResult([one, actuation({ inrush: null, run: null })]), 0, [], [{ startS: 4.5, endS: 5 }], 6).map(({ kind, startS, endS, detail }) => [kind, startS, endS, detail])).toEqual([
      ['inrush', 1, 1.25, 'forward: peak 10.0 A, over after 250 ms'], ['run', 1.25, 3, 'forward: 4.00 A for 1.8 s'], ['dropout', 2, 2.5, 'no current for 500 ms while the switch was held'],
      ['stall', 3, 4, 'forward: 13.0 A for 1.0 s, from the start'], ['gap', 4.5, 5, 'nothing received for 500 ms'],
    ]);
  });
});

describe('what is worked out from a press, in words', () => {
  it('names stall current, time constants, turns, fuse and wire with their uncertainty', () => {
    const fit = { tau_mechanical_s: 0.06, low_mechanical_s: 0.058, high_mechanical_s: 0.062, tau_electrical_s: 0.0013, low_electrical_s: 0.0012, high_electrical_s: 0.0014, standstill_a: 14, low_standstill_a: 13.8, high_standstill_a: 14.2 };
    const one = actuation({
      inrush: { peak_a: 13, at_s: 1, settle_s: 0.2, charge_c: 2, i2t_a2s: 20, fit },
      travel: { ripples: 800, low_ripples: 790, high_ripples: 810, revolutions: 100, low_revolutions: 98.8, high_revolutions: 101 },
      fuse: { rating_a: 10, share: 1.6, lasted_s: 2, i2t_a2s: 500, holds_s: 0.25, opens_s: 50 },
      wire: { wire_ohm: 0.08, drop_v: 0.32, sag_v: 0.4, share: 0.8, low_share: 0.78, high_share: 0.82 },
    });
    expect(fitWords(one.inrush)).toEqual({ figure: 'stall current about 14.0 A', beside: '13.8 to 14.2 A; time constant 60.0 ms, L/R 1.30 ms' });
    expect(travelWords(one)).toEqual({ figure: '100 turns', beside: '98.8 to 101' });
    expect(fuseWords(one)).toEqual({ figure: '160 % for 2.0 s', beside: 'opens between 250 ms and 50 s, I²t 500 A²s' });
    expect(wireWords(one)).toEqual({ figure: '80 % of the drop', beside: '78 to 82 %, 0.32 of 0.40 V' });
  });

  it('gives the reason where there is no fit, and nothing where nothing was asked', () => {
    expect(fitWords({ peak_a: 13, at_s: 1, settle_s: 0.2, charge_c: 2, i2t_a2s: 20, fit: null, no_fit: 'Too slow.' })).toEqual({ figure: 'no estimate', beside: 'Too slow.' });
    expect([fitWords(null), travelWords(actuation()), fuseWords(actuation()), wireWords(actuation())]).toEqual([null, null, null, null]);
  });
});

describe('the figures that prove a night', () => {
  const asleep = { ...drainResult().asleep!, level_a: 0.035, low_a: 0.033, high_a: 0.037, uncertainty: [{ source: 'noise', contribution: 0.001 }] } as NonNullable<DrainResult['asleep']>;
  const pull = (label: string, change_a: number, carries: boolean | null) => ({ label, change_a, low_a: change_a - 0.002, high_a: change_a + 0.002, carries }) as DrainResult['pulls'][number];
  const night = (more: Partial<DrainResult>) => provingFigures({ ...drainResult(), asleep: null, held: null, levels: [], pulls: [], wakeups: [], wake_period_s: null, battery: null, average_a: 0.036, charge_ah_per_day: 0.864, ...more } as DrainResult).map(({ label, value, beside }) => [label, value, beside]);

  it('are the level asleep and the average, else what it held or the last level', () => {
    expect(night({ asleep, over_limit: false })).toEqual([['Asleep', '35.0 mA', '33.0 to 37.0 mA'], ['Average', '36.0 mA', '0.864 Ah a day']]);
    expect(night({ held: { since_s: 60, level_a: 0.2, low_a: 0.19, high_a: 0.21 } })).toEqual([[expect.any(String), '200 mA', '190 to 210 mA']]);
    expect(night({ levels: [{ mean_a: 3, low_a: 2.9, high_a: 3.1 }, { mean_a: 2, low_a: 1.9, high_a: 2.1 }] as unknown as DrainResult['levels'] })).toEqual([[expect.any(String), '2.00 A', '1.90 to 2.10 A']]);
    expect(night({})).toEqual([]);
  });

  it('are over the limit no sleep: the level is what it settled at', () => {
    expect(night({ asleep: { ...asleep, level_a: 0.4, low_a: 0.39, high_a: 0.41 }, over_limit: true })[0]).toEqual(['Settled at', '400 mA', '390 to 410 mA']);
  });

  it('are after that the fuse that carries most, else wake-ups, else the battery', () => {
    const battery = { days_to_half: 25.2, capacity_ah: 70 } as DrainResult['battery'];
    const wakeups = [{}, {}] as DrainResult['wakeups'];
    const third = (more: Partial<DrainResult>) => night({ asleep, ...more })[2];
    expect(third({ pulls: [pull('F1', -0.01, true), pull('F2', -0.02, true), pull('F3', -0.9, false)], wakeups, battery })).toEqual([expect.stringContaining('F2'), '20.0 mA', '18.0 to 22.0 mA']);
    expect(third({ pulls: [pull('F3', -0.9, false)], wakeups, battery })).toEqual(['Wake-ups', '2', expect.stringMatching(/no steady/)]);
    expect(third({ wakeups, wake_period_s: 600 })).toEqual(['Wake-ups', '2', expect.stringContaining('10 min')]);
    expect(third({ battery })).toEqual([expect.any(String), expect.stringContaining('25'), '70.0 Ah']);
    expect(third({})).toBeUndefined();
  });
});

describe('the figures that prove a press', () => {
  const run = { start_s: 1.2, end_s: 3, median_a: 5, low_a: 4.9, high_a: 5.1, spread_a: 0, slope_a_per_s: 0, uncertainty: [{ source: 'noise' as const, contribution: 0.05 }] };
  const labels = (one: ReturnType<typeof actuation>, finding: 'normal' | 'stalled' | 'starved' = 'normal') => provingFigures(actuationResult([{ ...one, finding: finding === 'starved' ? 'normal' : finding }], finding)).map(({ label, value, beside }) => [label, value, beside]);

  it('are of several stalls the highest, and the time that contact was lost in all', () => {
    const stall = (startS: number, levelA: number) => ({ start_s: startS, end_s: startS + 1, level_a: levelA, at: 'travel' as const });
    expect(labels(actuation({ inrush: null, run: null, stalls: [stall(1, 12), stall(3, 14), stall(5, 13)], dropouts: [{ start_s: 2, end_s: 2.2 }, { start_s: 4, end_s: 4.3 }] as never }), 'stalled')).toEqual([['Stall current', '14.0 A', 'for 1.0 s'], ['Contact lost', '2 ×', '500 ms in all']]);
  });

  it('are the feed where that starves it or little else is known, and never more than three', () => {
    const supply = { source_ohm: 0.25, low_ohm: 0.2, high_ohm: 1.2 } as never;
    const inrush = { peak_a: 12, at_s: 1, settle_s: 0.2, charge_c: 2, i2t_a2s: 20 };
    expect(labels(actuation({ run, supply, inrush })).map(([label]) => label)).toEqual(['Running', 'Feed', 'Inrush peak']);
    const bad = { depth_a: 0.5, share: 0.1, revolutions: 40 } as never;
    expect(labels(actuation({ run, supply, inrush, bad_commutation: bad }), 'starved')).toEqual([['Running', '5.00 A', '4.90 to 5.10 A'], ['Bad bar', '500 mA', '10 % of running current'], ['Feed', '250 mΩ', '200 mΩ to 1.20 Ω']]);
    expect(labels(actuation({ run, supply, inrush, bad_commutation: bad })).map(([label]) => label)).toEqual(['Running', 'Bad bar', 'Inrush peak']);
    expect(labels(actuation({ run: null, supply: null, inrush: null }))).toEqual([]);
    expect(provingFigures(actuationResult([]))).toEqual([{ label: 'At rest', value: expect.any(String), beside: expect.stringMatching(/^noise/) }]);
  });

  it('hold for what the sensor read where nothing says how far its scale is off', () => {
    const parts = (source: 'noise' | 'gain', unit: 'A' | 'ohm' = 'A') => ({ label: '', value: '', beside: '', parts: { unit, parts: [{ source, contribution: 1 }] } });
    expect([withoutScale([]), withoutScale([{ label: '', value: '', beside: '' }]), withoutScale([parts('noise')]), withoutScale([parts('gain')]), withoutScale([parts('noise', 'ohm')]), withoutScale([parts('gain'), parts('noise')])]).toEqual([false, false, true, false, false, true]);
    expect(provingFigures(actuationResult([actuation({ run })], 'normal'))[0]!.parts).toEqual({ unit: 'A', parts: run.uncertainty, beside: true });
    expect(provingFigures(actuationResult([actuation({ run: { ...run, uncertainty: [] } })], 'normal'))[0]!.parts).toBeUndefined();
  });

  it('have the unit that fits their size', () => {
    expect([ohms(0.0254), ohms(0.9994), ohms(1), ohms(-0.5), ohms(12.34)]).toEqual(['25.4 mΩ', '999 mΩ', '1.00 Ω', '-500 mΩ', '12.3 Ω']);
    expect(runWords(run)).toEqual({ figure: '5.00 A', beside: '(4.90 to 5.10)' });
    expect(commutationWords(actuation())).toBeNull();
    expect(commutationWords(actuation({ bad_commutation: { depth_a: 0.5, share: 0.123, revolutions: 40 } as never }))).toEqual({ figure: '500 mA less at one bar', beside: '12 % of the running current, averaged over 40 turns' });
    const fuse = { rating_a: 10, share: 0.8, lasted_s: 2, i2t_a2s: 500 };
    expect(fuseWords(actuation({ fuse: { ...fuse, holds_s: 1, opens_s: null } as never }))).toEqual({ figure: '80 % for 2.0 s', beside: 'holds, I²t 500 A²s' });
    expect(fuseWords(actuation({ fuse: { ...fuse, holds_s: null, opens_s: 4 } as never }))!.beside).toBe('I²t 500 A²s');
    expect(travelWords(actuation({ travel: { ripples: 800, low_ripples: 790, high_ripples: 810, revolutions: null } as never }))).toEqual({ figure: '800 ripples', beside: '790 to 810' });
  });
});

describe('the half-width beside a figure', () => {
  it('is at the last place of the figure, rounded up, and never finer', () => {
    // 3.2 mA do not show in 14.0 A; 0.24 A of 14.0 A are 0.3 at its place; what is whole stays whole
    expect([0.0032, 0.24, 0.3, 3.2].map((halfA) => plusMinus('14.0 A', halfA, 'A'))).toEqual(['± 0.1 A', '± 0.3 A', '± 0.3 A', '± 3.2 A']);
    expect(plusMinus('at least 405 mA', 0.0452, 'A')).toBe('± 46 mA');
    expect(plusMinus('-2.41 A (-2.45 to -2.37)', 0.04, 'A')).toBe('± 0.04 A');
    expect(plusMinus('85.0 mΩ', 0.00021, 'ohm')).toBe('± 0.3 mΩ');
  });
});

describe('the change at a pull', () => {
  const pull = { label: 'F12', at_s: 600, change_a: -0.2, low_a: -0.21, high_a: -0.19 };

  it('is there with its bounds wherever it was measured, also where it leaves open what the fuse carries, and a dash elsewhere', () => {
    const bounds = pullChange({ ...pull, carries: true });
    expect(bounds).toContain('\u2212200 mA');
    expect(pullChange({ ...pull, carries: false, uncertainty: [] })).toBe(bounds);
    expect(pullChange({ ...pull, carries: null, uncertainty: [{ source: 'noise', half_width: 0.01 }] as unknown as NonNullable<Pull['uncertainty']> })).toBe(bounds);
    expect([pullChange({ ...pull, carries: null, uncertainty: [] }), pullChange({ ...pull, carries: null })]).toEqual(['\u2013', '\u2013']);
  });
});
