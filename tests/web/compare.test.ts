import { likeWords } from '../../src/core/present/wording/many-words.ts';
import { describe, expect, it } from 'vitest';
import type { ComparedMetric } from '../../src/core/analysis/compare/results.ts';
import type { Placement } from '../../src/core/analysis/compare/known-good/known-good.ts';
import { changeWords } from '../../src/core/present/wording/compare-words.ts';
import { placeWords } from '../../src/core/present/wording/place-words.ts';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import type { TraceView } from '../../src/core/wire/api.ts';
import { afterKey, beforeKey, choosePairOf, groupTrouble, likelyGroup, likelyPair, MOST_SIDE_BY_SIDE, offerPair, pairTrouble, refOf, type PairJob } from '../../web/compare/choice.ts';

function view(jobId: string, id: string, test: 'actuation' | 'drain' | null, end: 'ended' | 'running' = 'ended'): TraceView {
  return { jobId, record: { ...emptyTraceRecord(id, '2026-11-25T07:00:00.000Z', 'test'), test, end }, finding: null };
}

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

  it('never lays the virtual vehicle beside another one', () => {
    const virtual = view('a', '2', 'actuation');
    const made = { ...virtual, record: { ...virtual.record, simulated: true } };
    expect(likelyPair([view('a', '3', 'actuation'), made])).toBeNull();
    expect(likelyPair([view('a', '3', 'actuation'), made, view('a', '1', 'actuation')])).toEqual({ before: 'a/1', after: 'a/3' });
  });
});

