import { describe, expect, it } from 'vitest';
import type { ActuationFinding } from '../../../../src/core/analysis/findings.ts';
import { calibrationName, calibrationNames, corrected, correctionOf, holding, sensorUncertaintyOf, type CalibrationRecord, type Correction } from '../../../../src/core/analysis/uncertainty/calibration.ts';
import { runsNearLimits, sleepNearLimit } from '../../../../src/core/analysis/uncertainty/near-limit.ts';
import { combinedOf, halfWidthOf, halfWidthWithout, joinedParts, partsOf, scaledParts, withoutSources } from '../../../../src/core/analysis/uncertainty/parts.ts';
import { measuringTask, sensorAdvice } from '../../../../src/core/analysis/uncertainty/sensor-advice.ts';
import { recordedUncertainty, traceCorrection } from '../../../../src/core/analysis/uncertainty/trace-correction.ts';
import type { SensorPart } from '../../../../src/core/reference/sensors.ts';

/** Figures worked out by hand from JCGM 100:2008: a limit +-a leaves a/sqrt(3) (4.3.7), independent parts add in squares (5.1.2), one reference's errors add as they are (5.2.4). */

const EMPTY: CalibrationRecord = { channel: 'current', at: '2026-11-25T08:00:00Z', by: '', temperature_c: null, due: null, zero_before: null, zero_after: null, zero_scatter: null, zero_hours: null, points: [], shunt: null, part: null, taken_back: null };

function correction(record: Partial<CalibrationRecord>): Correction {
  const answer = correctionOf({ ...EMPTY, ...record });
  if (typeof answer === 'string') throw new Error(answer);
  return answer;
}
const point = (applied: number, read: number, percent = 1) => ({ applied, read, tolerance_percent: percent });

describe('a zero read before and after', () => {
  it('lies in their middle, known to half their difference, and drifted by it', () => {
    // middle 0.2; scatter 0.02/sqrt(2) and 0.1/sqrt(3) in squares: sqrt(0.0002 + 0.003333) = 0.059442
    const { zero, zeroUncertainty, zeroDriftPerHour, gain, gainUncertaintyPercent } = correction({ zero_before: 0.1, zero_after: 0.3, zero_scatter: 0.02, zero_hours: 4 });
    expect([zero, gain, gainUncertaintyPercent]).toEqual([0.2, 1, null]);
    expect(zeroUncertainty).toBeCloseTo(0.059442, 6);
    expect(zeroDriftPerHour).toBeCloseTo(0.05, 12);
    expect(correction({ zero_before: 0.3, zero_after: 0.1, zero_hours: 4 }).zeroDriftPerHour).toBeCloseTo(0.05, 12);
  });

  it('read once is that reading, known to its scatter, and no drift is known', () => {
    expect(correction({ zero_before: 0.1, zero_scatter: 0.02, zero_hours: 4 })).toMatchObject({ zero: 0.1, zeroUncertainty: 0.02, zeroDriftPerHour: null });
    // a reading whose scatter nobody gave is not a zero without error, nor are two that agree
    expect(correction({ zero_after: 0.3 })).toMatchObject({ zero: 0.3, zeroUncertainty: null, zeroDriftPerHour: null });
    expect(correction({ zero_before: 0.3, zero_after: 0.3, zero_hours: 4 })).toMatchObject({ zero: 0.3, zeroUncertainty: null, zeroDriftPerHour: 0 });
    expect(correction({ zero_before: 0.3, zero_after: 0.3, zero_scatter: 0.02 }).zeroUncertainty).toBeCloseTo(0.014142, 6);
    expect(sensorUncertaintyOf(correction({ zero_before: 0.1 }))).not.toHaveProperty('zeroUncertaintyA');
    expect(correction({ zero_before: 0.1, zero_after: 0.3 }).zeroDriftPerHour).toBeNull();
    expect(correction({ zero_before: 0.1, zero_after: 0.3, zero_hours: 0 }).zeroDriftPerHour).toBeNull();
  });
});

