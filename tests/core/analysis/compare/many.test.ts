import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { analyseActuation } from '../../../analyse.ts';
import { compareMany } from '../../../../src/core/present/documents/document-compare.ts';
import { manyReading } from '../../../../src/core/analysis/compare/many/many.ts';
import { OUTLIER_FROM, standingOf } from '../../../../src/core/analysis/compare/many/outlier.ts';
import { recordCircuit, SOUND, USUAL, type Circuit } from '../../../score/compare/motor.ts';
import { actuation, actuationResult, drainResult } from '../../report/examples.ts';

const named = (name: string, circuit: Partial<Circuit>, seed: number, recording: Partial<typeof USUAL> = {}) => ({
  name,
  result: analyseActuation(recordCircuit({ ...SOUND, ...circuit }, { ...USUAL, presses: 4, ...recording }, seed).trace, {}),
});

describe('one among several traces', () => {
  it('comes first when it runs heavier, with the figure and by how much in words', () => {
    const result = compareMany([named('left', {}, 1), named('right', { dryNm: SOUND.dryNm * 1.31 }, 2), named('spare', {}, 3)]);
    expect(result.traces[0]).toMatchObject({ name: 'right', outlier: true });
    // 31 % more dry torque is 31 % more of the current that carries it, all but the part lost to speed
    expect(result.traces[0]!.because).toMatch(/^running current (forward|reverse) (2[89]|3[01]) % above the others$/);
    expect(result.traces.slice(1).every(({ outlier }) => !outlier)).toBe(true);
    expect(result.actuations.slice(0, 4).every(({ trace, outlier }) => trace === 1 && outlier)).toBe(true);
    expect(result.verdict).toMatchObject({ finding: 'one-stands-out' });
    expect(result.verdict.because[0]).toContain('right: running current');
  });

  it('is found by its finding alone where that differs from all others', () => {
    // nobody said what is usual for this circuit
    const result = compareMany([named('left', {}, 1), named('right', { jamAt: 100 }, 2), named('spare', {}, 3)]);
    expect(result.traces[0]).toMatchObject({ name: 'right', outlier: true });
    expect(result.traces[0]!.because).toContain('stalled, the others ran and stopped');
    // every jammed press, though another of its own trace jammed as well
    expect(result.actuations.filter(({ outlier }) => outlier).map(({ trace, direction }) => `${trace} ${direction}`)).toEqual(['1 forward', '1 forward']);
    expect(result.actuations[0]!.because).toContain('stalled, most others ran and stopped');
  });

  it('is found by its finding among others that nothing judged, which are not called normal for it', () => {
    const unjudged = (finding: 'normal' | 'stalled') => {
      const result = actuationResult([actuation({ finding })], finding);
      return { ...result, verdict: { ...result.verdict, basis: finding === 'normal' ? 'none' as const : 'itself' as const } };
    };
    const result = compareMany([{ name: 'left', result: unjudged('normal') }, { name: 'right', result: unjudged('stalled') }, { name: 'spare', result: unjudged('normal') }]);
    expect(result.traces[0]).toMatchObject({ name: 'right', basis: 'itself', because: expect.stringContaining('stalled, the others ran and stopped') });
    expect(result.traces[1]).toMatchObject({ finding: 'normal', basis: 'none' });
  });

  it('is found among nights, which nothing is said to judge', () => {
    const night = (finding: 'drain' | 'asleep') => ({ name: finding, result: drainResult({ verdict: { finding, because: [], next: [] } }) });
    const { traces } = manyReading([night('asleep'), night('drain'), night('asleep')]);
    expect(traces[0]).toMatchObject({ name: 'drain', outlier: true });
    expect(traces[0]!.because).toEqual({ code: 'finding', finding: 'drain', usual: 'asleep', all: true, figure: null });
  });

  it('that is like the others stays in the order in which they were given', () => {
    const given = Array.from({ length: 4 }, (_, i) => ({ name: `${i}`, result: actuationResult([actuation(), actuation()], 'normal') }));
    const { traces, actuations } = manyReading(given);
    expect([traces.map(({ trace }) => trace), actuations.map(({ trace, number }) => `${trace} ${number}`)]).toEqual([[0, 1, 2, 3], ['0 1', '0 2', '1 1', '1 2', '2 1', '2 2', '3 1', '3 2']]);
  });

  it('has the first hundred of its presses looked at, and more only counted', () => {
    const presses = (count: number) => [{ name: 'a', result: actuationResult(Array.from({ length: count }, () => actuation()), 'normal') }];
    expect([100, 101].map((count) => [manyReading(presses(count)).actuations.length, manyReading(presses(count)).problems.map(({ code }) => code).join(' ')])).toEqual([[100, 'only-two'], [100, 'many-presses only-two']]);
  });

  it('cannot be named where their findings differ and none is the usual one, however close their figures lie', () => {
    const given = (['normal', 'stalled', 'normal', 'stalled'] as const).map((finding, i) => ({ name: `van ${i + 1}`, result: actuationResult([actuation({ finding })], finding) }));
    expect(compareMany(given).verdict).toMatchObject({ finding: 'cannot-tell', because: [expect.stringContaining('findings differ')] });
    // where nobody can tell what one shows, that one differs from nothing
    const open = (['normal', 'unclear', 'normal', 'unclear'] as const).map((finding, i) => ({ name: `van ${i + 1}`, result: actuationResult([actuation({ finding })], finding) }));
    expect(compareMany(open).verdict.finding).toBe('alike');
  });

  it('is none when all are alike, whatever their noise, rate and the hand on the switch', () => {
    const result = compareMany([named('a', {}, 1), named('b', {}, 2, { noiseA: 0.15, holdS: 3.5 }), named('c', {}, 3, { rateHz: 2000 })]);
    expect(result.verdict.finding, result.verdict.because.join(' ')).toBe('alike');
    expect(result.actuations).toHaveLength(12);
    expect(result.actuations.map(({ distance }) => distance)).toEqual(result.actuations.map(({ distance }) => distance).toSorted((x, y) => y - x));
  });

  it('may be a single press of a trace, counted within its direction', () => {
    const steady = recordCircuit(SOUND, { ...USUAL, presses: 8 }, 4);
    const result = analyseActuation(steady.trace, {});
    const odd = result.actuations[4]!;
    odd.run = { ...odd.run!, median_a: odd.run!.median_a * 1.6 };
    const many = compareMany([{ name: 'left', result }]);
    expect(many.actuations[0]).toMatchObject({ direction: 'forward', number: 3, outlier: true });
    expect(many.actuations[0]!.because).toMatch(/^running current (5[5-9]|6[0-5]) % above the others$/);
  });

  it('is reported for drain tests by level and average', () => {
    const asleep = (levelA: number) => drainResult({ asleep: { at_s: 900, level_a: levelA, low_a: levelA - 0.001, high_a: levelA + 0.001 }, average_a: levelA });
    const result = compareMany([0.021, 0.022, 0.023, 0.09].map((levelA, i) => ({ name: `van ${i + 1}`, result: asleep(levelA) })));
    expect(result.traces[0]).toMatchObject({ name: 'van 4', outlier: true });
    expect(result.actuations).toEqual([]);
  });

  it('cannot be named among two single presses, and an empty trace is named', () => {
    const two = compareMany([{ name: 'a', result: actuationResult() }, { name: 'b', result: actuationResult([], 'dead') }]);
    expect(two.verdict.finding).toBe('cannot-tell');
    expect(two.problems.map(({ text }) => text).join()).toContain('b has no press of the switch (dead)');
  });
});

