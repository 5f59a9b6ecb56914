import { describe, expect, it } from 'vitest';
import type { Segment } from '../../src/core/present/wording/ribbon.ts';
import { bigCurrent, bigVoltage, formatBytes, formatClock, formatDate, formatMoment } from '../../web/reading/format.ts';
import { formatCharge } from '../../src/core/present/wording/stretch-words.ts';
import { layoutRibbon } from '../../src/core/picture/ribbon-layout.ts';
import { nextTimeOfDay } from '../../web/test/arm-panel.tsx';
import { FlagWatch, joinedFlags } from '../../web/test/flag-watch.ts';
import { readNumber } from '../../web/set-up/fields.tsx';
import { matchTraces } from '../../web/traces/match.ts';
import type { TraceView } from '../../src/core/wire/api.ts';
import { formatCount } from '../../src/core/present/language.ts';

function segment(startS: number, endS: number, kind: Segment['kind'] = 'run', lane: 0 | 1 = 0): Segment {
  return { startS, endS, kind, word: kind, detail: '', lane };
}

describe('ribbon layout', () => {
  const view = { fromS: 0, toS: 10 };

  it('lays segments on the axis of the chart and cuts them at its edges', () => {
    const placed = layoutRibbon([segment(-5, 2), segment(4, 6), segment(9, 30), segment(40, 50)], view, 1000, 0);
    expect(placed.map(({ leftPx, widthPx }) => [leftPx, widthPx])).toEqual([[0, 200], [400, 200], [900, 100]]);
    expect(placed.every(({ worded }) => worded)).toBe(true);
  });

  it('drops the word where it does not fit', () => {
    expect(layoutRibbon([segment(1, 1.1, 'inrush')], view, 1000, 0)[0]!.worded).toBe(false);
  });

  it('is bounded by its width, not by the number of segments, and says how many it merged', () => {
    const many = Array.from({ length: 20_000 }, (_, i) => segment(i / 2000, i / 2000 + 0.0002, 'wake-up'));
    const placed = layoutRibbon(many, view, 1000, 0);
    expect(placed.length).toBeLessThanOrEqual(500);
    expect(placed.reduce((sum, { count }) => sum + count, 0)).toBe(20_000);
    // and where the last of them ends, so that a touch shows them all
    expect(Math.max(...placed.map(({ endS }) => endS))).toBeCloseTo(19_999 / 2000 + 0.0002, 9);
    const [pins] = layoutRibbon([1, 1.002, 1.004].map((at) => ({ ...segment(at, at), kind: 'note' as const, lane: 1 as const })), view, 1000, 1);
    expect(pins).toMatchObject({ count: 3, endS: 1.004 });
  });

  it('keeps segments of different kinds apart, and lanes too', () => {
    const placed = layoutRibbon([segment(1, 1.01, 'inrush'), segment(1.01, 1.02, 'run'), segment(1, 2, 'pulled', 1)], view, 1000, 0);
    expect(placed.map(({ segment: { kind } }) => kind)).toEqual(['inrush', 'run']);
  });
});

describe('figures for people', () => {
  it('show sign, figure and unit of a reading', () => {
    expect(bigCurrent(4.2674, false)).toEqual({ sign: '+', digits: '4.27', unit: 'A' });
    expect(bigCurrent(-131.52, false)).toEqual({ sign: '−', digits: '131.5', unit: 'A' });
    expect(bigCurrent(0.0351, true)).toEqual({ sign: '+', digits: '35.1', unit: 'mA' });
    expect(bigCurrent(0.35, true)).toEqual({ sign: '+', digits: '350', unit: 'mA' });
    expect(bigVoltage(12.6).digits).toBe('12.60');
  });

  it('give a zero no sign', () => {
    expect(bigCurrent(-0.0004, false)).toEqual({ sign: '', digits: '0.00', unit: 'A' });
  });

  it('name moments by the span that is shown', () => {
    expect(formatMoment(12.3456, 0.5)).toBe('12.346 s');
    expect(formatMoment(12.3456, 10)).toBe('12.3 s');
    expect(formatMoment(75, 60)).toBe('1:15');
    expect(formatMoment(59.96, 8)).toBe('60.0 s');
    expect(formatMoment(3725, 600)).toBe('1:02:05');
    expect(formatMoment(25 * 3600 + 300, 86_400)).toBe('25 h 05');
  });

  it('write clocks, sizes, counts, dates and charges', () => {
    expect(formatClock(3723.9)).toBe('1:02:03');
    expect(formatClock(-1)).toBe('0:00');
    expect(formatBytes(12_345_678)).toBe('12.3 MB');
    expect(formatCount(259_200_000)).toBe('259,200,000');
    expect(formatDate('2026-11-05T07:05:09', true)).toBe('5 Nov 2026, 07:05:09');
    expect(formatDate('soon')).toBe('soon');
    expect(formatCharge(3600)).toBe('3600 C (1.00 Ah)');
    expect(formatCharge(36)).toBe('36.0 C (10.0 mAh)');
  });
});

