import { describe, expect, it } from 'vitest';
import type { ComparedMetric } from '../../../../src/core/analysis/compare/results.ts';
import { actuationVerdict, drainVerdict, noClaim } from '../../../../src/core/analysis/compare/verdict.ts';
import type { ActuationResult, DrainResult } from '../../../../src/core/analysis/results.ts';
import { actuationResult, drainResult } from '../../report/examples.ts';

type Finding = ActuationResult['verdict']['finding'];

/** A compared figure: by default one that got lower by ten times its tolerance over three presses a side. */
const pair = (metric: string, some: Partial<ComparedMetric> = {}): ComparedMetric => ({
  direction: 'forward', metric, before: 5, after: 4, change: -1, low: -1.1, high: -0.9, judgement: 'lower', method: 'welch', tolerance: 0.1, before_count: 3, after_count: 3, ...some,
});
const higher = (metric: string, some: Partial<ComparedMetric> = {}): ComparedMetric => pair(metric, { change: 1, low: 0.9, high: 1.1, judgement: 'higher', ...some });
const same = (metric: string, some: Partial<ComparedMetric> = {}): ComparedMetric => pair(metric, { change: 0.01, low: -0.05, high: 0.05, judgement: 'same', ...some });

const verdict = (first: Finding, second: Finding, ...pairs: ComparedMetric[]) => actuationVerdict(actuationResult([], first), actuationResult([], second), pairs);
const finding = (first: Finding, second: Finding, ...pairs: ComparedMetric[]): string => verdict(first, second, ...pairs).finding;
const codes = (first: Finding, second: Finding, ...pairs: ComparedMetric[]): string => verdict(first, second, ...pairs).because.map((one) => (one.code === 'figure' ? one.pair.metric : one.code)).join(' ');
const next = (first: Finding, second: Finding, ...pairs: ComparedMetric[]): string => verdict(first, second, ...pairs).next.map(({ code }) => code).join(' ');

describe('a comparison by findings', () => {
  it('is repaired, better or worse as their weight goes, whatever the figures say', () => {
    expect([finding('stalled', 'normal', higher('run_a')), finding('stalled', 'suspect'), finding('suspect', 'locked'), finding('normal', 'suspect', pair('run_a')), finding('dead', 'locked')]).toEqual(['repaired', 'better', 'worse', 'worse', 'unchanged']);
  });

  it('claims nothing of a side that has no answer, and says which', () => {
    const open = (first: Finding, second: Finding, ...pairs: ComparedMetric[]) => verdict(first, second, ...pairs);
    expect(open('unclear', 'normal')).toMatchObject({ finding: 'unchanged', claims: false, next: [{ code: 'record-again' }] });
    expect([open('unclear', 'normal'), open('stalled', 'unclear'), open('unclear', 'unclear')].map(({ because }) => because[1])).toEqual([{ code: 'no-answer', side: 'first' }, { code: 'no-answer', side: 'second' }, { code: 'no-answer', side: 'both' }]);
    expect(open('unclear', 'normal', pair('run_a'))).not.toHaveProperty('claims');
  });

  it('says that one fault took the place of another', () => {
    expect([codes('dead', 'locked'), codes('dead', 'dead'), codes('stalled', 'suspect')]).toEqual(['findings fault-changed nothing-compared', 'findings nothing-compared', 'findings']);
  });
});

