import { describe, expect, it } from 'vitest';
import type { InrushReading, PressReading } from '../../../../../src/core/analysis/motor/codes.ts';
import { withBudget } from '../../../../../src/core/analysis/motor/quantities/press-budget.ts';
import type { ActuationOptions } from '../../../../../src/core/analysis/options.ts';
import type { UncertaintyPart } from '../../../../../src/core/analysis/uncertainty/parts.ts';
import type { Baseline } from '../../../../../src/core/analysis/motor/sensor/baseline.ts';
import { fitted, press, stall } from '../finding/readings.ts';
import { pressOf, readBy } from '../ripple/columns.ts';

/** 97.5 % point of the normal distribution */
const Z = 1.959963984540054;
const RATE_HZ = 1000;
const COUNT = 6000;
const timeS = Float64Array.from({ length: COUNT }, (_value, i) => i / RATE_HZ);

interface Given {
  readonly baseline?: Partial<Baseline>;
  readonly options?: ActuationOptions;
  readonly followS?: number;
  readonly sign?: 1 | -1;
}

/** A press of readings 1000 to 4000, that read 10 A unless a course is given. */
function budget(plain: PressReading, { baseline = {}, options = {}, followS = 0, sign = 1 }: Given = {}, ampsAt: (i: number) => number = () => 10): PressReading {
  const read = readBy(Float32Array.from({ length: COUNT }, (_value, i) => (i < 1000 || i >= 4000 ? 0 : sign * ampsAt(i))));
  return withBudget(plain, pressOf(1000, 4000, sign), { timeS, baseline: { ...read, noiseA: 0, ...baseline }, clamp: { followS, atMostS: followS, known: true }, options });
}
const sizes = (parts: readonly UncertaintyPart[] | undefined): Record<string, number> => Object.fromEntries((parts ?? []).map(({ source, contribution }) => [source, Number(contribution.toFixed(7))]));

describe('the parts of a standing level', () => {
  const stalled = press({ run: null, stalls: [stall(2, 2.032, 14)] });

  it('are the scatter of its middle half, in the direction of the press, and 1.96 times all of them make its bounds', () => {
    // 32 readings: of the middle 16 eight are 0 A and eight 1 A; both batches: sqrt(0.5/1/2) x Student 12.706205 for one degree = 6.3531 A in 95 % bounds
    const course = (i: number): number => (i < 2008 || i >= 2024 ? 40 * (i % 2) : i < 2016 ? 0 : 1);
    for (const sign of [1, -1] as const) {
      const [{ low_a: lowA, high_a: highA, uncertainty }] = budget(stalled, { sign }, course).stalls as [PressReading['stalls'][0]];
      expect(sizes(uncertainty)).toEqual({ noise: expect.closeTo(6.3531025 / Z, 5) });
      expect([lowA, highA]).toEqual([expect.closeTo(14 - 6.3531025, 5), expect.closeTo(14 + 6.3531025, 5)]);
    }
    // a tenth of it, shifted: a tenth of the scatter
    expect(sizes(budget(stalled, {}, (i) => 5 + course(i) / 10).stalls[0]?.uncertainty)).toEqual({ noise: expect.closeTo(0.63531025 / Z, 4) });
  });

  it('are one reading\'s noise where hardly any is left of it', () => {
    const short = (readings: number) => sizes(budget(press({ run: null, stalls: [stall(2, 2 + readings / 1000, 14)] }), { baseline: { noiseA: 0.5 } }).stalls[0]?.uncertainty);
    // a quarter off either end leaves two of four and three of five
    expect([short(4), short(5)]).toEqual([{ noise: 0.5 }, {}]);
  });

  it('are the zero that may have moved, the converter\'s step and the scale', () => {
    // from 0.1 to 0.3 A between both moments at rest: half of it, 0.1 A in 95 % bounds; steps of 0.2 A without scatter: 0.475 of one; 2 % of 14 A
    const level = budget(stalled, { baseline: { nodeS: [0.5, 5], nodeA: [0.1, 0.3], stepA: 0.2 }, options: { gainUncertaintyPercent: 2 } }).stalls[0];
    expect(sizes(level?.uncertainty)).toEqual({ gain: 0.28, 'zero-drift': expect.closeTo(0.1 / Z, 6), resolution: expect.closeTo(0.095 / Z, 6) });
    expect(level?.high_a).toBeCloseTo(14 + Math.hypot(Z * 0.28, 0.1, 0.095), 6);
  });
});

