import { describe, expect, it } from 'vitest';
import { analyseActuation, analyseDrain } from '../../../analyse.ts';
import { compareActuation, compareDrain, learnKnownGood } from '../../../../src/core/present/documents/document-compare.ts';
import type { CompareResult } from '../../../../src/core/analysis/compare/results.ts';
import { compareAnalysed } from '../../../../src/daemon/prove/compare-analysed.ts';
import { placeAgainst } from '../../../../src/core/analysis/compare/known-good/known-good.ts';
import { changeWords, verdictWords } from '../../../../src/core/present/wording/compare-words.ts';
import { shareChange } from '../../../../src/core/analysis/compare/proportion.ts';
import { meanChange } from '../../../../src/core/analysis/compare/change.ts';
import { QUIET, recordNight } from '../../../score/compare/night.ts';
import { recordCircuit, SOUND, USUAL, type Circuit, type Recording } from '../../../score/compare/motor.ts';
import { actuation, actuationResult, drainResult } from '../../report/examples.ts';

const record = (circuit: Partial<Circuit>, seed: number, recording: Partial<Recording> = {}) => recordCircuit({ ...SOUND, ...circuit }, { ...USUAL, ...recording }, seed).trace;
const codes = (result: CompareResult): string[] => result.problems.map(({ code }) => code);
const words = (result: CompareResult): string => result.problems.map(({ text }) => text).join(' ');

describe('two traces that do not fit together', () => {
  it('are refused when they are of different tests: there is nothing left to compare', () => {
    expect(() => compareAnalysed(actuationResult(), drainResult())).toThrow(/nothing in common/);
  });

  it('with no direction in common keep their findings, and nothing else is claimed', () => {
    const result = compareActuation(actuationResult([actuation()], 'normal'), actuationResult([actuation({ direction: 'reverse' })], 'normal'));
    expect(codes(result)).toContain('no-pairs');
    expect(words(result)).toContain('no direction in common');
    expect(words(result)).toContain('If the clamp was turned round');
    expect(result.pairs.filter(({ direction, change }) => direction !== null && change !== null)).toEqual([]);
    expect(result.verdict).toMatchObject({ finding: 'unchanged', claims: false });
  });

  it('where the first holds no event, only findings are set side by side, and that is said', () => {
    const silent = { timeS: Float64Array.from({ length: 3000 }, (_, i) => i / 1000), currentA: new Float32Array(3000), voltageV: null, gaps: [] };
    const result = compareActuation(analyseActuation(silent, {}), analyseActuation(record({}, 3), {}));
    expect(result.before_finding).toBe('unclear');
    expect(words(result)).toContain('The first trace has no press of the switch, so only the findings can be compared');
    expect(result.verdict).toMatchObject({ finding: 'unchanged', claims: false });
    expect(verdictWords(result.verdict).title).toBe('Cannot tell');
  });

  it('in mA and in A are noticed: currents are not judged, times still are', () => {
    const after = record({ dryNm: SOUND.dryNm * 1.5 }, 4);
    const milli = { ...after, currentA: after.currentA.map((value) => value * 1000) };
    for (const [first, second, which] of [[record({}, 3), milli, 'second'], [milli, record({}, 3), 'first']] as const) {
      const result = compareActuation(analyseActuation(first, {}), analyseActuation(second, {}));
      expect(result.problems[0]).toMatchObject({ code: 'mixed-units' });
      expect(words(result)).toContain(`Every current of the ${which} trace`);
      expect(result.verdict.finding).toBe('unchanged');
      expect(result.pairs.filter(({ metric, judgement }) => metric.endsWith('_a') && judgement !== 'unsure')).toEqual([]);
      expect(result.pairs.find(({ metric }) => metric === 'duration_s')!.change).not.toBeNull();
    }
  });

  it('of a night in mA and one in A are noticed, and a drain cured to a thousandth is not taken for one', () => {
    const night = recordNight(QUIET, 1);
    const milli = { ...night, currentA: night.currentA.map((value) => value * 1000) };
    expect(codes(compareDrain(analyseDrain(night, [], {}), analyseDrain(milli, [], {})))).toContain('mixed-units');
    const drained = analyseDrain(recordNight({ ...QUIET, asleepA: 5 }, 2), [], {});
    const cured = analyseDrain(recordNight({ ...QUIET, asleepA: 0.005, noiseA: 0.0005 }, 3), [], {});
    const result = compareDrain(drained, cured);
    expect(codes(result)).not.toContain('mixed-units');
    expect(result.verdict.finding).toBe('repaired');
  });

  it('of which one is damaged are compared by what is whole, and the damage is named', () => {
    const after = analyseActuation(record({}, 4), {});
    after.problems.unshift({ code: 'damaged-block', text: 'Samples from 3.00 s to 3.25 s are damaged and left out.' });
    const result = compareActuation(analyseActuation(record({}, 3), {}), after);
    expect(words(result)).toContain('Second trace: Samples from 3.00 s to 3.25 s are damaged and left out. The rest was compared.');
    expect(result.verdict.finding).toBe('unchanged');
  });

  it('with the voltage lead at different places are judged by current, not by feed or supply', () => {
    const result = compareActuation(analyseActuation(record({}, 3, { lead: 'motor' }), {}), analyseActuation(record({}, 4, { lead: 'battery' }), {}));
    expect(codes(result)).toContain('different-lead');
    expect(codes(result)).not.toContain('different-supply');
    expect(result.pairs.filter(({ metric, judgement }) => metric === 'source_ohm' && judgement !== 'unsure')).toEqual([]);
    expect(result.verdict.finding).toBe('unchanged');
  });

  it('of nights judged against different limits say so, and a level that only the limit passed has not changed', () => {
    const level = (limitA: number, levelA: number) => analyseDrain(recordNight({ ...QUIET, asleepA: levelA }, 5), [], { limitA });
    const result = compareDrain(level(0.05, 0.06), level(0.08, 0.06));
    expect(result.before_finding).toBe('drain');
    expect(result.after_finding).toBe('asleep');
    expect(codes(result)).toContain('different-limit');
    expect(result.verdict.finding).toBe('unchanged');
  });

  it('on either side of a run limit by less than the tolerance have not changed', () => {
    const at = (amps: number) => [0, 1, 2].map((i) => actuation({ run: { start_s: 1, end_s: 3, median_a: amps + 0.01 * i, low_a: amps - 0.02, high_a: amps + 0.03, spread_a: 0.1, slope_a_per_s: 0 }, finding: amps > 5 ? 'heavy' : 'normal' }));
    const result = compareActuation(actuationResult(at(5.05), 'heavy'), actuationResult(at(4.95), 'normal'));
    expect(result.verdict.finding).toBe('unchanged');
    expect(result.verdict.because.join(' ')).toContain('either side of a limit');
  });
});

