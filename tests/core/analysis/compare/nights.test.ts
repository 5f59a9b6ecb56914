import { describe, expect, it } from 'vitest';
import { drainComparison } from '../../../../src/core/analysis/compare/compare-drain.ts';
import { actuationComparison } from '../../../../src/core/analysis/compare/compare-actuation.ts';
import type { DrainMetricName } from '../../../../src/core/analysis/compare/metrics/metric-names.ts';
import { DRAIN_METRICS } from '../../../../src/core/analysis/compare/metrics/drain-metrics.ts';
import type { Actuation, DrainResult, Level } from '../../../../src/core/analysis/results.ts';
import { actuation, actuationResult, drainResult } from '../../report/examples.ts';

const read = (name: DrainMetricName, some: Partial<DrainResult> = {}): unknown => DRAIN_METRICS.find((metric) => metric.name === name)!.read(drainResult(some));
const wake = (charge_c: number) => ({ start_s: 2000, end_s: 2045, peak_a: 0.4, charge_c });
const ASLEEP = drainResult().asleep!;
/** 2 mA at 95 %. */
const LEVEL_SIGMA = 0.002 / 1.959964;

describe('a figure of a night', () => {
  it('asleep has the uncertainty of its bounds, less the scale and the zero that nobody stated', () => {
    expect(read('asleep_a')).toEqual([{ value: 0.18, sigma: expect.closeTo(LEVEL_SIGMA, 9) }]);
    // of 2 mA at 95 % the scale is 0.6 mA and the zero 0.5 mA at k = 1: variance 1.041234 - 0.36 - 0.25 mA^2
    const uncertainty = [{ source: 'gain', contribution: 0.0006 }, { source: 'zero-unknown', contribution: 0.0005 }, { source: 'noise', contribution: 0.0007 }] as const;
    expect(read('asleep_a', { asleep: { ...ASLEEP, uncertainty: [...uncertainty] } })).toEqual([{ value: 0.18, sigma: expect.closeTo(Math.sqrt(1.0412e-6 - 0.61e-6), 6) }]);
    expect(read('asleep_a', { asleep: null })).toEqual([]);
  });

  it('that never slept is its last level', () => {
    const levels = [[0.5, 0.4, 0.6], [0.3, 0.26, 0.34]].map(([mean_a, low_a, high_a]) => ({ mean_a, low_a, high_a }) as Level);
    expect(read('last_level_a', { asleep: null, levels })).toEqual([{ value: 0.3, sigma: expect.closeTo(0.04 / 1.959964, 9) }]);
    expect([read('last_level_a', { levels }), read('last_level_a', { asleep: null })]).toEqual([[], []]);
  });

  it('falls asleep at a moment that is read within 5 s', () => {
    expect([read('asleep_at_s'), read('asleep_at_s', { asleep: null })]).toEqual([[{ value: 1200, sigma: expect.closeTo(5 / 1.959964, 6) }], []]);
  });

  it('has an average as good as its level and the number of its wake-ups, which scatters as its root', () => {
    // 9 and 12 C are 15 C in squares, over the 2400 s that it slept
    expect(read('average_a', { wakeups: [wake(9), wake(12)] })).toEqual([{ value: 0.183, sigma: expect.closeTo(Math.hypot(LEVEL_SIGMA, 15 / 2400), 9) }]);
    expect(read('average_a', { wakeups: [wake(3)], asleep: { ...ASLEEP, at_s: 3599.5 } })).toEqual([{ value: 0.183, sigma: expect.closeTo(Math.hypot(LEVEL_SIGMA, 3), 9) }]);
    expect(read('average_a', { asleep: null })).toEqual([{ value: 0.183, sigma: null }]);
  });

  it('wakes so many times an hour, in a quarter of an hour of sleep at least', () => {
    expect([read('wakeups_per_h', { wakeups: [wake(9), wake(9), wake(9), wake(9)] }), read('wakeups_per_h', { wakeups: [] })]).toEqual([[{ value: 6, sigma: 3 }], [{ value: 0, sigma: 1.5 }]]);
    expect([2700, 2701].map((at_s) => (read('wakeups_per_h', { asleep: { ...ASLEEP, at_s } }) as unknown[]).length)).toEqual([1, 0]);
    expect([read('wakeups_per_h', { asleep: null }), read('wakeup_charge_c', { wakeups: [wake(9), wake(7)] })]).toEqual([[], [{ value: 9, sigma: null }, { value: 7, sigma: null }]]);
  });
});

