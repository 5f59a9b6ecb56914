import { describe, expect, it } from 'vitest';
import { fitWords, fuseWords, peakWords, travelWords, wireWords } from '../../../src/core/present/actuation-words.ts';
import { provingFigures, tellingActuation } from '../../../src/core/present/figures.ts';
import { ribbonSegments } from '../../../src/core/present/ribbon.ts';
import { actuation, actuationResult } from '../report/examples.ts';

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
    expect(peakWords(rounded.inrush!)).toEqual({ figure: 'at least 10.0 A', beside: 'at most 13.0 A, over after 200 ms' });
  });

  it('are said in the ribbon as well', () => {
    const stalled = actuation({ stalls: [{ start_s: 3, end_s: 4, level_a: 10, at: 'travel', at_least: true }], finding: 'stalled' });
    const words = ribbonSegments(actuationResult([stalled]), 0, [], [], 5).map(({ detail }) => detail);
    expect(words.join(' ')).toContain('forward: at least 10.0 A for 1.0 s, after running');
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
