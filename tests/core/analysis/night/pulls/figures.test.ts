import { describe, expect, it } from 'vitest';
import { measurePulls } from '../../../../../src/core/analysis/night/pulls/pulls.ts';
import type { Pull } from '../../../../../src/core/analysis/results.ts';
import type { FuseTest } from '../../../../../src/core/analysis/night/types.ts';
import type { Mark } from '../../../../../src/core/trace.ts';
import { drawn, type Drawn } from '../drawn.ts';

const mark = (timeS: number, kind: Mark['kind'] = 'pull', label = 'F1'): Mark => ({ kind, label, timeS }) as Mark;
const OUT = [mark(2000), mark(2060, 'refit')];
/** 40 mA of 100 mA behind F1, out for a minute. */
const LEVELS: Drawn[] = [[0.1, 2000], [0.06, 60], [0.1, 2000]];
interface How {
  readonly levels?: readonly Drawn[];
  readonly marks?: readonly Mark[];
  readonly restS?: number | null;
  readonly limitA?: number;
  readonly settlingS?: number | null;
  readonly gainPercent?: number;
}
function measured({ levels = LEVELS, marks = OUT, restS = 0, limitA = 0.05, settlingS = 600, gainPercent = 0 }: How = {}): FuseTest {
  return measurePulls(drawn(levels), marks, restS === null ? null : { segment: 0, atS: restS }, { limitA, settlingS, gainUncertaintyPercent: gainPercent, zeroDriftAPerHour: 0 });
}
const pullOf = (how: How = {}, label = 'F1'): Pull => measured(how).pulls.find((one) => one.label === label)!;
const close = (value: number, digits = 6): number => expect.closeTo(value, digits) as number;