describe('a gain', () => {
  it('of a shunt is what the logger reckons with over what its plate says', () => {
    const answer = correction({ shunt: { reckoned_ohm: 0.00075, ohm: 0.001, class_percent: 0.5 }, zero_before: 0.4, zero_scatter: 0.02 });
    expect(answer.gain).toBe(0.75);
    expect(answer.gainUncertaintyPercent).toBeCloseTo(0.288675, 6);
    // in true amperes: 0.75 x 0.02
    expect(answer.zeroUncertainty).toBeCloseTo(0.015, 12);
    expect(corrected(4.4, answer)).toBeCloseTo(3, 12);
  });

  it('of one known current counts its tolerance and the zero', () => {
    // 10/(10.4 - 0.4) = 1; 0.1/sqrt(3)/10 = 0.57735 % and 0.02 x 10/100 = 0.2 %: 0.61101 %
    const answer = correction({ zero_before: 0.4, zero_scatter: 0.02, points: [point(10, 10.4)] });
    expect(answer.gain).toBe(1);
    expect(answer.gainUncertaintyPercent).toBeCloseTo(0.61101, 4);
    expect(correction({ zero_before: 0.4, points: [point(-10, -9.6)] }).gainUncertaintyPercent).toBeCloseTo(0.57735, 4);
  });

  it('of two known currents by one reference is known to its tolerance, and their zero to the scatter of the readings', () => {
    for (const points of [[point(2, 2.1), point(10, 10.5)], [point(-10, -10.5), point(10, 10.5)], [point(10, 10.5), point(-2, -2.1)]]) {
      const answer = correction({ points });
      expect(answer.gain).toBeCloseTo(8 / 8.4, 12);
      expect(answer.gainUncertaintyPercent).toBeCloseTo(0.57735, 4);
      expect(answer.zero).toBeCloseTo(0, 12);
      expect(answer.zeroUncertainty).toBeNull();
    }
    // slopes of the zero by either reading: 10/8 and -2/8; sqrt(1.5625 + 0.0625) x 0.02 = 0.025495 as read, 8/8.4 of it in true amperes
    expect(correction({ zero_scatter: 0.02, points: [point(2, 2.1), point(10, 10.5)] }).zeroUncertainty).toBeCloseTo(0.024281, 6);
    // a line that meets zero at 0.5: 2 A read as 2.5, 10 A as 10.5
    expect(correction({ points: [point(2, 2.5), point(10, 10.5)] })).toMatchObject({ zero: 0.5, gain: 1 });
    // a zero that was read is nearer than that of the line
    expect(correction({ zero_before: 0.4, points: [point(2, 2.5), point(10, 10.5)] }).zero).toBe(0.4);
  });

  it.each([
    ['nothing', {}, 'nothing-known'], ['a part nobody knows', { part: 'no-such-part' }, 'unknown-part'],
    ['a shunt of no ohm', { shunt: { reckoned_ohm: 1, ohm: 0, class_percent: 1 } }, 'not-positive'], ['a reckoned shunt of no ohm', { shunt: { reckoned_ohm: 0, ohm: 1, class_percent: 1 } }, 'not-positive'], ['a class below nothing', { shunt: { reckoned_ohm: 1, ohm: 1, class_percent: -1 } }, 'not-positive'],
    ['a tolerance below nothing', { zero_before: 0, points: [point(5, 5, -1)] }, 'not-positive'], ['one of two tolerances below nothing', { points: [point(2, 2), point(10, 10, -1)] }, 'not-positive'], ['a point at zero', { zero_before: 0, points: [point(0, 5)] }, 'point-at-zero'], ['a point read as zero', { zero_before: 0, points: [point(5, 0)] }, 'point-at-zero'],
    ['one point without a zero', { points: [point(5, 5)] }, 'point-needs-zero'], ['one point read as the zero', { zero_before: 5, points: [point(5, 5)] }, 'points-too-close'],
    ['points a fifth apart, less a little', { points: [point(8.01, 8), point(10, 10)] }, 'points-too-close'], ['points read alike', { points: [point(5, 5), point(10, 5)] }, 'points-too-close'],
    ['twenty times', { shunt: { reckoned_ohm: 20, ohm: 1, class_percent: 0 } }, 'gain-implausible'], ['a twentieth', { shunt: { reckoned_ohm: 1, ohm: 20, class_percent: 0 } }, 'gain-implausible'], ['a sensor the wrong way round', { zero_before: 0, points: [point(5, -5)] }, 'gain-implausible'],
  ] as const)('from %s is refused', (_what, record, fault) => {
    expect(correctionOf({ ...EMPTY, ...record } as CalibrationRecord)).toBe(fault);
  });

  it('at the edge of what is refused is taken', () => {
    expect(correction({ points: [point(8, 8), point(10, 10)] }).gain).toBe(1);
    expect(correction({ shunt: { reckoned_ohm: 19.9, ohm: 1, class_percent: 0 } }).gain).toBe(19.9);
    expect(correction({ shunt: { reckoned_ohm: 1, ohm: 19.9, class_percent: 0 } }).gainUncertaintyPercent).toBe(0);
    expect(correction({ zero_before: 0, points: [point(5, 5, 0)] }).gainUncertaintyPercent).toBe(0);
  });
});