describe('the parts of a running level', () => {
  const run = { start_s: 2, end_s: 3, median_a: 10, low_a: 9, high_a: 11, spread_a: 0, slope_a_per_s: 0 };
  it('are worked out where it was first read as a stall, and left alone where it has them or is a bound', () => {
    const options = { gainUncertaintyPercent: 2 };
    expect(budget(press({ run }), { options }).run).toMatchObject({ low_a: expect.closeTo(10 - Z * 0.2, 9), high_a: expect.closeTo(10 + Z * 0.2, 9), uncertainty: [{ source: 'gain', contribution: 0.2 }] });
    for (const given of [{ ...run, at_least: true as const }, { ...run, uncertainty: [] }]) expect(budget(press({ run: given }), { options }).run).toEqual(given);
    expect(budget(press({ run: null })).run).toBeNull();
  });
});

describe('the parts of a switch-on', () => {
  /** 10 A for 0.1 s: 1 C, 10 A² s; the run is 4 A. */
  const start = (given: Given = {}, inrush: Partial<InrushReading> = {}, ampsAt?: (i: number) => number): InrushReading =>
    budget(press({ inrush: { peak_a: 10, at_s: 1.001, settle_s: 0.1, charge_c: 1, i2t_a2s: 10, ...inrush } }), given, ampsAt).inrush!;
  /** the first reading covers half a millisecond of 10 A more or less, anywhere alike: 5 mC and 50 mA² s over the root of 3 */
  const edge = { charge: { model: expect.closeTo(0.005 / Math.sqrt(3), 6) }, i2t: { model: expect.closeTo(0.05 / Math.sqrt(3), 6) } };

  it('are at least how much lies in the first of its readings', () => {
    const plain = start();
    expect([sizes(plain.uncertainty), sizes(plain.charge_uncertainty), sizes(plain.i2t_uncertainty)]).toEqual([{}, edge.charge, edge.i2t]);
    const [halfC, halfA2s] = [(Z * 0.005) / Math.sqrt(3), (Z * 0.05) / Math.sqrt(3)];
    expect(plain).toMatchObject({ low_charge_c: expect.closeTo(1 - halfC, 9), high_charge_c: expect.closeTo(1 + halfC, 9), low_i2t_a2s: expect.closeTo(10 - halfA2s, 8), high_i2t_a2s: expect.closeTo(10 + halfA2s, 8) });
    // no square is negative
    expect(start({}, { i2t_a2s: 0.01 }).low_i2t_a2s).toBe(0);
    // of the first two readings after the switch the higher
    expect(sizes(start({}, {}, (i) => (i === 1001 ? 10 : i === 1002 ? 12 : 20)).charge_uncertainty)).toEqual({ model: expect.closeTo(0.006 / Math.sqrt(3), 6) });
    expect(sizes(start({ sign: -1 }).charge_uncertainty)).toEqual(edge.charge);
  });

  it('are the noise of each reading, which adds in squares over the time, and twice the current for the square', () => {
    // 0.1 A x sqrt(1 ms x 0.1 s) = 1 mC; 2 x 0.1 A x sqrt(1 ms x 10 A² s) = 20 mA² s
    const noisy = start({ baseline: { noiseA: 0.1 } });
    expect([sizes(noisy.uncertainty), sizes(noisy.charge_uncertainty), sizes(noisy.i2t_uncertainty)]).toEqual([{ noise: 0.1 }, { ...edge.charge, noise: 0.001 }, { ...edge.i2t, noise: 0.02 }]);
    // a step of 0.2 A leaves 0.1 A over the root of 3 to each reading
    const stepped = start({ baseline: { noiseA: 0.1, stepA: 0.2 } });
    expect(sizes(stepped.uncertainty)).toEqual({ noise: 0.1, resolution: expect.closeTo(0.1 / Math.sqrt(3), 6) });
    expect(sizes(stepped.charge_uncertainty)['noise']).toBeCloseTo(0.001 * Math.hypot(1, 1 / Math.sqrt(3)), 6);
  });

  it('are the scale once for the current and the charge, twice for its square, and the zero for the time and for twice the charge', () => {
    const off = start({ baseline: { found: false }, options: { gainUncertaintyPercent: 2, zeroUncertaintyA: 0.02 } });
    expect(sizes(off.uncertainty)).toEqual({ gain: 0.2, zero: 0.02 });
    expect(sizes(off.charge_uncertainty)).toEqual({ ...edge.charge, gain: 0.02, zero: 0.002 });
    expect(sizes(off.i2t_uncertainty)).toEqual({ ...edge.i2t, gain: 0.4, zero: 0.04 });
  });

  it('are how far the zero may have moved under it: half of what it did between both moments at rest', () => {
    const moved = start({ baseline: { nodeS: [0.5, 5], nodeA: [0.1, 0.3] } });
    expect(sizes(moved.uncertainty)).toEqual({ 'zero-drift': expect.closeTo(0.1 / Z, 6) });
    expect(sizes(moved.charge_uncertainty)['zero-drift']).toBeCloseTo(0.01 / Z, 6);
  });

  it('are what a slow sensor shifts and rounds: its time constant times the run, and its square times the steepness', () => {
    // 2 ms x 4 A; 2 ms x 16 A²; a rise of 4 A within 1 ms: 4e-6 s² x (16 - 2 x 0.01) A² / 1 ms = 63.92 mA² s
    const course = (i: number): number => (i < 1050 ? 10 : 14);
    const slow = start({ followS: 0.002, baseline: { noiseA: 0.1 } }, {}, course);
    expect(sizes(slow.charge_uncertainty)['bandwidth']).toBeCloseTo(0.008 / Math.sqrt(3), 6);
    expect(sizes(slow.i2t_uncertainty)['bandwidth']).toBeCloseTo((0.032 + 0.06392) / Math.sqrt(3), 6);
    // a switch-on of one reading has no slope
    expect(sizes(start({ followS: 0.002 }, { settle_s: 0 }).i2t_uncertainty)).toEqual({ bandwidth: expect.closeTo(0.032 / Math.sqrt(3), 6) });
    // without a run nothing lags behind
    const { inrush } = budget(press({ run: null, inrush: { peak_a: 10, at_s: 1.001, settle_s: 0.1, charge_c: 1, i2t_a2s: 10 } }), { followS: 0.002 });
    expect(sizes(inrush?.charge_uncertainty)).toEqual(edge.charge);
  });

  it('are half of the sensor\'s square times the curvature of a rounded peak, where the switch-on was fitted', () => {
    const { fit } = fitted(20).inrush!;
    // (2 ms)² x (10 - 4) A / (2 x 1 ms x 30 ms) = 0.4 A; without an electrical time constant the mechanical one twice: 13.3 mA
    const rounded = (tau: number | null, followS = 0.002) => sizes(start({ followS }, { fit: { ...fit!, tau_electrical_s: tau } }).uncertainty)['bandwidth'];
    expect([rounded(0.001), rounded(null), rounded(0.001, 0.001)]).toEqual([expect.closeTo(0.4 / Math.sqrt(3), 6), expect.closeTo(0.04 / 3 / Math.sqrt(3), 6), expect.closeTo(0.1 / Math.sqrt(3), 6)]);
    expect([rounded(0.001, 0), sizes(start({ followS: 0.002 }).uncertainty)['bandwidth'], sizes(start({ followS: 0.002 }, { fit: { ...fit!, tau_mechanical_s: 0 } }).uncertainty)['bandwidth']]).toEqual([undefined, undefined, undefined]);
    // no peak is below the run
    expect(sizes(start({ followS: 0.002 }, { peak_a: 3, fit: fit! }).uncertainty)).toEqual({});
  });
});