describe('the pair of a job', () => {
  const at = (id: string, hour: string, jobId = 'a'): TraceView => ({ jobId, record: { ...emptyTraceRecord(id, `2026-11-25T${hour}:00:00.000Z`, 'test'), test: 'actuation', end: 'ended' }, finding: null });
  const job = (repairedAt: string | null): PairJob => ({ id: 'a', repair: repairedAt === null ? null : { at: `2026-11-25T${repairedAt}:30:00Z`, cause: null, work: '', part: '' } });

  it('lies on both sides of its repair, and is never of another job', () => {
    const newestFirst = [at('9', '19', 'b'), at('8', '18', 'b'), at('4', '14'), at('3', '13'), at('2', '12'), at('1', '11')];
    expect(likelyPair(newestFirst, job('12'))).toEqual({ before: 'a/2', after: 'a/4' });
    expect(likelyPair(newestFirst, job(null))).toEqual({ before: 'a/3', after: 'a/4' });
    expect(likelyPair(newestFirst, job('15'))).toBeNull();
    expect(likelyPair(newestFirst, { id: 'c', repair: null })).toBeNull();
  });

  it('is offered anew when more was recorded or recordings go to another job, and stays as a person chose it', () => {
    const two = [at('2', '12'), at('1', '11')];
    const chosen = (): string => `${beforeKey.value} ${afterKey.value}`;
    offerPair(two, job(null));
    expect(chosen()).toBe('a/1 a/2');
    offerPair([at('3', '13'), ...two], job(null));
    expect(chosen()).toBe('a/2 a/3');
    beforeKey.value = 'a/1';
    offerPair([at('4', '14'), at('3', '13'), ...two], job(null));
    expect(chosen()).toBe('a/1 a/3');
    offerPair([at('9', '19', 'b'), at('8', '18', 'b'), ...two], { id: 'b', repair: null });
    expect(chosen()).toBe('b/8 b/9');
    // one trace alone makes a page, but no comparison
    offerPair([at('7', '17', 'c')], { id: 'c', repair: null }, true);
    expect(chosen()).toBe('c/7 ');
    offerPair([at('7', '17', 'c')], { id: 'c', repair: null });
    expect(chosen()).toBe(' ');
    choosePairOf(two, job(null), 'actuation');
    offerPair([], { id: 'c', repair: null });
    expect(chosen()).toBe('a/1 a/2');
    // of the test that is asked for; one trace alone where that will do
    const night = { ...at('5', '15'), record: { ...at('5', '15').record, test: 'drain' as const } };
    choosePairOf([night, at('4', '14'), ...two], job('12'), 'actuation');
    expect(chosen()).toBe('a/2 a/4');
    choosePairOf([night, ...two], job('12'), 'drain');
    expect(chosen()).toBe('a/2 a/4');
    choosePairOf([night, ...two], job('12'), 'drain', true);
    expect(chosen()).toBe('a/5 ');
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

describe('several traces side by side', () => {
  it('are offered as those of the newest trace\'s job and test, as many as can be told apart', () => {
    expect(likelyGroup([view('a', '4', 'drain', 'running'), view('a', '3', 'actuation'), view('b', '2', 'actuation'), view('a', '1', 'actuation'), view('a', '0', 'drain')])).toEqual(['a/3', 'a/1']);
    expect(likelyGroup(Array.from({ length: 20 }, (_, i) => view('a', String(i), 'drain')))).toHaveLength(MOST_SIDE_BY_SIDE);
    expect(likelyGroup([])).toEqual([]);
  });

  it('are refused in words when they do not fit together', () => {
    expect(groupTrouble([view('a', '1', 'actuation'), view('a', '2', 'drain')])).toContain('Choose traces of one test');
    expect(groupTrouble([view('a', '1', 'actuation', 'running')])).toContain('Stop the recording');
    expect(groupTrouble(Array.from({ length: 9 }, (_, i) => view('a', String(i), 'drain')))).toContain('At most 8');
    expect(groupTrouble([view('a', '1', 'actuation'), view('b', '2', null)])).toBe('');
  });
});

describe('a place against known-good limits in words', () => {
  const place: Placement = { direction: 'forward', metric: 'run_a', value: 6.5, low_value: 6.4, high_value: 6.6, low: 3, high: 5, place: 'above', beyond: 1.5, beyond_share: 0.3, certain: true };

  it('says inside or outside of which limit, by how much, and with what uncertainty', () => {
    expect(placeWords([place])).toMatchObject({ title: 'Outside', tone: 'fault', rows: [{ here: '6.50 A (6.40 to 6.60)', limits: '3.00 to 5.00 A', where: '30 % (1.50 A) above' }] });
    expect(placeWords([place]).sentence).toBe('One figure is outside the limits, furthest running current forward 30 % (1.50 A) above.');
    expect(placeWords([{ ...place, value: 4, low_value: 3.9, high_value: 4.1, place: 'inside', beyond: 0, beyond_share: 0 }])).toMatchObject({ title: 'Inside', tone: 'good' });
  });

  it('calls no figure outside that may as well lie inside', () => {
    const edge = placeWords([{ ...place, value: 5.1, low_value: 4.8, high_value: 5.4, beyond: 0.1, beyond_share: 0.02, certain: false }]);
    expect(edge).toMatchObject({ title: 'On the edge', tone: 'open' });
    expect(edge.rows[0]!.where).toBe('2.0 % (0.100 A) above, within its uncertainty');
    expect(placeWords([])).toMatchObject({ title: 'Nothing to compare', tone: 'open' });
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

  it('has currents below 1 A in mA, and a share as what was counted', () => {
    expect(changeWords({ ...pair, direction: null, metric: 'asleep_a', before: 0.405, after: 0.0113, change: -0.3937, low: -0.395, high: -0.393 })).toEqual({
      words: 'current asleep', before: '405 mA', after: '11 mA', change: '−394 mA', bounds: '−395 to −393',
    });
    expect(changeWords({ ...pair, direction: null, metric: 'faulty_share', before: 0.5, after: 0, change: -0.5, low: -0.812, high: -0.0001, before_count: 6, after_count: 4 })).toEqual({
      words: 'share of presses with a fault', before: '3 of 6', after: '0 of 4', change: '−50 %', bounds: '−81 % to 0 %',
    });
  });

  it('says none where a side has no such figure', () => {
    expect(changeWords({ ...pair, after: null, change: null, low: null, high: null })).toMatchObject({ after: 'none', change: '', bounds: '' });
  });
});

describe('one of several whose figures do not stand out', () => {
  const read = (finding: string) => ({ finding });

  it('is like the others only where it reads as most of them do', () => {
    expect(likeWords(read('normal'), ['normal', 'normal', 'stalled'].map(read))).toBe('like the others');
    expect(likeWords(read('stalled'), ['normal', 'normal', 'stalled'].map(read))).toBe('stalled, unlike most of the others');
    expect(likeWords(read('stalled'), ['normal', 'stalled'].map(read))).not.toBe('like the others');
  });
});
