import { describe, expect, it } from 'vitest';
import { carriedProblems } from '../../../../src/core/analysis/compare/carried.ts';
import type { Metric } from '../../../../src/core/analysis/compare/metrics/metrics.ts';
import { manyVerdict } from '../../../../src/core/analysis/compare/many/verdict.ts';
import { modelUncertainty, scaled, supplyScale, type SupplyScale } from '../../../../src/core/analysis/compare/supply.ts';
import { mixedUnits } from '../../../../src/core/analysis/compare/units-check.ts';
import type { ActuationResult, AnalysisResult } from '../../../../src/core/analysis/results.ts';

/** Each formula of a comparison by itself, against figures worked out by hand. */

interface PressSaid {
  readonly runV?: number;
  readonly openV?: number;
  readonly runA?: number;
  readonly stallA?: number;
  readonly peakA?: number;
  readonly standing?: readonly [low: number, middle: number, high: number];
  readonly direction?: 'forward' | 'reverse';
}

/** A result of presses at a source of 0.05 ohm. */
function resultOf(presses: readonly PressSaid[], voltageAt: 'motor' | 'battery' | null = 'motor'): ActuationResult {
  const actuations = presses.map(({ runV, openV, runA, stallA, peakA = 20, standing, direction = 'forward' }) => ({
    direction,
    supply: runV === undefined ? null : { run_v: runV, open_v: openV, source_ohm: 0.05 },
    run: runA === undefined ? null : { median_a: runA },
    stalls: stallA === undefined ? [] : [{ level_a: stallA }],
    inrush: { peak_a: peakA, ...(standing === undefined ? {} : { fit: { low_standstill_a: standing[0], standstill_a: standing[1], high_standstill_a: standing[2] } }) },
  }));
  return { test: 'actuation', trace: { voltage_at: voltageAt }, actuations } as unknown as ActuationResult;
}

const AFTER: PressSaid = { runV: 11, openV: 11.8, runA: 4 };
const factors = (scale: SupplyScale | null): (number | null)[] => (scale === null ? [null] : [scale.lowSpeedFactor, scale.speedFactor, scale.highSpeedFactor].map((factor) => Number(factor.toFixed(5))));

