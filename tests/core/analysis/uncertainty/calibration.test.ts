import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { corrected, correctionOf, holding, sensorUncertaintyOf, type CalibrationRecord, type Correction } from '../../../../src/core/analysis/uncertainty/calibration.ts';
import { SENSOR_PARTS, UNKNOWN_GAIN_LIMIT_PERCENT } from '../../../../src/core/reference/sensors.ts';

const EMPTY: CalibrationRecord = {
  channel: 'current', at: '2026-11-02T09:00:00Z', by: 'R. Vane', temperature_c: 21, due: null, zero_before: null, zero_after: null, zero_scatter: null,
  zero_hours: null, points: [], shunt: null, part: null, taken_back: null,
};

function good(record: Partial<CalibrationRecord>): Correction {
  const correction = correctionOf({ ...EMPTY, ...record });
  if (typeof correction === 'string') throw new Error(correction);
  return correction;
}

describe('calibration of a channel', () => {
  it('takes the zero before and after a test in the middle, with half their difference as the limit of what it may have been', () => {
    const { zero, gain, zeroUncertainty, gainUncertaintyPercent, zeroDriftPerHour } = good({ zero_before: 0.02, zero_after: 0.032, zero_hours: 4 });
    expect(zero).toBeCloseTo(0.026, 12);
    expect(gain).toBe(1);
    // JCGM 100:2008, 4.3.7: 6 mA over the root of three
    expect(zeroUncertainty).toBeCloseTo(0.003464, 6);
    expect(gainUncertaintyPercent).toBeNull();
    expect(zeroDriftPerHour).toBeCloseTo(0.003, 12);
  });

  it('finds the gain from one known current: a clamp that reads 3 % low', () => {
    const correction = good({ zero_before: 0.1, points: [{ applied: 5, read: 4.95, tolerance_percent: 0.8 }] });
    expect(correction.gain).toBeCloseTo(5 / 4.85, 12);
    expect(correction.gainUncertaintyPercent).toBeCloseTo(0.8 / Math.sqrt(3), 6);
    expect(corrected(4.95, correction)).toBeCloseTo(5, 12);
  });

  it('does not believe that two currents by one meter know the gain better than that meter', () => {
    const { gain, zero, gainUncertaintyPercent } = good({ points: [{ applied: 2, read: 2.1, tolerance_percent: 1 }, { applied: 8, read: 8.1, tolerance_percent: 1 }] });
    expect(gain).toBeCloseTo(1, 12);
    expect(zero).toBeCloseTo(0.1, 12);
    expect(gainUncertaintyPercent).toBeCloseTo(1 / Math.sqrt(3), 5);
  });

  it('takes the class of a shunt, and its own resistance in place of the one reckoned with', () => {
    const { gain, gainUncertaintyPercent } = good({ shunt: { reckoned_ohm: 0.00075, ohm: 0.00076, class_percent: 0.5 } });
    expect(gain).toBeCloseTo(0.75 / 0.76, 12);
    expect(gainUncertaintyPercent).toBeCloseTo(0.288675, 6);
  });

  it('takes the datasheet of a part for what was not measured: its zero only until a zero is read', () => {
    const part = SENSOR_PARTS.find(({ name }) => name === 'hais-50')!;
    expect(good({ part: 'hais-50' }).zeroUncertainty).toBeCloseTo(part.zeroLimitA! / Math.sqrt(3), 9);
    expect(good({ part: 'hais-50', zero_before: 0.3, zero_scatter: 0.002 }).zeroUncertainty).toBe(0.002);
    expect(UNKNOWN_GAIN_LIMIT_PERCENT).toBeGreaterThanOrEqual(Math.max(...SENSOR_PARTS.map(({ gainLimitPercent }) => gainLimitPercent)));
  });

  it.each([
    [{}, 'nothing-known'],
    [{ points: [{ applied: 5, read: 4.9, tolerance_percent: 1 }] }, 'point-needs-zero'],
    [{ zero_before: 0, points: [{ applied: 0, read: 0.1, tolerance_percent: 1 }] }, 'point-at-zero'],
    [{ points: [{ applied: 5, read: 5, tolerance_percent: 1 }, { applied: 5.5, read: 5.5, tolerance_percent: 1 }] }, 'points-too-close'],
    [{ zero_before: 0, points: [{ applied: 5, read: 5000, tolerance_percent: 1 }] }, 'gain-implausible'],
    [{ part: 'drawer' }, 'unknown-part'],
    [{ shunt: { reckoned_ohm: 0, ohm: 0.001, class_percent: 1 } }, 'not-positive'],
  ] as [Partial<CalibrationRecord>, string][])('refuses what cannot be a calibration: %j is %s', (record, fault) => {
    expect(correctionOf({ ...EMPTY, ...record })).toBe(fault);
  });

  it('always brings the known currents back', () => {
    const value = fc.double({ min: 0.5, max: 50, noNaN: true });
    fc.assert(
      fc.property(value, value, fc.double({ min: 0.5, max: 2, noNaN: true }), fc.double({ min: -0.3, max: 0.3, noNaN: true }), (one, two, gain, zero) => {
        fc.pre(Math.abs(one - two) > 0.25 * Math.max(one, two));
        const read = (true_: number): number => true_ / gain + zero;
        fc.pre(Math.abs(read(one)) > 1e-3 && Math.abs(read(two)) > 1e-3);
        const points = [one, two].map((applied) => ({ applied, read: read(applied), tolerance_percent: 0.5 }));
        const correction = good({ points });
        expect(corrected(read(one), correction)).toBeCloseTo(one, 6);
        expect(corrected(read(two), correction)).toBeCloseTo(two, 6);
        expect(correction.gain).toBeCloseTo(gain, 6);
      }),
    );
  });

  it('uses the last one that was not taken back, by channel', () => {
    const first = { ...EMPTY, zero_before: 0.1 };
    const second = { ...EMPTY, zero_before: 0.2, taken_back: '2026-11-03T00:00:00Z' };
    expect(holding([first, second], 'current')).toBe(first);
    expect(holding([first, second], 'voltage')).toBeNull();
  });

  it('hands an analysis only what is known', () => {
    expect(sensorUncertaintyOf(good({ zero_before: 0.1, zero_scatter: 0.004 }))).toEqual({ zeroUncertaintyA: 0.004 });
  });
});