describe('the calibration that holds', () => {
  it('is the last of its channel that was not taken back', () => {
    const list = [{ ...EMPTY, by: 'a' }, { ...EMPTY, by: 'b', taken_back: '2026-11-26T08:00:00Z' }, { ...EMPTY, by: 'c', channel: 'voltage' as const }];
    expect([holding(list, 'current')?.by, holding(list, 'voltage')?.by, holding([], 'current')]).toEqual(['a', 'c', null]);
  });

  it('is kept by serial number, own name, or port', () => {
    expect(calibrationName({ kind: 'logger', serial: 'B7', name: 'bench' }, '/dev/a')).toBe('B7');
    expect(calibrationName({ kind: 'logger', serial: '', name: 'bench' }, '/dev/a')).toBe('bench');
    expect(calibrationName({ kind: 'logger', serial: null, name: '' }, '/dev/a')).toBe('/dev/a');
    expect(calibrationName({ kind: 'numbers', serial: null, name: 'number lines' }, '/dev/a')).toBe('/dev/a');
    expect(calibrationNames({ serial: 'B7', name: 'bench' }, '/dev/a')).toEqual(['B7', 'bench', '/dev/a']);
    expect(calibrationNames({ serial: null, name: '' }, null)).toEqual([]);
  });

  it('hands on what is known, and nothing in place of what is not', () => {
    const none: Correction = { zero: 0, gain: 1, zeroUncertainty: null, gainUncertaintyPercent: null, zeroDriftPerHour: null, zeroTemperature: null };
    expect(sensorUncertaintyOf(none)).toEqual({});
    expect(sensorUncertaintyOf({ ...none, zeroUncertainty: 0, gainUncertaintyPercent: 1, zeroDriftPerHour: 2, zeroTemperature: 3 })).toEqual({ zeroUncertaintyA: 0, gainUncertaintyPercent: 1, zeroDriftAPerHour: 2, zeroTemperatureA: 3 });
  });

  it('gives way to the trace\'s own zero step, which was taken off already', () => {
    const calibrations = [{ ...EMPTY, zero_before: 0.1, zero_scatter: 0.02, shunt: { reckoned_ohm: 3, ohm: 2, class_percent: 0 } }, { ...EMPTY, channel: 'voltage' as const, shunt: { reckoned_ohm: 1, ohm: 1, class_percent: Math.sqrt(3) } }];
    const own = { zero_a: 0.3, offset_doubt_a: 1.959964, gain_doubt_percent: null };
    expect(traceCorrection({ calibrations, calibration: own }, 'current')).toMatchObject({ zero: 0, gain: 1.5, zeroUncertainty: expect.closeTo(1.5, 6) });
    expect(traceCorrection({ calibrations, calibration: { ...own, offset_doubt_a: null } }, 'current')).toMatchObject({ zero: 0, zeroUncertainty: expect.closeTo(0.03, 12) });
    expect(traceCorrection({ calibrations, calibration: { ...own, zero_a: null } }, 'current')).toMatchObject({ zero: 0.1, gain: 1.5 });
    expect(traceCorrection({ calibrations: [], calibration: own }, 'current')).toBeNull();
    expect(recordedUncertainty({ calibrations, calibration: own })).toEqual({ zeroUncertaintyA: expect.closeTo(1.5, 6), gainUncertaintyPercent: 0, voltageGainPercent: expect.closeTo(1, 12) });
    expect(recordedUncertainty({ calibrations: [], calibration: { ...own, gain_doubt_percent: 2 * 1.959964 } })).toEqual({ zeroUncertaintyA: expect.closeTo(1, 6), gainUncertaintyPercent: expect.closeTo(2, 6) });
    expect(recordedUncertainty({ calibrations: [{ ...EMPTY }], calibration: { zero_a: null, offset_doubt_a: null, gain_doubt_percent: null } })).toStrictEqual({});
  });
});

