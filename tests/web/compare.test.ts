import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { ComparedMetric } from '../../src/core/analysis/compare/results.ts';
import { changeWords } from '../../src/core/present/compare-words.ts';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import type { TraceView } from '../../src/core/wire/api.ts';
import { likelyPair, pairTrouble, refOf } from '../../web/compare/choice.ts';
import { differenceOf } from '../../web/compare/difference.ts';

function view(jobId: string, id: string, test: 'actuation' | 'drain' | null, end: 'ended' | 'running' = 'ended'): TraceView {
  return { jobId, record: { ...emptyTraceRecord(id, '2026-11-25T07:00:00.000Z', 'test'), test, end }, finding: null };
}

describe('the difference of two overlaid recordings', () => {
  it('is exact for straight lines of different rates, where both cover the time', () => {
    // arithmetic: (3 t + 1) - (t - 2) = 2 t + 3
    fc.assert(
      fc.property(fc.integer({ min: 2, max: 200 }), fc.integer({ min: 2, max: 200 }), fc.double({ min: -0.4, max: 0.4, noNaN: true }), (beforeCount, afterCount, shiftS) => {
        const beforeS = Array.from({ length: beforeCount }, (_, i) => i / (beforeCount - 1));
        const afterS = Array.from({ length: afterCount }, (_, i) => shiftS + i / (afterCount - 1));
        const found = differenceOf({ timeS: beforeS, currentA: beforeS.map((t) => t - 2) }, { timeS: afterS, currentA: afterS.map((t) => 3 * t + 1) });
        expect(found.timeS).toEqual(beforeS.filter((t) => t >= afterS[0]! && t <= afterS.at(-1)!));
        found.timeS.forEach((t, i) => expect(found.currentA[i]!).toBeCloseTo(2 * t + 3, 9));
      }),
    );
  });

  it('is empty when the two do not overlap in time, and when one has no line', () => {
    const line = { timeS: [0, 1], currentA: [1, 1] };
    expect(differenceOf(line, { timeS: [2, 3], currentA: [1, 1] }).timeS).toEqual([]);
    expect(differenceOf(line, { timeS: [], currentA: [] }).timeS).toEqual([]);
    expect(differenceOf({ timeS: [], currentA: [] }, line).timeS).toEqual([]);
  });
});

describe('the pair that is offered first', () => {
  it('is the newest two of one job and one test, the older one as before', () => {
    const newestFirst = [view('a', '5', 'drain'), view('b', '4', 'actuation'), view('a', '3', 'actuation'), view('a', '2', 'drain'), view('b', '1', 'actuation')];
    expect(likelyPair(newestFirst)).toEqual({ before: 'a/2', after: 'a/5' });
    expect(refOf('a/2')).toEqual({ jobId: 'a', traceId: '2' });
  });

  it('leaves out what is still being recorded, and is none when nothing fits', () => {
    expect(likelyPair([view('a', '2', 'drain', 'running'), view('a', '1', 'drain')])).toBeNull();
    expect(likelyPair([view('a', '2', 'drain'), view('b', '1', 'drain')])).toBeNull();
    expect(likelyPair([])).toBeNull();
  });
});

describe('two traces that cannot be compared', () => {
  it('are named before the daemon is asked, with what to do', () => {
    const motor = view('a', '1', 'actuation');
    expect(pairTrouble(motor, motor)).toContain('same trace');
    expect(pairTrouble(motor, view('a', '2', 'drain'))).toContain('two traces of the same test');
    expect(pairTrouble(motor, view('a', '2', 'actuation', 'running'))).toContain('Stop the recording');
    expect(pairTrouble(motor, view('a', '2', null))).toBe('');
    expect(pairTrouble(motor, undefined)).toBe('');
  });
});

describe('a change in words', () => {
  const pair: ComparedMetric = {
    direction: 'forward', metric: 'inrush_peak_a', before: 13.34, after: 13.31, change: -0.00000636, low: -0.167, high: 0.167, judgement: 'same', method: 'welch',
    tolerance: 1.3, before_count: 3, after_count: 3,
  };

  it('has no more decimals than its figure carries, and a sign only when it is not nought', () => {
    expect(changeWords(pair)).toEqual({ words: 'inrush peak, forward', before: '13.3 A', after: '13.3 A', change: '0.0 A', bounds: '−0.2 to 0.2' });
    expect(changeWords({ ...pair, metric: 'source_ohm', before: 0.1, after: 0.0753, change: -0.0247, low: -0.03, high: -0.02 }).change).toBe('−0.025 Ω');
    expect(changeWords({ ...pair, before: 4, after: 8.25, change: 4.25, low: null, high: null })).toMatchObject({ change: '+4.25 A', bounds: '' });
  });

  it('says none where a side has no such figure', () => {
    expect(changeWords({ ...pair, after: null, change: null, low: null, high: null })).toMatchObject({ after: 'none', change: '', bounds: '' });
  });
});