describe('two nights', () => {
  const held = { since_s: 1000, level_a: 0.18, low_a: 0.178, high_a: 0.182, uncertainty: [] };
  const codes = (...nights: [DrainResult, DrainResult]) => drainComparison(...nights).problems.map((one) => ('side' in one ? `${one.code} ${one.side}` : one.code));

  it('say which of them never settled, and that they were held against different limits', () => {
    const never = drainResult({ asleep: null });
    expect([codes(never, drainResult()), codes(drainResult(), never), codes(never, never), codes(drainResult(), drainResult())]).toEqual([['never-settled first'], ['never-settled second'], ['never-settled both'], []]);
    expect(drainComparison(drainResult(), drainResult({ limit_a: 0.03 })).problems).toEqual([{ problem: 'different-limit', code: 'other-limit', beforeA: 0.05, afterA: 0.03 }]);
  });

  it('are compared by a level that held at the end as by one asleep', () => {
    const before = drainResult({ asleep: null, held, over_limit: null });
    const pair = (night: DrainResult) => drainComparison(night, drainResult()).pairs.find(({ metric }) => metric === 'asleep_a')!.before;
    expect([pair(before), pair({ ...before, asleep: { ...ASLEEP, level_a: 0.3 } }), pair({ ...before, held: null })]).toEqual([0.18, 0.3, null]);
    // above the limit by its lower bound it was the drain
    const after = drainResult({ verdict: { finding: 'asleep', because: [], next: [] }, asleep: { ...ASLEEP, level_a: 0.02, low_a: 0.019, high_a: 0.021 } });
    const cured = (low_a: number) => drainComparison({ ...before, verdict: { finding: 'too-short', because: [], next: [] }, held: { ...held, low_a } }, after).verdict.finding;
    expect([cured(0.0501), cured(0.05)]).toEqual(['repaired', 'better']);
  });

  it('have their currents left unjudged where one was read in the wrong unit, and a tolerance of one\'s own', () => {
    const levels = [{ mean_a: 0.5 }, { mean_a: 0.18 }] as Level[];
    const thousand = drainResult({ levels: [{ mean_a: 500 }, { mean_a: 180 }] as Level[], asleep: { at_s: 4800, level_a: 180, low_a: 178, high_a: 182 }, trace: { ...drainResult().trace, duration_s: 7200 } });
    const judged = Object.fromEntries(drainComparison(drainResult({ levels }), thousand).pairs.map(({ metric, judgement }) => [metric, judgement]));
    expect(judged).toMatchObject({ asleep_a: 'unsure', average_a: 'unsure', asleep_at_s: 'higher' });
    expect(drainComparison(drainResult(), drainResult(), { tolerance: 0.5 }).pairs[0]!.tolerance).toBeCloseTo(0.09, 9);
    // what sensors share in a current they do not share in a time
    const sensors = [{ id: 'a', gainUncertaintyPercent: 1 }, { id: 'b', gainUncertaintyPercent: 1 }] as const;
    expect(drainComparison(drainResult(), drainResult(), { sensors }).pairs.filter(({ scales_half_width: half }) => half !== undefined).map(({ metric }) => metric)).toEqual(['asleep_a', 'average_a', 'wakeup_charge_c']);
  });
});

describe('the share of faulty presses', () => {
  it('leaves out what is cut and what nobody could tell', () => {
    const faulty: Actuation = actuation({ finding: 'stalled' });
    const presses = [faulty, actuation({ finding: 'normal' }), actuation({ finding: 'normal' }), { ...faulty, cut: 'start' as const }, actuation({ finding: 'unclear' })];
    const share = actuationComparison(actuationResult(presses, 'stalled'), actuationResult(presses.slice(0, 2), 'stalled')).pairs.find(({ metric }) => metric === 'faulty_share')!;
    expect(share).toMatchObject({ before: expect.closeTo(1 / 3, 9), after: 0.5, before_count: 3, after_count: 2 });
  });
});