describe('parts of an uncertainty', () => {
  it('too small to be anything but arithmetic are left out', () => {
    expect(joinedParts([{ source: 'noise', contribution: 1 }, { source: 'gain', contribution: 1.1e-6 }]).map(({ source }) => source)).toEqual(['noise', 'gain']);
    expect(joinedParts([{ source: 'noise', contribution: 1 }, { source: 'gain', contribution: 0.9e-6 }]).map(({ source }) => source)).toEqual(['noise']);
    expect(joinedParts([{ source: 'noise', contribution: 0 }])).toEqual([]);
    expect(joinedParts()).toEqual([]);
  });

  it('scale with the slope of the figure, whatever its sign', () => {
    const parts = partsOf({ noise: -3, gain: 4 });
    expect(parts).toEqual([{ source: 'gain', contribution: 4 }, { source: 'noise', contribution: 3 }]);
    expect(scaledParts(parts, -2)).toEqual([{ source: 'gain', contribution: 8 }, { source: 'noise', contribution: 6 }]);
    expect(combinedOf(parts)).toBe(5);
    expect(halfWidthOf(parts)).toBeCloseTo(9.79982, 5);
    expect(withoutSources(parts, 'gain')).toEqual([{ source: 'noise', contribution: 3 }]);
    expect(halfWidthWithout(7, undefined, 'gain')).toBe(7);
    expect(halfWidthWithout(halfWidthOf(parts), parts, 'gain')).toBeCloseTo(1.959964 * 3, 5);
  });
});

describe('a figure near a limit', () => {
  const run = { median_a: 5, low_a: 4.9, high_a: 5.1 };

  it('has the limit inside its bounds, not on them, the lower limit as well as the upper', () => {
    const near = (limits: readonly [number, number], finding: ActuationFinding = 'normal') => runsNearLimits([{ start_s: 1, run, finding }], limits);
    expect([near([3, 4.9]), near([5.1, 9])]).toEqual([[], []]);
    expect(near([4.95, 9])).toEqual([{ figure: 'run', at_s: 1, value_a: 5, low_a: 4.9, high_a: 5.1, limit_a: 4.95 }]);
    expect(near([4.95, 5.05])).toMatchObject([{ limit_a: 4.95 }]);
    for (const finding of ['normal', 'heavy', 'light', 'suspect'] as const) expect(near([3, 5], finding)).toHaveLength(1);
    for (const finding of ['locked', 'stalled', 'intermittent'] as const) expect(near([3, 5], finding)).toEqual([]);
    expect(runsNearLimits([{ start_s: 1, run: null, finding: 'normal' }, { start_s: 7, run, finding: 'light' }], [3, 5])).toMatchObject([{ at_s: 7 }]);
  });

  it('of a night is the level asleep', () => {
    const asleep = { level_a: 0.049, low_a: 0.045, high_a: 0.053 };
    expect(sleepNearLimit(asleep, 0.05)).toEqual([{ figure: 'asleep', value_a: 0.049, low_a: 0.045, high_a: 0.053, limit_a: 0.05 }]);
    expect([sleepNearLimit(asleep, 0.045), sleepNearLimit(asleep, 0.053)]).toEqual([[], []]);
  });
});