describe('the distance from the others', () => {
  const figure = (value: number, others: readonly number[]) => ({ metric: 'run_a' as const, direction: null, value, others, tolerance: 0.05, floor: 0.01 });

  it('is the modified z score where the others scatter more than the tolerance (worked by hand)', () => {
    // others 8 9 10 11 12: middle 10, median absolute deviation 1; (15 - 10) / 1.4826 = 3.37, just inside the 3.5 of Iglewicz and Hoaglin 1993
    const inside = standingOf([figure(15, [8, 9, 10, 11, 12])]);
    expect(inside.distance).toBeCloseTo(5 / 1.4826022, 5);
    expect(inside.distance).toBeLessThan(OUTLIER_FROM);
    expect(standingOf([figure(15.2, [8, 9, 10, 11, 12])]).distance).toBeGreaterThan(OUTLIER_FROM);
  });

  it('makes no outlier of a value within the tolerance of others that are equal', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.5, max: 100, noNaN: true }), fc.double({ min: -0.05, max: 0.05, noNaN: true }), fc.integer({ min: 2, max: 9 }), (level, off, count) => {
        expect(standingOf([figure(level * (1 + off), Array.from({ length: count }, () => level))]).distance).toBeLessThanOrEqual(2);
      }),
    );
  });

  it('is nought with fewer than two others', () => {
    expect(standingOf([figure(15, [8])])).toEqual({ distance: 0, reason: null });
  });
});
