import { describe, expect, it } from 'vitest';
import { actuationProblems, peaksDiffer } from '../../../../src/core/analysis/compare/actuation-problems.ts';
import { actuationComparison } from '../../../../src/core/analysis/compare/compare-actuation.ts';
import type { SensorPair } from '../../../../src/core/analysis/compare/sensors.ts';
import type { ActuationResult, Direction, Supply } from '../../../../src/core/analysis/results.ts';
import { actuation, actuationResult } from '../../report/examples.ts';

const at = (rate_hz: number, voltage_at: 'motor' | 'battery' | null = null, ways: readonly Direction[] = ['forward', 'forward']): ActuationResult => {
  const result = actuationResult(ways.map((direction) => actuation({ direction })), 'normal');
  return { ...result, trace: { ...result.trace, rate_hz, voltage_at } };
};
const said = (before: ActuationResult, after: ActuationResult): string => actuationProblems(before, after, null).map((one) => [one.code, 'side' in one ? one.side : '', 'direction' in one ? one.direction : ''].join(' ').trim()).join(', ');

describe('two loggers of different rates', () => {
  it('differ in the peak where the slower is below 500 Hz and the faster more than half as fast again', () => {
    const differ = (one: number, other: number) => [peaksDiffer(at(one), at(other)), peaksDiffer(at(other), at(one))];
    expect([differ(499, 1000), differ(500, 1000), differ(200, 300), differ(200, 301), differ(0, 1000)]).toEqual([[true, true], [false, false], [false, false], [true, true], [false, false]]);
    expect([actuationProblems(at(1000), at(100), null), actuationProblems(at(100), at(1000), null)]).toEqual(Array.from({ length: 2 }, () => [{ problem: 'different-rate', code: 'other-rate', slowHz: 100, fastHz: 1000 }]));
  });
});

describe('what hinders a comparison of presses', () => {
  it('is a lead elsewhere, where both are known, and another supply', () => {
    const leads = (first: 'motor' | 'battery' | null, second: 'motor' | 'battery' | null) => said(at(1000, first), at(1000, second));
    expect([leads('motor', 'battery'), leads('motor', 'motor'), leads(null, 'motor'), leads('motor', null)]).toEqual(['other-lead', '', '', '']);
    expect(actuationProblems(at(1000, 'motor'), at(1000, 'battery'), null)[0]).toEqual({ problem: 'different-lead', code: 'other-lead', first: 'motor', second: 'battery' });
    const scale = { beforeV: 12, afterV: 11, voltageFactor: 1, speedFactor: 1, lowSpeedFactor: 1, highSpeedFactor: 1 };
    expect(actuationProblems(at(1000), at(1000), scale)).toEqual([{ problem: 'different-supply', code: 'other-supply', beforeV: 12, afterV: 11 }]);
  });

  it('is a side without a press, a way that one side lacks, a single press', () => {
    const ways = (before: readonly Direction[], after: readonly Direction[]) => said(at(1000, null, before), at(1000, null, after));
    const [f, r] = ['forward', 'reverse'] as const;
    expect([ways([], []), ways([], [f]), ways([f], [])]).toEqual(['no-presses both', 'no-presses first', 'no-presses second']);
    expect([ways([f, f], [f, f]), ways([f], [f, f]), ways([f, f], [f]), ways([f, f, r], [f, f])]).toEqual(['', 'single-press  forward', 'single-press  forward', 'one-side-only first reverse']);
    expect([ways([f, f], [f, f, r]), ways([f, f], [r, r])]).toEqual(['one-side-only second reverse', 'one-side-only first forward, one-side-only second reverse, no-direction-in-common']);
  });
});

describe('a figure that both sides have', () => {
  const SUPPLY = { run_v: 12, open_v: 12.6, source_ohm: 0.05, low_ohm: 0.049, high_ohm: 0.051 } as Supply;
  const presses = (ohm: number, peakA: number) => [actuation({ supply: { ...SUPPLY, source_ohm: ohm, low_ohm: ohm - 0.001, high_ohm: ohm + 0.001 }, inrush: { peak_a: peakA, low_peak_a: peakA - 0.1, high_peak_a: peakA + 0.1, at_s: 1.02, settle_s: 0.2, charge_c: 1.9, i2t_a2s: 22 } })];
  const result = (ohm: number, peakA: number, rate_hz = 1000, voltage_at: 'motor' | 'battery' = 'motor'): ActuationResult => {
    const plain = actuationResult(presses(ohm, peakA), 'normal');
    return { ...plain, trace: { ...plain.trace, rate_hz, voltage_at } };
  };
  const judged = (before: ActuationResult, after: ActuationResult, sensors?: SensorPair) => {
    const { pairs } = actuationComparison(before, after, sensors === undefined ? {} : { sensors });
    return { of: (name: string) => pairs.find(({ metric }) => metric === name)!.judgement, scaled: pairs.flatMap(({ metric, scales_half_width: half }) => (half === undefined ? [] : [metric])) };
  };

  it('is not judged where lead or rate make it another one', () => {
    const of = (after: ActuationResult) => [judged(result(0.05, 14), after).of('source_ohm'), judged(result(0.05, 14), after).of('inrush_peak_a')];
    expect([of(result(0.1, 20)), of(result(0.1, 20, 1000, 'battery')), of(result(0.1, 20, 100))]).toEqual([['higher', 'higher'], ['unsure', 'higher'], ['higher', 'unsure']]);
  });

  it('has the scales of the sensors where it goes with the current', () => {
    const two = [{ id: 'a', gainUncertaintyPercent: 1 }, { id: 'b', gainUncertaintyPercent: 1 }] as const;
    expect(judged(result(0.05, 14), result(0.05, 14), two).scaled).toEqual(['run_a', 'inrush_peak_a', 'source_ohm']);
    expect(judged(result(0.05, 14), result(0.05, 14)).scaled).toEqual([]);
  });

  it('is a current that nobody judges where one side was read in the wrong unit, beside times that are', () => {
    const plain = actuation();
    const long = actuation({ end_s: plain.end_s + 3, run: { ...plain.run!, median_a: 4200, low_a: 4150, high_a: 4250 }, inrush: { ...plain.inrush!, peak_a: 14_200 } });
    const { pairs } = actuationComparison(actuationResult([plain, plain], 'normal'), actuationResult([long, long], 'normal'));
    const of = (name: string) => pairs.find(({ metric }) => metric === name)!.judgement;
    expect([of('run_a'), of('inrush_peak_a'), of('duration_s'), of('dropouts')]).toEqual(['unsure', 'unsure', 'higher', 'unsure']);
  });
});