describe('a comparison by figures', () => {
  const alike = (...pairs: ComparedMetric[]): string => finding('normal', 'normal', ...pairs);

  it('is better or worse where one that decides moved, and worse where they moved both ways', () => {
    expect([alike(pair('run_a')), alike(higher('run_a')), alike(pair('run_a'), higher('source_ohm')), alike(same('run_a'))]).toEqual(['better', 'worse', 'worse', 'unchanged']);
    expect([alike(pair('stall_a')), alike(pair('no_such_figure')), alike(higher('ripple_hz'))]).toEqual(['unchanged', 'unchanged', 'unchanged']);
  });

  it('needs more than the tolerance, and twice that with fewer than three presses on a side', () => {
    const by = (change: number, some: Partial<ComparedMetric> = {}) => alike(pair('run_a', { change, tolerance: 0.5, ...some }));
    expect([by(-0.5), by(-0.51), by(-0.51, { before_count: 2 }), by(-0.51, { after_count: 2 }), by(-1, { after_count: 2 }), by(-1.01, { after_count: 2 })]).toEqual(['unchanged', 'better', 'unchanged', 'unchanged', 'unchanged', 'better']);
    // a figure of the whole trace needs no such allowance
    expect(by(-0.51, { direction: null, after_count: 1 })).toBe('better');
    expect(alike(pair('run_a', { change: null }))).toBe('unchanged');
  });

  it('takes more current for better where a motor that drove nothing has a load again, and neither way of heavy and light', () => {
    const run = (first: Finding, second: Finding) => codes(first, second, higher('run_a'));
    expect([finding('light', 'light', higher('run_a')), finding('light', 'light', pair('run_a'))]).toEqual(['better', 'worse']);
    expect([finding('heavy', 'light', pair('run_a')), finding('light', 'heavy', higher('run_a'))]).toEqual(['unchanged', 'unchanged']);
    expect([run('light', 'heavy'), finding('stalled', 'light')]).toEqual(['findings fault-changed none-moved', 'better']);
  });

  it('shows four at most, those that decide first, the better ones before the worse unless it got worse', () => {
    expect(codes('normal', 'normal', pair('ripple_hz'), pair('run_a'), pair('source_ohm'))).toBe('findings run_a source_ohm ripple_hz');
    expect(codes('normal', 'normal', higher('source_ohm'), pair('run_a'))).toBe('findings source_ohm run_a');
    expect(codes('stalled', 'normal', higher('source_ohm'), pair('run_a'))).toBe('findings run_a source_ohm');
    expect(codes('normal', 'normal', ...['forward', 'reverse', 'forward', 'reverse', 'forward'].map((way) => pair('run_a', { direction: way as 'forward' })))).toBe('findings run_a run_a run_a run_a');
  });

  it('says how many stayed as they were where none moved', () => {
    expect(verdict('normal', 'normal', same('run_a'), same('stall_a'), pair('ripple_hz', { judgement: 'unsure' })).because.at(-1)).toEqual({ code: 'none-moved', same: 2, of: 3 });
  });

  it('shows the share of faulty presses where the finding changed', () => {
    expect([codes('stalled', 'normal', same('faulty_share')), codes('stalled', 'stalled', same('faulty_share'), same('run_a')), codes('stalled', 'normal', pair('faulty_share'))]).toEqual(['findings faulty_share', 'findings none-moved', 'findings faulty_share']);
  });

  it('claims nothing where no direction has presses on both sides', () => {
    const only = pair('run_a', { change: null, judgement: 'unsure' });
    expect(verdict('normal', 'normal', only, same('faulty_share', { direction: null }))).toMatchObject({ finding: 'unchanged', claims: false });
    expect(verdict('normal', 'normal', only, same('run_a'), same('faulty_share', { direction: null }))).not.toHaveProperty('claims');
    expect(verdict('normal', 'normal', only)).not.toHaveProperty('claims');
  });
});

describe('a finding that slipped over a limit', () => {
  it('has not changed where its figure moved by less than its tolerance in every direction', () => {
    expect([codes('heavy', 'normal', same('run_a')), finding('heavy', 'normal', same('run_a'))]).toEqual(['findings slipped none-moved', 'unchanged']);
    const by = (...changes: (number | null)[]) => finding('heavy', 'normal', ...changes.map((change) => same('run_a', { change })));
    expect([by(0.099), by(-0.099), by(0.1), by(0.05, 0.2), by(0.05, null), by(null), by()]).toEqual(['unchanged', 'unchanged', 'repaired', 'repaired', 'unchanged', 'repaired', 'repaired']);
    expect(finding('normal', 'normal', same('run_a'))).toBe('unchanged');
    expect([finding('stalled', 'normal', same('run_a')), finding('normal', 'stalled', same('run_a'))]).toEqual(['repaired', 'worse']);
  });

  it('may have moved by what two sensors differ by', () => {
    const by = (change: number) => finding('heavy', 'normal', same('run_a', { change, scales_half_width: 0.3 }));
    expect([by(0.29), by(0.31)]).toEqual(['unchanged', 'repaired']);
  });

  it('gives its presses other names and nothing else, while other figures may decide', () => {
    expect(finding('heavy', 'normal', same('run_a'), pair('faulty_share'))).toBe('unchanged');
    expect(finding('heavy', 'normal', same('run_a'), pair('source_ohm'))).toBe('better');
    expect(finding('normal', 'normal', same('run_a'), pair('faulty_share'))).toBe('better');
  });

  it('is near it where the side says so and its limit decides', () => {
    const near = [{}, {}] as NonNullable<ActuationResult['near_limits']>;
    const of = (first: Finding, second: Finding) =>
      actuationVerdict({ ...actuationResult([], first), near_limits: near }, { ...actuationResult([], second), near_limits: near }, []).because.filter(({ code }) => code === 'near-limit');
    expect(of('heavy', 'normal')).toEqual([{ code: 'near-limit', side: 'first', near: near[0], count: 2 }, { code: 'near-limit', side: 'second', near: near[0], count: 2 }]);
    expect([of('stalled', 'normal').length, of('heavy', 'heavy').length]).toEqual([1, 0]);
    expect(actuationVerdict({ ...actuationResult([], 'heavy'), near_limits: [] }, actuationResult([], 'normal'), []).because.map(({ code }) => code)).toEqual(['findings']);
  });
});