describe('what people type', () => {
  it('is read with a decimal comma too, and is nothing when empty', () => {
    expect(readNumber(' 3,5 ')).toBe(3.5);
    expect(readNumber('−2')).toBe(-2);
    expect(readNumber('')).toBeNull();
    for (const text of ['1e9', '3..5', 'five', '0x10', '1 2']) expect(readNumber(text)).toBeNaN();
  });

  it('sets an alarm to the next such time of day', () => {
    const now = new Date(2026, 10, 25, 22, 30);
    expect(nextTimeOfDay('23:00', now)).toEqual(new Date(2026, 10, 25, 23, 0));
    expect(nextTimeOfDay('06:00', now)).toEqual(new Date(2026, 10, 26, 6, 0));
  });

  it('finds a trace by words of its job and of its finding', () => {
    const trace = (id: string, jobId: string, finding: string | null): TraceView => ({ jobId, finding, record: { id, title: '', start: '2026-11-25T10:00:00Z', test: null, logger: { name: 'clamp' } } as TraceView['record'] });
    const jobs = [{ traces: 1, job: { id: 'j1', vehicle: 'Minibus 4', complaint: 'side step hardly moves' } as never }];
    const traces = [trace('a', 'j1', 'stalled'), trace('b', 'unfiled', 'normal')];
    expect(matchTraces(traces, jobs, 'minibus STALLED').map(({ record }) => record.id)).toEqual(['a']);
    expect(matchTraces(traces, jobs, ' ')).toHaveLength(2);
    expect(matchTraces(traces, jobs, 'tractor')).toEqual([]);
  });
});

describe('FlagWatch', () => {
  const samples = (values: number[], fromS = 0) => ({ timeS: Float64Array.from(values, (_, i) => fromS + i / 100), currentA: Float32Array.from(values), voltageV: null });

  it('leaves out what is over before its hold-off, as a healthy inrush is, and tells the rest once it has lasted', () => {
    const watch = new FlagWatch(10, 0.3);
    const block = (startS: number, levelA: number, count = 100): Parameters<FlagWatch['push']>[0] => ({ timeS: Float64Array.from({ length: count }, (_, i) => startS + i / 1000), currentA: new Float32Array(count).fill(levelA), voltageV: null });
    expect([watch.push(block(0, 14)), watch.push(block(0.1, 14)), watch.push(block(0.2, 4, 800))]).toEqual([false, false, false]);
    expect(watch.flags).toEqual([]);
    // a jam: past the limit from 1 s on, reported once 0.3 s have gone by, from its beginning
    expect([watch.push(block(1, 13, 300)), watch.push(block(1.3, 13)), watch.push(block(1.4, 13))]).toEqual([false, true, false]);
    expect(watch.flags).toMatchObject([{ startS: 1, peakA: 13 }]);
  });

  it('lists stretches past the limit on either side of zero, just above it and not at it', () => {
    const watch = new FlagWatch(10);
    expect(watch.push(samples([0, 10, -10, 0]))).toBe(false);
    expect(watch.push(samples([0, 10.001, 12, 0], 1))).toBe(true);
    expect(watch.push(samples([-11], 2))).toBe(true);
    expect(watch.flags.map(({ peakA }) => peakA)).toEqual([12, 11]);
  });

  it('takes ripple across the limit as one stretch, over the edge of blocks too', () => {
    const watch = new FlagWatch(10);
    watch.push(samples([9, 11, 9, 11]));
    expect(watch.push(samples([9, 11, 9, 11], 0.04))).toBe(false);
    expect(watch.flags).toHaveLength(1);
    expect(watch.flags[0]!.endS).toBeCloseTo(0.07, 9);
  });

  it('joins what the analysis has found with what a page has seen that was opened in the middle of it', () => {
    // by the analysis from 1.84 s of a recording that began at 35 s; the page came 1 s later and is 0.3 s ahead
    const found = [{ start_s: 1.84, end_s: 3.2, peak_a: -14.1 }, { start_s: 10, end_s: 11, peak_a: 9 }];
    const seen = [{ startS: 2, endS: 3, peakA: 8.5 }, { startS: 37.9, endS: 38.5, peakA: 14.2 }, { startS: 50, endS: 50.1, peakA: 8.2 }];
    expect(joinedFlags(found, 35, seen)).toEqual([
      { startS: 2, endS: 3, peakA: 8.5 },
      { startS: 36.84, endS: 38.5, peakA: 14.2 },
      { startS: 45, endS: 46, peakA: 9 },
      { startS: 50, endS: 50.1, peakA: 8.2 },
    ]);
    // as between two crossings seen here: ripple across the limit stays one
    expect(joinedFlags([{ start_s: 0, end_s: 1, peak_a: 9 }], 0, [{ startS: 1.05, endS: 1.2, peakA: 8.5 }])).toEqual([{ startS: 0, endS: 1.2, peakA: 9 }]);
    expect(joinedFlags([], 0, seen)).toEqual(seen);
  });

  it('keeps a bounded number of flags', () => {
    const watch = new FlagWatch(1);
    for (let i = 0; i < 500; i++) watch.push(samples([2], i));
    expect(watch.flags.length).toBeLessThanOrEqual(100);
  });
});
