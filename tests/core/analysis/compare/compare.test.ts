import { describe, expect, it } from 'vitest';
import { compareActuation, compareDrain, learnKnownGood } from '../../../../src/core/present/documents/document-compare.ts';
import { placeAgainst, runLimitsOf } from '../../../../src/core/analysis/compare/known-good/known-good.ts';
import type { Actuation, Direction } from '../../../../src/core/analysis/results.ts';
import { actuation, actuationResult, drainResult } from '../../report/examples.ts';

function running(medianA: number, direction: Direction = 'forward', more: Partial<Actuation> = {}): Actuation {
  return actuation({
    direction,
    run: { start_s: 1.2, end_s: 3.9, median_a: medianA, low_a: medianA - 0.05, high_a: medianA + 0.05, spread_a: 0.2, slope_a_per_s: 0 },
    ...more,
  });
}

const series = (base: number, direction: Direction = 'forward'): Actuation[] => [0, 0.04, -0.05, 0.02].map((step) => running(base + step, direction));

describe('comparing two motor tests', () => {
  it('calls a dragging slide that was freed better, with the running current as evidence', () => {
    const result = compareActuation(actuationResult(series(7.4), 'normal'), actuationResult(series(4.2), 'normal'));
    const run = result.pairs.find(({ metric }) => metric === 'run_a')!;
    expect(run).toMatchObject({ direction: 'forward', judgement: 'lower', method: 'welch', before_count: 4, after_count: 4 });
    expect(run.change!).toBeCloseTo(-3.2, 6);
    expect(result.verdict.finding).toBe('better');
    expect(result.verdict.because.join()).toContain('Running current forward');
  });

  it('takes nothing of a press that the recording cuts as evidence', () => {
    const cut = running(9, 'forward', { cut: 'start' });
    const run = compareActuation(actuationResult(series(4.2), 'normal'), actuationResult([...series(4.2), cut], 'normal')).pairs.find(({ metric }) => metric === 'run_a')!;
    expect(run).toMatchObject({ judgement: 'same', after_count: 4 });
    expect(learnKnownGood('step', [actuationResult([running(4), cut], 'normal')]).limits.find(({ metric }) => metric === 'run_a')!.high).toBeLessThan(5);
  });

  it('calls it repaired when a fault was found before and none after', () => {
    const before = actuationResult([running(7.4, 'forward', { stalls: [{ start_s: 3, end_s: 4, level_a: 13, at: 'travel' }], finding: 'stalled' })], 'stalled');
    const result = compareActuation(before, actuationResult(series(4.2), 'normal'));
    expect(result.verdict.finding).toBe('repaired');
    expect(result.before_finding).toBe('stalled');
  });

  it('calls it worse when a fault came up, whatever the figures say', () => {
    expect(compareActuation(actuationResult(series(7), 'normal'), actuationResult(series(4), 'locked')).verdict.finding).toBe('worse');
  });

  it('calls the same mechanism, recorded again, unchanged', () => {
    const result = compareActuation(actuationResult(series(4.2), 'normal'), actuationResult(series(4.21), 'normal'));
    expect(result.pairs.find(({ metric }) => metric === 'run_a')!.judgement).toBe('same');
    expect(result.verdict.finding).toBe('unchanged');
  });

  it('keeps directions apart and says which one it could not compare', () => {
    const result = compareActuation(actuationResult([...series(4), ...series(5, 'reverse')], 'normal'), actuationResult(series(4), 'normal'));
    expect(result.pairs.filter(({ direction, change }) => direction === 'reverse' && change !== null)).toEqual([]);
    expect(result.problems.map(({ text }) => text).join()).toContain('Only the first trace has reverse');
  });

  it('says what is left to say when a trace has no actuation', () => {
    const result = compareActuation(actuationResult([], 'unpowered'), actuationResult(series(4), 'normal'));
    expect(result.problems.some(({ code }) => code === 'no-pairs')).toBe(true);
    expect(result.verdict.finding).toBe('repaired');
  });

  it('does not judge the scatter of actuations from one a side by more than their own uncertainty', () => {
    const result = compareActuation(actuationResult([running(4.2)], 'normal'), actuationResult([running(4.9)], 'normal'));
    expect(result.pairs.find(({ metric }) => metric === 'run_a')).toMatchObject({ method: 'within' });
    expect(result.problems.some(({ code }) => code === 'few-traces')).toBe(true);
    expect(result.pairs.find(({ metric }) => metric === 'inrush_peak_a')).toMatchObject({ method: 'none', judgement: 'unsure' });
  });

  it('scales stall current and speed to a common supply voltage, leaves the running current alone, and says so', () => {
    const at = (volts: number): Actuation[] =>
      [0, 1, 2].map(() =>
        running(4, 'forward', {
          supply: { open_v: volts, run_v: volts, source_ohm: 0.01, low_ohm: 0.009, high_ohm: 0.011 },
          ripple: { frequency_hz: 100 * (volts - 4 * (12 / 12)), low_hz: 99 * (volts - 4), high_hz: 101 * (volts - 4), revolutions_per_s: null, count: 900 },
          stalls: [{ start_s: 3, end_s: 4, level_a: volts / 1.01, at: 'travel' }],
        }),
      );
    // R = 1 ohm from the stall, so speed goes with V - 4 V: at 14 V against 12 V by 10/8
    const result = compareActuation(actuationResult(at(12), 'stalled'), actuationResult(at(14), 'stalled'));
    const pair = (name: string) => result.pairs.find(({ metric }) => metric === name)!;
    expect(result.problems.some(({ code }) => code === 'different-supply')).toBe(true);
    expect(pair('stall_a').change!).toBeCloseTo(0, 1);
    expect(Math.abs(pair('ripple_hz').change! / pair('ripple_hz').before!)).toBeLessThan(0.01);
    expect(pair('run_a').change).toBe(0);
  });
});