describe('the parts of the feed\'s resistance', () => {
  const supply = { open_v: 12.6, run_v: 12, source_ohm: 0.1, low_ohm: 0.08, high_ohm: 0.13 };
  it('are both scales, joined in squares, beside what was read', () => {
    // hypot(3 %, 4 %) of 0.1 ohm are 5 milliohm
    const added = Z * 0.005;
    const wide = budget(press({ supply }), { options: { gainUncertaintyPercent: 3, voltageGainPercent: 4 } }).supply!;
    expect([wide.low_ohm, wide.high_ohm]).toEqual([expect.closeTo(0.1 - Math.hypot(0.02, added), 9), expect.closeTo(0.1 + Math.hypot(0.03, added), 9)]);
    expect(sizes(wide.uncertainty)).toEqual({ noise: expect.closeTo(0.025 / Z, 6), gain: 0.005 });
    expect(sizes(budget(press({ supply: { ...supply, uncertainty: [{ source: 'model', contribution: 0.01 }] } })).supply?.uncertainty)).toEqual({ model: 0.01 });
    expect(budget(press({ supply: { ...supply, low_ohm: 0 } }), { options: { gainUncertaintyPercent: 50 } }).supply?.low_ohm).toBe(0);
    expect(budget(press()).supply).toBeNull();
  });
});
