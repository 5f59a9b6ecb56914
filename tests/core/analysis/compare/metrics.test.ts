import { describe, expect, it } from 'vitest';
import { DRAIN_METRICS } from '../../../../src/core/analysis/compare/metrics/drain-metrics.ts';
import { ACTUATION_METRICS, actuationsOf } from '../../../../src/core/analysis/compare/metrics/metrics.ts';
import type { ActuationMetricName } from '../../../../src/core/analysis/compare/metrics/metric-names.ts';
import type { Actuation, Inrush, Ripple, Stall, Supply } from '../../../../src/core/analysis/results.ts';
import { actuation, actuationResult } from '../../report/examples.ts';

/** Of a press from 1 to 4 s. */
const read = (name: ActuationMetricName, some: Partial<Actuation> = {}): unknown => ACTUATION_METRICS.find((metric) => metric.name === name)!.read(actuation({ start_s: 1, end_s: 4, ...some }));
const stall = (start_s: number, end_s: number, level_a = 10, some: Partial<Stall> = {}): Stall => ({ start_s, end_s, level_a, at: 'travel', ...some });
const INRUSH = actuation().inrush!;

describe('a figure of a press', () => {
  it('has the uncertainty of its bounds, less the scale of the sensor', () => {
    // bounds of 0.05 A at 95 %: 0.0255107 A; with a scale of 0.02 A the rest is sqrt(0.0255107^2 - 0.0004)
    const run = { ...actuation().run!, median_a: 4.2, low_a: 4.15, high_a: 4.25 };
    expect(read('run_a', { run })).toEqual({ value: 4.2, sigma: expect.closeTo(0.0255107, 6), atLeast: false });
    expect(read('run_a', { run: { ...run, at_least: true, uncertainty: [{ source: 'gain', contribution: 0.02 }] } })).toEqual({ value: 4.2, sigma: expect.closeTo(0.0158365, 6), atLeast: true });
    expect(read('ripple_hz', { ripple: { frequency_hz: 200, low_hz: 198, high_hz: 202 } as Ripple })).toEqual({ value: 200, sigma: expect.closeTo(2 / 1.959964, 6) });
    expect(read('source_ohm', { supply: { source_ohm: 0.05, low_ohm: 0.04, high_ohm: 0.06 } as Supply })).toEqual({ value: 0.05, sigma: expect.closeTo(0.01 / 1.959964, 6) });
    expect([read('run_a', { run: null }), read('ripple_hz', { ripple: null }), read('source_ohm', { supply: null }), read('inrush_peak_a', { inrush: null })]).toEqual([null, null, null, null]);
  });

  it('is a peak with bounds of its own, without them, or one that is open upwards', () => {
    const peak = (some: Partial<Inrush>) => read('inrush_peak_a', { inrush: { ...INRUSH, peak_a: 14, ...some } });
    expect(peak({ low_peak_a: 13, high_peak_a: 15 })).toEqual({ value: 14, sigma: expect.closeTo(1 / 1.959964, 6) });
    expect([peak({}), peak({ peak_at_least: true, low_peak_a: 13, high_peak_a: 15 }), peak({ low_peak_a: 13, high_peak_a: null })]).toEqual([{ value: 14, sigma: null }, { value: 14, sigma: null, atLeast: true }, { value: 14, sigma: null, atLeast: true }]);
  });

  it('is a time: of the press, of its motion, of its stalls', () => {
    const stalls = [stall(1.5, 2), stall(3, 4)];
    const times = (some: Partial<Actuation>) => (['duration_s', 'moving_s', 'stalled_s'] as const).map((name) => (read(name, some) as { value: number } | null)?.value);
    expect([times({ stalls }), times({ stalls: [] }), times({ stalls, run: null })]).toEqual([[3, 1.5, 1.5], [3, 3, 0], [3, undefined, 1.5]]);
  });

  it('is the travel to the stall that lasts until the switch opens, if that is where the travel ends', () => {
    const travel = (some: Partial<Actuation>) => read('travel_s', some);
    expect(travel({ stalls: [stall(1.5, 2), stall(3, 4)] })).toEqual({ value: 2, sigma: null });
    expect([travel({ stalls: [stall(3, 3.95)] }), travel({ stalls: [stall(3, 3.85)] }), travel({ stalls: [] }), travel({ stalls: [stall(3, 4)], run: null }), travel({ stalls: [stall(3, 4, 10, { at: 'start' })] })]).toEqual([{ value: 2, sigma: null }, null, null, null, null]);
  });

  it('is the mean of its stalls, and the number of lost contacts', () => {
    expect([read('stall_a', { stalls: [stall(1, 2, 10), stall(3, 4, 13)] }), read('stall_a', { stalls: [stall(1, 2, 10), stall(3, 4, 13, { at_least: true })] }), read('stall_a', { stalls: [] })]).toEqual([{ value: 11.5, sigma: null, atLeast: false }, { value: 11.5, sigma: null, atLeast: true }, null]);
    expect([read('dropouts', { dropouts: [] }), read('dropouts', { dropouts: [{}, {}] as Actuation['dropouts'] })]).toEqual([{ value: 0, sigma: null }, { value: 2, sigma: null }]);
  });

  it('counts of presses of its way that the recording holds whole', () => {
    const presses = [actuation(), actuation({ direction: 'reverse' }), actuation({ cut: 'end' })];
    expect([actuationsOf(actuationResult(presses), 'forward'), actuationsOf(actuationResult(presses), 'reverse')]).toEqual([[presses[0]], [presses[1]]]);
  });
});

describe('the compared figures', () => {
  it('decide a verdict where no hand at the switch makes them', () => {
    expect([...ACTUATION_METRICS, ...DRAIN_METRICS].filter(({ decides }) => decides).map(({ name }) => name)).toEqual(['run_a', 'source_ohm', 'dropouts', 'asleep_a', 'last_level_a', 'average_a']);
  });

  it('follow the supply as a permanent-magnet motor does: what stands with the volts, speed and time with what is left of them', () => {
    expect(ACTUATION_METRICS.filter(({ follows }) => follows !== 'none').map(({ name, follows }) => `${name} ${follows}`)).toEqual(['inrush_peak_a voltage', 'travel_s time', 'stall_a voltage', 'ripple_hz speed']);
  });
});
