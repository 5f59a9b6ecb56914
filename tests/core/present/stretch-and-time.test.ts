import { describe, expect, it } from 'vitest';
import { localDay, localMoment } from '../../../src/core/present/local-time.ts';
import { nearByGainLines, nearLimitLines } from '../../../src/core/present/documents/near-limit-lines.ts';
import { en } from '../../../src/core/present/en/index.ts';
import { ribbonSegments, type Segment } from '../../../src/core/present/wording/ribbon.ts';
import { formatCharge, formatFrequency, formatSlope, formatVolts, stretchesCsv, stretchFigures, stretchKey, withFigures } from '../../../src/core/present/wording/stretch-words.ts';
import type { ActuationResult, DrainResult } from '../../../src/core/analysis/results.ts';
import type { Mark } from '../../../src/core/trace.ts';
import type { ChargeView } from '../../../src/core/wire/api.ts';
import { actuationResult, drainResult } from '../report/examples.ts';

describe('a moment where the clock of a zone stood', () => {
  it.each([
    // Berlin is two hours ahead of UTC in July, one in November (IANA tz)
    ['2026-07-01T22:30:00Z', 'Europe/Berlin', '2 July 2026', '2 July 2026, 00:30'],
    ['2026-11-25T07:05:00Z', 'Europe/Berlin', '25 November 2026', '25 November 2026, 08:05'],
    ['2026-11-25T07:05:00Z', 'No/Where', '25 November 2026 UTC', '25 November 2026, 07:05 UTC'],
    ['soon', 'Europe/Berlin', 'soon', 'soon'],
  ])('%s in %s', (moment, zone, day, whole) => {
    expect([localDay(moment, zone), localMoment(moment, zone)]).toEqual([day, whole]);
  });
});

const view: ChargeView = { charge_c: 20, charge_ah: 20 / 3600, mean_a: 4, duration_s: 5, gap_s: 0, min_a: 0.5, max_a: 6, peak_to_peak_a: 5.5, mean_v: 12.345, min_v: 11.9, max_v: 12.6, frequency_hz: 153.2, slope_a_per_s: -0.25 };

describe('a measured stretch', () => {
  it('is reported in the order it is read, and leaves out what cannot be reported', () => {
    expect(stretchFigures(view)).toEqual([
      { name: 'Length', value: '5.00 s' }, { name: 'Mean', value: '4.00 A' }, { name: 'Minimum', value: '500 mA' }, { name: 'Maximum', value: '6.00 A' }, { name: 'Peak to peak', value: '5.50 A' },
      { name: 'Charge', value: '20.0 C (5.56 mAh)' }, { name: 'Volts', value: '12.35 V (11.90 V to 12.60 V)' }, { name: 'Frequency', value: '153 Hz' }, { name: 'Slope', value: '−250 mA/s' },
    ]);
    const bare = stretchFigures({ ...view, min_a: null, max_a: null, peak_to_peak_a: null, mean_v: null, frequency_hz: null, slope_a_per_s: null });
    expect(bare.map(({ name, value }) => [name, value])).toEqual([['Length', '5.00 s'], ['Mean', '4.00 A'], ['Charge', '20.0 C (5.56 mAh)'], ['Frequency', 'none found']]);
    for (const missing of [{ min_v: null }, { max_v: null }]) expect(stretchFigures({ ...view, ...missing }).map(({ name }) => name)).not.toContain('Volts');
  });

  it('says what was not measured from a hundredth of it on', () => {
    const names = (gapS: number): string[] => stretchFigures({ ...view, gap_s: gapS }).map(({ name }) => name);
    expect([names(0.05).includes('Not measured'), names(0.051).includes('Not measured')]).toEqual([false, true]);
  });

  it('has units that fit its size', () => {
    // 3600 C are 1 Ah
    expect([formatCharge(3600), formatCharge(3598), formatCharge(-3600), formatFrequency(7.254), formatSlope(2), formatVolts(1.23456)]).toEqual(['3600 C (1.00 Ah)', '3600 C (999 mAh)', '−3600 C (−1.00 Ah)', '7.25 Hz', '2.00 A/s', '1.235 V']);
  });

  it('is known again in the ribbon, by where it begins and ends', () => {
    const stretch: Segment = { startS: 1, endS: 6, kind: 'stretch', word: 'mine', detail: '5.0 s', lane: 2 };
    const measured = new Map([[stretchKey({ timeS: 1, endS: 6 }), { ...view, min_a: null, max_a: null, peak_to_peak_a: null, mean_v: null, frequency_hz: 10, slope_a_per_s: null }]]);
    expect(withFigures([stretch], measured)[0]!.detail).toBe('length 5.00 s, mean 4.00 A, charge 20.0 C (5.56 mAh), frequency 10.0 Hz');
    expect(withFigures([{ ...stretch, endS: 7 }, { ...stretch, kind: 'note' }], measured).map(({ detail }) => detail)).toEqual(['5.0 s', '5.0 s']);
  });

  it('as a table has SI units, empty cells, and no name that a spreadsheet reckons with', () => {
    const mark = (label: string): Mark => ({ timeS: 1, endS: 6, kind: 'stretch', label });
    const csv = stretchesCsv([{ mark: mark('say "ho"'), view }, { mark: mark('=1+1'), view: { ...view, frequency_hz: null } }, { mark: { timeS: 2, kind: 'note', label: 'a=b' }, view }]).split('\n');
    expect(csv[0]).toBe('label,time_s,end_s,duration_s,gap_s,mean_a,min_a,max_a,peak_to_peak_a,charge_c,charge_ah,mean_v,min_v,max_v,frequency_hz,slope_a_per_s');
    expect(csv[1]).toBe(`"say ""ho""",1,6,5,0,4,0.5,6,5.5,20,${20 / 3600},12.345,11.9,12.6,153.2,-0.25`);
    expect(csv[2]!.startsWith('"\'=1+1",1,6,')).toBe(true);
    expect(csv[2]).toContain(',12.6,,-0.25');
    expect(csv[3]!.startsWith('"a=b",2,2,')).toBe(true);
    expect(csv).toHaveLength(5);
  });
});