describe('a trace whose readings stood at the end of the sensor\'s range', () => {
  const at = (amps: number, clipped: boolean) => [0, 1, 2].map((i) => actuation({ run: { start_s: 1, end_s: 3, median_a: amps + 0.01 * i, low_a: amps - 0.05, high_a: amps + 0.05, spread_a: 0.1, slope_a_per_s: 0, ...(clipped ? { at_least: true as const } : {}) } }));
  const run = (before: ReturnType<typeof at>, after: ReturnType<typeof at>) => compareActuation(actuationResult(before, 'normal'), actuationResult(after, 'normal')).pairs.find(({ metric }) => metric === 'run_a')!;

  it('bounds a change on one side alone: it fell by at least so much, or rose by at least so much', () => {
    expect(run(at(30, true), at(20, false))).toMatchObject({ low: null, judgement: 'lower' });
    expect(run(at(20, false), at(30, true))).toMatchObject({ high: null, judgement: 'higher' });
    expect(changeWords(run(at(30, true), at(20, false))).bounds).toMatch(/^at most −9\.\d$/);
  });

  it('is outside a known-good limit for certain only when it is above it', () => {
    const known = learnKnownGood('winch', [24, 25, 26, 25].map((amps) => actuationResult(at(amps, false), 'normal')));
    const placeOf = (amps: number) => placeAgainst(known, actuationResult(at(amps, true), 'normal')).find(({ metric }) => metric === 'run_a')!;
    expect(placeOf(60)).toMatchObject({ place: 'above', certain: true, high_value: null });
    expect(placeOf(10)).toMatchObject({ place: 'below', certain: false });
    expect(placeOf(25)).toMatchObject({ place: 'inside', certain: false });
  });

  it('tells nothing where the other side lies beyond, and nothing when both stood there', () => {
    expect(run(at(30, true), at(32, false))).toMatchObject({ low: null, judgement: 'unsure' });
    expect(run(at(30, true), at(30, true))).toMatchObject({ low: null, high: null, judgement: 'unsure' });
  });
});

describe('bounds for sides of different size', () => {
  it('of one against several are the classical t interval with the scatter of the several (SciPy 1.14: t.ppf(.975, 4) = 2.7764451)', () => {
    // 4.0 4.1 4.2 4.3 4.4: s = 0.158114; half-width 2.7764451 * 0.158114 * sqrt(1 + 1/5)
    const several = [4.0, 4.1, 4.2, 4.3, 4.4].map((value) => ({ value, sigma: null }));
    const change = meanChange(several, [{ value: 5, sigma: null }]);
    expect(change.method).toBe('pooled');
    expect(change.high! - change.change).toBeCloseTo(2.7764451 * 0.15811388 * Math.sqrt(1.2), 5);
  });

  it('of a share are those of Newcombe 1998, table II, method 10', () => {
    // his cases a, c, g: 56/70 - 48/80: 0.0524 to 0.3339; 6/7 - 2/7: 0.0582 to 0.8062; 10/10 - 0/10: 0.6075 to 1
    for (const [first, second, low, high] of [[[48, 80], [56, 70], 0.0524, 0.3339], [[2, 7], [6, 7], 0.0582, 0.8062], [[0, 10], [10, 10], 0.6075, 1]] as const) {
      const change = shareChange({ count: first[0], of: first[1] }, { count: second[0], of: second[1] });
      expect(change.low!).toBeCloseTo(low, 3);
      expect(change.high!).toBeCloseTo(high, 3);
    }
  });
});