describe('what to do after a comparison', () => {
  const few = (before_count: number, after_count: number) => same('duration_s', { before_count, after_count });

  it('follows from what came of it, with more presses where there were few', () => {
    expect([next('stalled', 'normal'), next('stalled', 'suspect'), next('suspect', 'stalled'), next('stalled', 'stalled'), next('normal', 'normal')]).toEqual(['watch-travel', 'fault-left', 'undo-last', 'cause-missed', 'both-sound']);
    expect([next('stalled', 'normal', few(3, 3)), next('stalled', 'normal', few(2, 3)), next('stalled', 'normal', few(3, 2)), next('suspect', 'stalled', few(2, 2))]).toEqual(['watch-travel', 'more-presses watch-travel', 'more-presses watch-travel', 'undo-last more-presses']);
    expect([next('stalled', 'normal', same('run_a', { before_count: 1 })), next('normal', 'normal', pair('run_a')), next('normal', 'normal', higher('run_a'))]).toEqual(['watch-travel', 'fault-left', 'undo-last']);
  });

  it('says what was judged by what, for a motor', () => {
    expect(verdict('stalled', 'normal').because[0]).toEqual({ code: 'findings', first: 'stalled', second: 'normal', firstBasis: 'itself', secondBasis: 'limits' });
  });

  it('is first of all what makes the two belong together', () => {
    const result = actuationResult([], 'normal');
    expect(noClaim(result, result, { code: 'wrong-unit', side: 'first' })).toMatchObject({ finding: 'unchanged', claims: false, because: [{ code: 'findings' }, { code: 'wrong-unit', side: 'first' }], next: [{ code: 'right-unit' }] });
    expect(noClaim(result, result, { code: 'one-virtual', side: 'first' }).next).toEqual([{ code: 'same-vehicle' }]);
  });
});

describe('a comparison of two nights', () => {
  type Night = DrainResult['verdict']['finding'];
  const night = (name: Night, some: Partial<DrainResult> = {}): DrainResult => drainResult({ verdict: { finding: name, because: [], next: [] }, ...some });
  const average = (judged: (metric: string, some: Partial<ComparedMetric>) => ComparedMetric) => judged('average_a', { direction: null, before_count: 1, after_count: 1 });
  const of = (before: DrainResult, after: DrainResult, ...pairs: ComparedMetric[]) => drainVerdict(before, after, pairs);

  it('rests on the average only where both slept', () => {
    const awake = night('awake', { asleep: null });
    expect([of(night('drain'), night('drain'), average(pair)).finding, of(awake, night('awake'), average(pair)).finding, of(night('awake'), awake, average(pair)).finding]).toEqual(['better', 'unchanged', 'unchanged']);
    expect(of(awake, awake, average(pair), pair('last_level_a', { direction: null })).finding).toBe('better');
  });

  it('takes a level that held above the limit for the drain beside a night asleep', () => {
    const held = (over_limit: boolean | null, some: Partial<DrainResult> = {}) => of(night('too-short', { over_limit, ...some }), night('asleep', { over_limit: false })).finding;
    expect([held(true), held(null), held(false), held(true, { asleep: null })]).toEqual(['repaired', 'unchanged', 'unchanged', 'unchanged']);
    expect([of(night('too-short'), night('waking')).finding, of(night('asleep'), night('too-short')).finding]).toEqual(['unchanged', 'unchanged']);
  });

  it('has next steps of its own, and its limit is on the level asleep', () => {
    const steps = (first: Night, second: Night) => of(night(first), night(second)).next.map(({ code }) => code).join(' ');
    expect([steps('drain', 'asleep'), steps('drain', 'waking'), steps('asleep', 'drain'), steps('drain', 'drain'), steps('asleep', 'asleep')]).toEqual(['second-night', 'drain-left', 'what-differs', 'drain-missed', 'both-sound']);
    expect([of(night('drain'), night('asleep'), same('asleep_a', { direction: null })).finding, of(night('drain'), night('asleep'), same('run_a')).finding]).toEqual(['unchanged', 'repaired']);
    expect(of(night('drain'), night('asleep')).because[0]).toEqual({ code: 'findings', first: 'drain', second: 'asleep' });
  });
});