describe('advice on sensors', () => {
  const part: SensorPart = { name: 'bench', kind: 'hall', rangeA: 25, gainLimitPercent: Math.sqrt(3), zeroLimitA: null, zeroDriftAPerK: 0, remanenceA: 0, noisePeakToPeakA: null, noiseBandwidthHz: null, stepA: null, bandwidthHz: 500, source: '' };
  const on = (changes: Partial<SensorPart>, task = measuringTask('actuation')) => sensorAdvice(task, [{ ...part, ...changes }])[0]!;

  it('asks for a quarter of a drain limit and a tenth of a running current, and for the range of a start', () => {
    expect(measuringTask('actuation')).toMatchObject({ currentA: 5, mostA: 25, temperatureChangeK: 2, bandwidthHz: 500, allowedA: 0.5 });
    expect(measuringTask('drain')).toMatchObject({ currentA: 0.05, mostA: 10, temperatureChangeK: 10, allowedA: 0.0125 });
    expect(measuringTask('actuation', { currentA: 8 })).toMatchObject({ mostA: 40, allowedA: 0.8 });
    expect(measuringTask('drain', { currentA: 12, temperatureChangeK: 3 })).toMatchObject({ mostA: 12, allowedA: 3, temperatureChangeK: 3 });
    expect(measuringTask('drain', { mostA: 4 }).mostA).toBe(4);
  });

  it('adds up the parts in squares', () => {
    // 1 % of 5 A; 0.03 A a degree over 2 degrees and a remanence of 0.06 A, each over sqrt(3); a step of 0.2 A: 0.1/sqrt(3)
    const { halfWidthA, parts } = on({ zeroDriftAPerK: 0.03 * Math.sqrt(3), remanenceA: 0.08 * Math.sqrt(3), stepA: 0.2 * Math.sqrt(3) });
    expect(parts.map(({ source, contribution }) => [source, Number(contribution.toFixed(9))])).toEqual([['resolution', 0.1], ['remanence', 0.08], ['temperature', 0.06], ['gain', 0.05]]);
    expect(halfWidthA).toBeCloseTo(1.959964 * Math.sqrt(0.01 + 0.0064 + 0.0036 + 0.0025), 6);
  });

  it('is right on the edge of range, bandwidth and what may be allowed', () => {
    expect(on({})).toMatchObject({ proves: true, reasons: ['proves'] });
    expect(on({ rangeA: 24.9 })).toMatchObject({ proves: false, reasons: ['range'] });
    expect(on({ bandwidthHz: 499 })).toMatchObject({ proves: false, reasons: ['slow'] });
    expect(on({ gainLimitPercent: 9, rangeA: 1 })).toMatchObject({ proves: false, reasons: ['range', 'uncertain'] });
    for (const unknown of [{ bandwidthHz: null }, { zeroDriftAPerK: null }, { remanenceA: null }]) expect(on(unknown)).toMatchObject({ proves: null, reasons: ['unknown'] });
    // known to fail, whatever else is unknown
    expect(on({ bandwidthHz: null, rangeA: 1 })).toMatchObject({ proves: false, reasons: ['range'] });
  });

  it('names those that can first, then those of which too little is known, the surer ones before', () => {
    const list = [{ ...part, name: 'no', rangeA: 1 }, { ...part, name: 'perhaps', bandwidthHz: null }, { ...part, name: 'worse', gainLimitPercent: 3 }, { ...part, name: 'better', gainLimitPercent: 1 }];
    expect(sensorAdvice(measuringTask('actuation'), list).map((one) => one.part.name)).toEqual(['better', 'worse', 'perhaps', 'no']);
  });
});
