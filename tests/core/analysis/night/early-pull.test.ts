import { describe, expect, it } from 'vitest';
import type { Mark } from '../../../../src/core/trace.ts';
import { read, recording } from './recording.ts';

/** modules until 420 s, longer than the maker says; then 405 mA, of which F7 carries 380 mA */
const levelA = (atS: number, out7S: number): number => (atS < 420 ? 0.83 : 0.405) - (atS >= out7S ? 0.38 : 0);

describe('a first fuse pulled while the last modules time out, and the one with the drain at rest', () => {
  it.each([60, 180, 900])('measures the second, still out, %s s after it was pulled', (afterS) => {
    const marks: Mark[] = [{ kind: 'pull', label: 'F1', timeS: 340 }, { kind: 'refit', label: 'F1', timeS: 360 }, { kind: 'pull', label: 'F7', timeS: 700 }];
    const { pulls, asleep, unexplained_a } = read(recording(700 + afterS, 10, 0.001, (atS) => levelA(atS, 700)), marks, { settlingS: 300 });
    const pull = pulls.find(({ label }) => label === 'F7')!;
    expect(pull.carries).toBe(true);
    expect(pull.change_a).toBeCloseTo(-0.38, 2);
    expect(asleep?.level_a).toBeCloseTo(0.405, 2);
    expect(unexplained_a === null || Math.abs(unexplained_a - 0.025) < 0.01).toBe(true);
  });
});

describe('a fuse pulled just before something wakes', () => {
  it('is not measured by the level after it woke', () => {
    // F3 carries 340 mA; ten seconds after its pull a module takes 140 mA and stays on until after the refit
    const out = (atS: number): boolean => atS >= 6600 && atS < 6700;
    const trace = recording(8000, 5, 0.001, (atS) => (atS < 300 ? 1.2 : 0.03) + (out(atS) ? 0 : 0.34) + (atS >= 6610 && atS < 6760 ? 0.14 : 0));
    const [pull] = read(trace, [{ timeS: 6600, kind: 'pull', label: 'F3' }, { timeS: 6700, kind: 'refit', label: 'F3' }]).pulls;
    expect(pull?.carries).toBeNull();
  });
});

describe('marks that are all at the wrong time', () => {
  it('clear no fuse: nothing happens at any of them, and the drain goes and comes back an hour later', () => {
    const outAt = (atS: number): boolean => atS >= 10_000 && atS < 10_080;
    const trace = recording(12_000, 5, 0.001, (atS) => (atS < 300 ? 1.2 : 0.03) + (outAt(atS) ? 0 : 0.34));
    const marks: Mark[] = ['F1', 'F3'].flatMap((label, k) => [{ timeS: 6200 + 200 * k, kind: 'pull', label }, { timeS: 6280 + 200 * k, kind: 'refit', label }]);
    const { pulls, verdict, possible_pulls: possible } = read(trace, marks);
    expect(pulls.map(({ carries }) => carries)).toEqual([null, null]);
    expect(possible).toHaveLength(1);
    // what was not measured is not cleared either
    expect(verdict.next.join(' ')).not.toContain('No pulled fuse carries the drain');
  });
});

describe('a fuse pulled before the time-outs are over', () => {
  // half an hour after key-off F7 carries 250 mA of 280, F3 nothing; 75 min are the longest time-out (Ford 2023 Edge)
  const marks: Mark[] = [{ kind: 'pull', label: 'F7', timeS: 1800 }, { kind: 'refit', label: 'F7', timeS: 1900 }, { kind: 'pull', label: 'F3', timeS: 2100 }, { kind: 'refit', label: 'F3', timeS: 2200 }];
  const pullsOf = (lengthS: number, laterA: (atS: number) => number) => {
    const { pulls } = read(recording(lengthS, 5, 0.001, (atS) => (atS < 300 ? 1.2 : 0.28) - (atS >= 1800 && atS < 1900 ? 0.25 : 0) + laterA(atS)), marks);
    return ['F7', 'F3'].map((name) => pulls.find(({ label }) => label === name)!);
  };
  const carries = (...how: Parameters<typeof pullsOf>): (boolean | null)[] => pullsOf(...how).map((pull) => pull.carries);

  it('is measured once its level is seen past them; 2 mA may have timed out unseen', () => {
    expect(carries(5400, () => 0)).toEqual([true, false]);
    const [f7] = pullsOf(5400, () => 0);
    // anywhere within 2 mA either side (JCGM 100:2008, 4.3.7), at 1.96
    expect(Math.abs(f7!.change_a + 0.25)).toBeLessThan(0.001);
    expect((f7!.high_a - f7!.low_a) / 2).toBeGreaterThan((1.96 * 0.002) / Math.sqrt(3));
  });

  it('says nothing while one of them may still end it, nor where one did, by a tenth of it, or something else runs at the end', () => {
    expect(carries(4200, () => 0)).toEqual([null, null]);
    expect(carries(5400, (atS) => (atS < 4000 ? 0 : -0.24))).toEqual([null, null]);
    expect(carries(5400, (atS) => (atS < 4000 ? 0 : -0.028))).toEqual([null, null]);
    expect(carries(5400, (atS) => (atS < 4000 ? 0 : 0.03))).toEqual([null, null]);
  });
});