describe('what another supply does to a motor', () => {
  it('is told by what is left of the volts for it: standing currents with the open volts, speed with V - R i', () => {
    // standing at 10 A: (12.6 - 0.05 x 10)/10 = 1.21 ohm, a fifth of it by warmth. (12 - 4 x 1.21)/(11 - 4 x 1.21) = 7.16/6.16; with 0.968 ohm 8.128/7.128
    const scale = supplyScale(resultOf([{ runV: 12, openV: 12.6, runA: 4, stallA: 10 }]), resultOf([AFTER]));
    expect(scale).toMatchObject({ beforeV: 12, afterV: 11, voltageFactor: expect.closeTo(12.6 / 11.8, 9) });
    expect(factors(scale)).toEqual([1.14029, 1.16234, 1.16234]);
  });

  it('rests on the fitted switch-on where nothing stood, and on what a turning motor leaves open without that', () => {
    // 12 A: 1 ohm, 10 A: 1.21 ohm, 8 A: 1.525 ohm; 8/7, 7.16/6.16, 5.9/4.9
    expect(factors(supplyScale(resultOf([{ runV: 12, openV: 12.6, runA: 4, standing: [8, 10, 12] }]), resultOf([AFTER])))).toEqual([1.14286, 1.16234, 1.20408]);
    // a stall of no current tells nothing
    expect(factors(supplyScale(resultOf([{ runV: 12, openV: 12.6, runA: 4, stallA: 0, standing: [8, 10, 12] }]), resultOf([AFTER])))).toEqual([1.14286, 1.16234, 1.20408]);
    // of the second trace where the first has none: (11.8 - 0.5)/10 = 1.13 ohm
    expect(factors(supplyScale(resultOf([{ runV: 12, openV: 12.6 }]), resultOf([{ ...AFTER, stallA: 10 }])))[1]).toBeCloseTo((12 - 4.52) / (11 - 4.52), 5);
    // a motor that turns takes less than its standing current over 1.3: at most 11/(1.3 x 4) = 2.11538 ohm; 12/11, half of that, all of it
    expect(factors(supplyScale(resultOf([{ runV: 12, openV: 12.6 }]), resultOf([AFTER])))).toEqual([1.09091, 1.14773, 1.39394]);
  });

  it('is not asked below two per cent, without volts, or with the leads at different places', () => {
    const first = resultOf([{ runV: 12, openV: 12.6, runA: 4 }]);
    const at = (runV: number) => supplyScale(first, resultOf([{ ...AFTER, runV }])) !== null;
    expect([at(11.77), at(11.75), at(12.24), at(12.26)]).toEqual([false, true, false, true]);
    expect([supplyScale(first, resultOf([{ runA: 4 }])), supplyScale(resultOf([{}]), first), supplyScale(first, resultOf([AFTER], 'battery'))]).toEqual([null, null, null]);
    expect(supplyScale(first, resultOf([AFTER], null))).not.toBeNull();
  });

  const SCALE: SupplyScale = { beforeV: 12, afterV: 11, voltageFactor: 1.1, speedFactor: 1.25, lowSpeedFactor: 1.2, highSpeedFactor: 1.5 };
  const metric = (follows: Metric['follows'], name = 'x'): Metric => ({ follows, name }) as Metric;

  it('scales a figure with its uncertainty', () => {
    const of = (follows: Metric['follows']) => scaled({ value: 10, sigma: 1 }, metric(follows), SCALE);
    expect([of('voltage'), of('speed'), of('time'), of('none')]).toEqual([{ value: 11, sigma: 1.1 }, { value: 12.5, sigma: 1.25 }, { value: 8, sigma: 0.8 }, { value: 10, sigma: 1 }]);
    expect(scaled({ value: 10, sigma: null }, metric('speed'), SCALE)).toEqual({ value: 12.5, sigma: null });
    expect(scaled({ value: 10, sigma: 1 }, metric('speed'), null)).toEqual({ value: 10, sigma: 1 });
  });

  it('leaves open what is not known of the resistance, and of the load', () => {
    const off = (follows: Metric['follows'], name?: string) => modelUncertainty(metric(follows, name), [{ value: 9, sigma: 1 }, { value: 11, sigma: 1 }], SCALE)?.map((value) => Number(value.toFixed(9)));
    // 10 x (1.2/1.25 - 1) and 10 x (1.5/1.25 - 1); times the other way round
    expect([off('speed'), off('time')]).toEqual([[-0.4, 2], [-1.666666667, 0.416666667]]);
    // a running current may follow as the speed does, or not at all
    expect([off('none', 'run_a'), off('none'), off('voltage')]).toEqual([[0, 5], undefined, undefined]);
    const down = { ...SCALE, speedFactor: 0.9, lowSpeedFactor: 0.8, highSpeedFactor: 0.95 };
    expect(modelUncertainty(metric('none', 'run_a'), [{ value: 10, sigma: null }], down)!.map((value) => Number(value.toFixed(9)))).toEqual([-2, 0]);
    expect([modelUncertainty(metric('speed'), [], SCALE), modelUncertainty(metric('speed'), [{ value: 1, sigma: 1 }], null)]).toEqual([undefined, undefined]);
  });
});

describe('a trace in the wrong unit', () => {
  const side = (before: PressSaid[], after: PressSaid[]) => mixedUnits(resultOf(before), resultOf(after));
  it('is told by all its currents, each a thousand times the other within a factor of three', () => {
    expect([side([{ runA: 4 }], [{ runA: 4000, peakA: 20_000 }]), side([{ runA: 4000, peakA: 20_000 }], [{ runA: 4 }])]).toEqual(['second', 'first']);
    expect([side([{ runA: 4 }], [{ runA: 11_900, peakA: 6800 }]), side([{ runA: 4 }], [{ runA: 12_100, peakA: 20_000 }]), side([{ runA: 4 }], [{ runA: 4000, peakA: 6600 }])]).toEqual(['second', null, null]);
    expect(side([{ runA: 4 }], [{ runA: 4 }])).toBeNull();
  });

  it('needs two of them, of one direction each', () => {
    expect(side([{}], [{ peakA: 20_000 }])).toBeNull();
    expect(side([{}, { direction: 'reverse' }], [{ peakA: 20_000 }, { peakA: 20_000, direction: 'reverse' }])).toBe('second');
    expect([side([{ runA: 0 }], [{ runA: 4000, peakA: 20_000 }]), side([{ runA: 4000, peakA: 20_000 }], [{ runA: 0 }])]).toEqual([null, null]);
    // one of nothing is no ratio, beside two that agree
    expect([side([{ runA: 0, stallA: 10 }], [{ runA: 4, stallA: 10_000, peakA: 20_000 }]), side([{ runA: 4, stallA: 10 }], [{ runA: 0, stallA: 10_000, peakA: 20_000 }])]).toEqual(['second', 'second']);
    // the highest of several counts
    expect(side([{ runA: 4 }, { runA: 1, peakA: 1 }], [{ runA: 4000, peakA: 20_000 }])).toBe('second');
  });

  it('of a night is told by its lowest and its highest level', () => {
    const night = (...means: number[]) => ({ test: 'drain', levels: means.map((mean_a) => ({ mean_a })) }) as unknown as AnalysisResult;
    expect([mixedUnits(night(5, 0.02, 1), night(5000, 20)), mixedUnits(night(5, 0.02), night(5000)), mixedUnits(night(5, 0.02), night(5, 20))]).toEqual(['second', null, null]);
  });
});