describe('a pull', () => {
  it('has the change of its level', () => {
    expect(pullOf()).toMatchObject({ label: 'F1', at_s: 2000, change_a: close(-0.04), low_a: close(-0.04, 4), high_a: close(-0.04, 4), carries: true });
    // 1 % of 40 mA, twice the root of it
    expect(pullOf({ gainPercent: 1 })).toMatchObject({ low_a: close(-0.04 - 1.959964 * 0.0004), high_a: close(-0.04 + 1.959964 * 0.0004), uncertainty: expect.arrayContaining([expect.objectContaining({ source: 'gain', contribution: close(0.0004) })]) });
  });

  it('comes largest first', () => {
    const levels: Drawn[] = [[0.2, 2000], [0.18, 60], [0.2, 600], [0.1, 60], [0.2, 2000]];
    const { pulls } = measured({ levels, marks: [...OUT, mark(2660, 'pull', 'F2'), mark(2720, 'refit', 'F2')] });
    expect(pulls.map(({ label, change_a }) => [label, change_a])).toEqual([['F2', close(-0.1)], ['F1', close(-0.02)]]);
  });

  it('made before the time-outs are over may be nothing, or all that there was', () => {
    // 75 min above 80 mA (Ford 2023 Edge, Oldsmobile Aurora 2001); the level of before is seen until 4060 s
    const early = pullOf({ settlingS: null });
    // half of what lies between none and 2 mA that may have timed out unseen
    const halfA = 1.959964 * (0.002 / Math.sqrt(3));
    expect(early).toMatchObject({ carries: null, change_a: close(-0.04), low_a: close(-0.1 - halfA), high_a: close(halfA), uncertainty: [] });
    expect([2000, 2001].map((settlingS) => pullOf({ settlingS }).carries)).toEqual([true, true]);
    expect([4060, 4061].map((settlingS) => pullOf({ settlingS }).carries)).toEqual([true, null]);
    expect([0.0999, 0.1001].map((limitA) => pullOf({ settlingS: 9999, limitA }).carries)).toEqual([null, true]);
    // seen past them, as much may have timed out
    expect(pullOf({ settlingS: 3000 })).toMatchObject({ low_a: close(-0.04 - halfA), high_a: close(-0.04 + halfA), carries: true });
  });

  it('was made at what stays to the end: within 2 mA', () => {
    const held = (lastA: number): boolean | null => pullOf({ levels: [[0.1, 2000], [0.06, 60], [0.1, 1200], [lastA, 800]], settlingS: 3000 }).carries;
    expect([held(0.1019), held(0.1021), held(0.0981), held(0.0979)]).toEqual([true, null, true, null]);
  });

  it('before the rest, or without one, is not measured', () => {
    expect([2001, 2002].map((restS) => pullOf({ restS }).carries)).toEqual([true, null]);
    expect(pullOf({ restS: null }).carries).toBeNull();
    expect(measured({ marks: [] })).toEqual({ events: [], stretches: [], pulls: [] });
  });

  it('pressed twice is one, and of a fuse that is out it is where it went back', () => {
    const count = (...marks: Mark[]): unknown => measured({ marks }).events.map(({ kind, markS }) => [kind, markS]);
    expect(count(mark(2000), mark(2011.9), mark(2060, 'refit'))).toEqual([['pull', 2000], ['refit', 2060]]);
    expect(count(mark(2000), mark(2012), mark(2060, 'refit'))).toEqual([['pull', 2000], ['refit', 2012], ['refit', 2060]]);
    expect(count(mark(2000), mark(2005, 'pull', 'F2'), mark(2010, 'refit'), mark(2011, 'refit', 'F2'))).toHaveLength(4);
    expect(count(mark(2000), mark(2060))).toEqual([['pull', 2000], ['refit', 2060]]);
    expect(count(mark(2060, 'refit'), mark(2000))).toEqual([['pull', 2000], ['refit', 2060]]);
    expect(count(mark(2000), mark(2030, 'wake'), mark(2060, 'refit'))).toHaveLength(2);
    // a fuse that came back by itself
    expect(count(mark(2000))).toEqual([['pull', 2000], ['refit', 2060]]);
    const two = measured({ levels: [...LEVELS, [0.07, 60], [0.1, 2000]], marks: [mark(2000), mark(4060, 'pull', 'F2')] });
    expect(two.events.map(({ kind, markS }) => [kind, markS])).toEqual([['pull', 2000], ['refit', 2060], ['pull', 4060], ['refit', 4120]]);
  });

  it('carries something from half of what is no part of a drain on, and nothing below it all', () => {
    const of = (carriedA: number, how: How = {}): boolean | null => pullOf({ levels: [[0.1, 2000], [0.1 - carriedA, 60], [0.1, 2000]], ...how }).carries;
    expect([of(0.0014), of(0.0016)]).toEqual([false, true]);
  });

  it('adds nothing: what came on top may hide as much of the fuse', () => {
    const levels: Drawn[] = [[0.1, 2000], [0.102, 2000]];
    // 2 mA up, never put back: as much of it in the model, more than 2 mA as a limit
    expect(pullOf({ levels, marks: [mark(2000)] })).toMatchObject({ change_a: close(0.002), low_a: close(0.002 - 1.959964 * 0.002), carries: false });
    // not measured it is none at all
    expect(pullOf({ levels, marks: [mark(2000)], restS: 3000 })).toMatchObject({ change_a: 0, carries: null });
  });

  it('put back nobody knows when leaves 2 mA open where nothing changed', () => {
    const never = pullOf({ levels: [[0.1, 4000]], marks: [mark(2000)] });
    expect(never).toMatchObject({ change_a: close(0), high_a: close(1.959964 * (0.002 / Math.sqrt(3))), carries: false });
    expect(pullOf({ levels: [[0.1, 4000]] })).toMatchObject({ high_a: close(0, 4) });
    expect(pullOf({ levels: [[0.1, 2000], [0.06, 2000]], marks: [mark(2000)] })).toMatchObject({ high_a: close(-0.04, 4) });
  });

  it('during which something woke is not measured: first lower by 10 mA, for 1.5 s', () => {
    const woke = (firstA: number, firstS = 10): boolean | null => pullOf({ levels: [[0.1, 2000], [firstA, firstS], [0.06, 90], [0.1, 2000]], marks: [mark(2000), mark(2100, 'refit')] }).carries;
    expect([woke(0.0501), woke(0.0499), woke(0.0499, 1)]).toEqual([true, null, true]);
  });
});

describe('marks at the wrong time', () => {
  /** F1 is marked at 1000 s, where nothing happens; the current is gone from then to a minute later. */
  const stray = (outS: number, marks: readonly Mark[] = [mark(1000), mark(1060, 'refit')]): boolean | null => pullOf({ levels: [[0.1, outS], [0.06, 60], [0.1, 3000]], marks }).carries;
  it('clear no fuse, where the current fell near them or far from all of them', () => {
    expect([stray(1100), stray(1119), stray(1500)]).toEqual([null, null, null]);
    expect(pullOf({ levels: [[0.1, 4000]], marks: [mark(1000), mark(1060, 'refit')] }).carries).toBe(false);
  });

  it('say what they say where the fall is another pull', () => {
    const other = [mark(1000), mark(1060, 'refit'), mark(1100, 'pull', 'F2'), mark(1160, 'refit', 'F2')];
    expect(stray(1100, other)).toBe(false);
    expect(pullOf({ levels: [[0.1, 1100], [0.06, 60], [0.1, 3000]], marks: other }, 'F2').carries).toBe(true);
    // one that was measured speaks for the others
    expect(pullOf({ levels: [[0.1, 1100], [0.06, 60], [0.1, 1000], [0.07, 60], [0.1, 2000]], marks: other }, 'F2').carries).toBe(true);
  });
});