describe('comparing two drain tests', () => {
  it('calls a cured drain repaired, with the level asleep as evidence', () => {
    const after = drainResult({ verdict: { finding: 'asleep', because: [], next: [] }, asleep: { at_s: 1200, level_a: 0.018, low_a: 0.0175, high_a: 0.0185 }, average_a: 0.02, over_limit: false });
    const result = compareDrain(drainResult(), after);
    expect(result.verdict.finding).toBe('repaired');
    expect(result.pairs.find(({ metric }) => metric === 'asleep_a')).toMatchObject({ judgement: 'lower', method: 'within' });
  });

  it('cannot judge the level asleep of a trace that never settled, and says so', () => {
    const result = compareDrain(drainResult({ asleep: null, verdict: { finding: 'awake', because: [], next: [] } }), drainResult());
    expect(result.pairs.find(({ metric }) => metric === 'asleep_a')).toMatchObject({ before: null, judgement: 'unsure' });
    expect(result.problems.map(({ code }) => code)).toContain('too-short');
    expect(result.verdict.finding).toBe('better');
  });

  it('calls the same night, recorded again, unchanged', () => {
    expect(compareDrain(drainResult(), drainResult()).verdict.finding).toBe('unchanged');
  });
});

describe('limits from known-good traces', () => {
  const good = [4.1, 4.3, 4.2, 4.0, 4.25, 4.15].map((level) => actuationResult(series(level), 'normal'));

  it('hold the traces they came from and put a dragging one above', () => {
    const known = learnKnownGood('side step motor', good);
    const [lowA, highA] = runLimitsOf(known)!;
    expect(lowA).toBeGreaterThan(3);
    expect(lowA).toBeLessThan(4);
    expect(highA).toBeLessThan(5);
    expect(placeAgainst(known, good[0]!).every(({ place }) => place === 'inside')).toBe(true);
    expect(placeAgainst(known, actuationResult(series(7.2)))[0]).toMatchObject({ metric: 'run_a', place: 'above' });
  });

  it('count traces, not actuations, as witnesses', () => {
    expect(learnKnownGood('x', good.slice(0, 3)).limits.find(({ metric }) => metric === 'run_a')!.traces).toBe(3);
  });

  it('say so when they come from one trace or from few', () => {
    const one = learnKnownGood('x', good.slice(0, 1));
    expect(one.limits.every(({ method }) => method === 'single')).toBe(true);
    expect(one.problems[0]!.text).toContain('single trace');
    expect(learnKnownGood('x', good.slice(0, 3)).problems).toHaveLength(1);
    expect(learnKnownGood('x', good).problems).toEqual([]);
    expect(runLimitsOf(learnKnownGood('x', []))).toBeNull();
  });
});