describe('what was wrong with a trace by itself', () => {
  it('is carried over, five at most, with what was lost', () => {
    const said = (codes: string[]) => ({ problems: codes.map((code) => ({ code, text: `${code}.` })) }) as unknown as AnalysisResult;
    const carried = carriedProblems(said(['gaps', 'damaged-block']), said(['cut-short', 'skipped-rows', 'noise', 'hum', 'gaps', 'offset', 'clipped']));
    expect(carried.map((one) => ['side' in one ? one.side : null, one.problem, one.code === 'carried' && one.lost])).toEqual([
      ['first', 'gaps', false], ['first', 'damaged-block', true],
      ['second', 'cut-short', true], ['second', 'skipped-rows', true], ['second', 'noise', false], ['second', 'hum', false], ['second', 'gaps', false], ['second', 'offset', false],
    ]);
    expect(carried.at(-1)).toMatchObject({ code: 'carried-more', count: 2 });
    expect(carriedProblems(said(['gaps', 'noise', 'hum', 'offset', 'clipped']), said([]))).toHaveLength(5);
  });
});

describe('what stands out among many', () => {
  type Traces = Parameters<typeof manyVerdict>[0];
  type Presses = Parameters<typeof manyVerdict>[1];
  const traces = (count: number, odd: number[] = [], finding: (k: number) => string = () => 'normal'): Traces =>
    Array.from({ length: count }, (_, k) => ({ trace: k, name: `T${k}`, finding: finding(k), outlier: odd.includes(k), because: odd.includes(k) ? { code: `odd-${k}` } : null })) as unknown as Traces;
  const presses = (count: number, odd: number[] = [], finding: (k: number) => string = () => 'normal'): Presses =>
    Array.from({ length: count }, (_, k) => ({ trace: k, number: 1, direction: k % 2 === 0 ? 'forward' : 'reverse', start_s: k, finding: finding(k), outlier: odd.includes(k), because: odd.includes(k) ? { code: 'odd' } : null })) as unknown as Presses;

  it('is named, traces first and their own presses not again, four at most', () => {
    const verdict = manyVerdict(traces(6, [1]), presses(6, [0, 1, 2]));
    expect(verdict.finding).toBe('one-stands-out');
    expect(verdict.because.map((one) => ('name' in one ? `${one.code} ${one.name}` : one.code))).toEqual(['trace T1', 'press T0', 'press T2']);
    expect(manyVerdict(traces(6, [0, 1, 2, 3]), []).because).toHaveLength(4);
    expect(manyVerdict(traces(6, [0, 1, 2, 3, 4, 5]), []).because.at(-1)).toEqual({ code: 'more', count: 2 });
  });

  it('is none among fewer than three, nor where findings differ', () => {
    const finding = (...given: Parameters<typeof manyVerdict>) => manyVerdict(...given).because[0]!.code;
    expect([finding(traces(2), presses(2)), finding(traces(3), presses(2)), finding(traces(2), presses(3))]).toEqual(['too-few', 'alike', 'alike']);
    expect(finding(traces(3, [], (k) => (k === 0 ? 'stalled' : 'normal')), [])).toBe('findings-differ');
    expect(finding(traces(3), presses(4, [], (k) => (k === 0 ? 'stalled' : 'normal')))).toBe('findings-differ');
    // each way has its own
    expect(finding(traces(3), presses(4, [], (k) => (k % 2 === 0 ? 'stalled' : 'normal')))).toBe('alike');
    // one that says nothing of the circuit
    expect(finding(traces(3, [], (k) => (k === 0 ? 'unclear' : 'normal')), [])).toBe('alike');
  });
});
