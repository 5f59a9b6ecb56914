import { describe, expect, it } from 'vitest';
import { scalesHalfWidth, sensorProblems, virtualSide, type SensorFacts } from '../../../../src/core/analysis/compare/sensors.ts';
import { compareActuation } from '../../../../src/core/present/documents/document-compare.ts';
import { analyseActuation } from '../../../analyse.ts';
import { sensorFacts } from '../../../../src/daemon/prove/sensor-facts.ts';
import { emptyTraceRecord } from '../../../../src/core/tracefile/trace-json.ts';
import { recordCircuit, SOUND, USUAL } from '../../../score/compare/motor.ts';

const ONE: SensorFacts = { id: 'serial 17', gainUncertaintyPercent: 0.5 };
const OTHER: SensorFacts = { id: 'serial 18', gainUncertaintyPercent: 0.5 };
const UNKNOWN: SensorFacts = { id: null, gainUncertaintyPercent: null };

describe('a comparison by two sensors', () => {
  it('adds both scales in squares (JCGM 100:2008, 5.1.2), and none where one sensor recorded both', () => {
    // 10 A each at 0.5 %: 0.05 A twice in squares, times 1.96
    expect(scalesHalfWidth([ONE, OTHER], 10, 10)).toBeCloseTo(1.96 * 0.05 * Math.SQRT2, 4);
    expect(scalesHalfWidth([ONE, { ...ONE }], 10, 10)).toBe(0);
    expect(scalesHalfWidth(undefined, 10, 10)).toBe(0);
    // nobody said which: they may be two
    expect(scalesHalfWidth([UNKNOWN, UNKNOWN], 10, 10)).toBeGreaterThan(0.5);
  });

  it('says whether they are two, or nobody knows, with what both scales make', () => {
    // 0.5 % each: 1.96 x 0.7071 %
    expect(sensorProblems([ONE, OTHER])).toEqual([{ problem: 'different-sensor', code: 'other-sensor', percent: expect.closeTo(1.385904, 5) }]);
    expect([[ONE, UNKNOWN], [UNKNOWN, ONE], [UNKNOWN, UNKNOWN]].map(([before, after]) => sensorProblems([before!, after!])[0]!.code)).toEqual(['unknown-sensor', 'unknown-sensor', 'unknown-sensor']);
    expect([sensorProblems([ONE, ONE]), sensorProblems(undefined)]).toEqual([[], []]);
  });

  it('knows which side is of the virtual vehicle, where both are told and differ', () => {
    const side = (before?: boolean, after?: boolean) => virtualSide([{ ...ONE, ...(before === undefined ? {} : { isVirtual: before }) }, { ...ONE, ...(after === undefined ? {} : { isVirtual: after }) }]);
    expect([side(true, false), side(false, true), side(true, true), side(false, false), side(undefined, true), side(true), virtualSide(undefined)]).toEqual(['first', 'second', null, null, null, null, null]);
  });

  it('finds the change that calibrated sensors can tell and unknown ones cannot, on the same two traces', () => {
    const before = analyseActuation(recordCircuit(SOUND, { ...USUAL, presses: 8 }, 3).trace, {});
    const heavier = recordCircuit(SOUND, { ...USUAL, presses: 8 }, 4).trace;
    const after = analyseActuation({ ...heavier, currentA: heavier.currentA.map((value) => value * 1.06) }, {});
    const run = (sensors: readonly [SensorFacts, SensorFacts]) => compareActuation(before, after, { sensors }).pairs.find(({ metric }) => metric === 'run_a')!;
    const calibrated = run([ONE, OTHER]);
    const unknown = run([UNKNOWN, UNKNOWN]);
    expect(calibrated.judgement).toBe('higher');
    expect(unknown.judgement).toBe('unsure');
    expect(unknown.high! - unknown.low!).toBeGreaterThan(calibrated.high! - calibrated.low!);
    expect(unknown.scales_half_width!).toBeGreaterThan(calibrated.scales_half_width!);
  });

  it('claims nothing where one trace is of the virtual vehicle and the other is not: the stall of the one is no fault of the other', () => {
    const stalled = analyseActuation(recordCircuit({ ...SOUND, locked: true }, USUAL, 5).trace, {});
    const sound = analyseActuation(recordCircuit(SOUND, USUAL, 6).trace, {});
    const verdict = (before: boolean, after: boolean) => compareActuation(stalled, sound, { sensors: [{ ...ONE, isVirtual: before }, { ...ONE, isVirtual: after }] }).verdict;
    expect(verdict(false, false).finding).toBe('repaired');
    expect(verdict(true, true).finding).toBe('repaired');
    // a plain file says of neither
    expect(compareActuation(stalled, sound, { sensors: [{ ...ONE, isVirtual: true }, UNKNOWN] }).verdict.finding).toBe('repaired');
    for (const [before, which] of [[true, 'first'], [false, 'second']] as const) {
      expect(verdict(before, !before)).toMatchObject({ finding: 'unchanged', claims: false });
      expect(verdict(before, !before).because.join(' ')).toContain(`The ${which} trace is of the virtual vehicle`);
    }
  });

  it('knows a sensor by its serial number, else by name and port; a file says neither', () => {
    const record = (name: string, serial: string | null, source: string) => ({ ...emptyTraceRecord('x', '', ''), logger: { name, serial, firmware: null, source } });
    expect(sensorFacts(record('bench logger', '0042', 'serial:/dev/ttyUSB1')).id).toBe(sensorFacts(record('bench logger', '0042', 'serial:/dev/ttyUSB0')).id);
    expect(sensorFacts(record('sketch', null, 'serial:/dev/ttyUSB1')).id).not.toBe(sensorFacts(record('sketch', null, 'serial:/dev/ttyUSB0')).id);
    expect(sensorFacts(record('file', null, 'before.csv')).id).toBeNull();
    expect(sensorFacts({ ...record('x', null, ''), calibration: { zero_a: null, zeroed_at: null, gain: 1, offset_doubt_a: null, gain_doubt_percent: 1.96 } }).gainUncertaintyPercent).toBeCloseTo(1, 4);
  });
});