describe('a figure near its limit', () => {
  it('is one line, which says how many there are', () => {
    const near = { figure: 'run', at_s: 1, value_a: 5, low_a: 4.9, high_a: 5.1, limit_a: 5 } as const;
    expect(nearLimitLines(undefined, en.calibration)).toEqual([]);
    expect(nearLimitLines([], en.calibration)).toEqual([]);
    expect(nearLimitLines([near], en.calibration)[0]).toMatch(/^The running current of the press at 1\.0 s, 5\.00 A \(4\.90 to 5\.10\), is too close to the limit of 5\.00 A/);
    expect(nearLimitLines([near, near], en.calibration)).toHaveLength(1);
    expect(nearLimitLines([near, near], en.calibration)[0]).toMatch(/^In 2 presses/);
    const byGain = { at_s: 1, value_a: 5, limit_a: 5.2, percent: 3 };
    expect(nearByGainLines([], en.calibration)).toEqual([]);
    expect(nearByGainLines([byGain, byGain], en.calibration)).toEqual([expect.stringMatching(/press at 1\.0 s, 5\.00 A, is close to the limit of 5\.20 A.* ± 3\.0 % would be usual/)]);
    expect(nearLimitLines([{ ...near, figure: 'asleep' }], en.calibration)[0]).toMatch(/^The level asleep/);
  });
});

describe('the ribbon of a night', () => {
  const night = (more: Partial<DrainResult>): DrainResult => ({ ...drainResult(), asleep: null, wakeups: [], over_limit: false, ...more });
  const rows = (segments: readonly Segment[]) => segments.map(({ kind, startS, endS, word }) => [kind, startS, endS, word]);
  const asleep = { at_s: 600, level_a: 0.02 } as DrainResult['asleep'];
  const wake = (startS: number, endS: number) => ({ start_s: startS, end_s: endS, peak_a: 3, charge_c: 9 }) as DrainResult['wakeups'][number];

  it('is awake up to its sleep, and asleep between its wake-ups', () => {
    expect(rows(ribbonSegments(night({ asleep }), 0, [], [], 1000))).toEqual([['awake', 0, 600, 'awake'], ['asleep', 600, 1000, 'asleep']]);
    expect(rows(ribbonSegments(night({ asleep, wakeups: [wake(700, 710), wake(800, 820)] }), 100, [], [], 1000))).toEqual([
      ['awake', 100, 700, 'awake'], ['asleep', 700, 800, 'asleep'], ['wake-up', 800, 810, 'wake-up'], ['asleep', 810, 900, 'asleep'], ['wake-up', 900, 920, 'wake-up'], ['asleep', 920, 1000, 'asleep'],
    ]);
    expect(rows(ribbonSegments(night({}), 0, [], [], 1000))).toEqual([['awake', 0, 1000, 'awake']]);
    // at rest over its limit it draws what it should not: no sleep
    expect(rows(ribbonSegments(night({ asleep, over_limit: true }), 0, [], [], 1000))).toEqual([['awake', 0, 600, 'awake'], ['asleep', 600, 1000, 'settled']]);
    // held over its limit from 600 s on, with nothing yet that could be called sleep
    const held = { since_s: 600, level_a: 0.2 } as unknown as NonNullable<DrainResult['held']>;
    expect(rows(ribbonSegments(night({ held }), 0, [], [], 1000))).toEqual([['awake', 0, 600, 'awake'], ['asleep', 600, 1000, 'settled']]);
    expect(rows(ribbonSegments(night({ wakeups: [wake(700, 710)] }), 0, [], [], 600))).toEqual([['awake', 0, 600, 'awake'], ['wake-up', 700, 710, 'wake-up']]);
    // awake to its end, and a wake-up that runs to the end of the recording
    expect(rows(ribbonSegments(night({ asleep: { ...asleep!, at_s: 0 }, wakeups: [wake(0, 1000)] }), 0, [], [], 1000))).toEqual([['wake-up', 0, 1000, 'wake-up']]);
  });

  it('says the same of a recording that began before, each time later by as much', () => {
    const later = (result: Parameters<typeof ribbonSegments>[0]): void => expect(ribbonSegments(result, 100, [], [], 1100)).toEqual(ribbonSegments(result, 0, [], [], 1000).map((one) => ({ ...one, startS: one.startS + 100, endS: one.endS + 100 })));
    later(night({ asleep, wakeups: [wake(700, 710)] }));
    later({ ...actuationResult(), flags: [{ start_s: 3, end_s: 4, limit_a: 5, peak_a: 13 }] as unknown as ActuationResult['flags'] });
  });

  it('has a pull until the same fuse is back, the next one is pulled, or the recording ends', () => {
    const pull = (timeS: number, kind: Mark['kind'], label: string): Mark => ({ timeS, kind, label });
    const lane = (...marks: Mark[]) => ribbonSegments(null, 0, marks, [], 100).map(({ startS, endS, detail }) => [startS, endS, detail]);
    expect(lane(pull(10, 'pull', 'F1'), pull(20, 'refit', 'F2'), pull(30, 'refit', 'F1'))).toEqual([[10, 30, expect.stringContaining('20 s')]]);
    expect(lane(pull(10, 'pull', 'F1'), pull(40, 'pull', 'F2')).map(([from, to]) => [from, to])).toEqual([[10, 40], [40, 100]]);
    expect(lane(pull(110, 'pull', 'F1')).map(([from, to]) => [from, to])).toEqual([[110, 110]]);
    // a fuse put back before is no end of a later pull
    expect(lane(pull(5, 'refit', 'F1'), pull(10, 'pull', 'F1')).map(([from, to]) => [from, to])).toEqual([[10, 100]]);
  });

  it('names a note by its label, else by its kind', () => {
    const note = (label: string) => ribbonSegments(null, 0, [{ timeS: 50, kind: 'note', label }], [], 100)[0]!;
    expect([note('door').word, note('').word]).toEqual(['door', en.names.marks.note]);
    for (const label of ['door', '']) expect(note(label).detail).toContain(note(label).word);
  });

  it('shows gaps, notes and stretches in order of time', () => {
    const marks: Mark[] = [{ timeS: 50, kind: 'note', label: 'door' }, { timeS: 5, endS: 9, kind: 'stretch', label: '' }];
    expect(rows(ribbonSegments(null, 0, marks, [{ startS: 20, endS: 30 }], 100))).toEqual([['stretch', 5, 9, 'stretch'], ['gap', 20, 30, 'gap'], ['note', 50, 50, 'door']]);
  });
});
