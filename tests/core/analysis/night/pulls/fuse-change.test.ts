import { describe, expect, it } from 'vitest';
import { changeAt, type Change, type Course } from '../../../../../src/core/analysis/night/pulls/fuse-change.ts';
import { levelBefore } from '../../../../../src/core/analysis/night/pulls/stretches.ts';
import type { FuseEvent, Stretch } from '../../../../../src/core/analysis/night/types.ts';

const stretch = (levelA: number, some: Partial<Stretch> = {}): Stretch => ({ startS: 0, endS: 1000, levelA, errorA: 0, pulsesErrorA: 0, centreS: 0, blockCount: 100, roundingA: 0, highestA: levelA, usable: true, ...some });
const AWAKE = { usable: false };
const event = (kind: FuseEvent['kind'], label = 'F1'): FuseEvent => ({ kind, label, markS: 0, atS: 0 });
const PULL = event('pull');
const REFIT = event('refit');
const COURSE: Course = { restS: 0, blockS: 1, driftAPerS: 0 };
const at = (events: readonly FuseEvent[], stretches: readonly Stretch[], k: number, course: Partial<Course> = {}): Change => changeAt(events, stretches, k, { ...COURSE, ...course });

describe('the change at a fuse', () => {
  it('is the level after less the level before, less what would have drifted anyway', () => {
    // 60 s at 10 uA/s are 0.6 mA, uncertain by a fifth: 0.12 mA
    const sides = [stretch(0.1, { errorA: 0.003, centreS: 100, roundingA: 0.0003 }), stretch(0.06, { errorA: 0.004, centreS: 160, roundingA: 0.0004 })];
    const insideA = Math.hypot(0.003, 0.00012);
    const close = (value: number): number => expect.closeTo(value, 12) as number;
    expect(at([PULL], sides, 0, { driftAPerS: 1e-5 })).toEqual({ changeA: close(-0.0406), outErrorA: 0.004, inErrorA: close(insideA), errorA: close(Math.hypot(insideA, 0.004)), outS: 160, roundingA: close(0.0005), clear: true });
    const backA = Math.hypot(0.004, 0.00012);
    expect(at([REFIT], sides, 0, { driftAPerS: 1e-5 })).toMatchObject({ changeA: close(-0.0406), outErrorA: 0.003, inErrorA: close(backA), errorA: close(Math.hypot(backA, 0.003)), outS: 100 });
  });

  it('is not known where one side has no rest: by half of the largest level, or of a step worth asking about', () => {
    const none = (...sides: Stretch[]): unknown => at([PULL], sides, 0);
    const open = (halfA: number) => {
      const errorA = expect.closeTo(halfA, 12) as number;
      return { changeA: 0, errorA, outErrorA: errorA, inErrorA: errorA, outS: NaN, roundingA: 0, clear: false };
    };
    expect([none(stretch(0.1), stretch(0.3, AWAKE)), none(stretch(0.3, AWAKE), stretch(0.06)), none(stretch(0.004), stretch(0.3, AWAKE))]).toEqual([open(0.05), open(0.03), open(0.005)]);
  });

  it('over more than one event is clear of neither', () => {
    const later = [stretch(0.1), stretch(0.5, AWAKE), stretch(0.06)];
    expect(at([PULL, event('pull', 'F2')], later, 0)).toMatchObject({ changeA: expect.closeTo(-0.04, 12), clear: false });
    expect(at([PULL, event('pull', 'F2')], later, 1)).toMatchObject({ changeA: expect.closeTo(-0.04, 12), clear: false });
    // between a refit and a pull the level from before the first pull holds
    const refitted = [stretch(0.1), stretch(0.06), stretch(0.5, AWAKE), stretch(0.03, { highestA: 0.5 })];
    expect(at([PULL, REFIT, event('pull', 'F2')], refitted, 2)).toMatchObject({ changeA: expect.closeTo(-0.07, 12), clear: true });
  });

  it('is clear where what a stir left is gone: nothing above by 10 mA, or half a minute seen', () => {
    const after = (highestA: number, blockCount: number, blockS = 1): boolean => at([PULL], [stretch(0.1), stretch(0.06, { highestA, blockCount })], 0, { blockS }).clear;
    expect([after(0.0699, 5), after(0.0701, 5), after(0.0701, 29), after(0.0701, 30), after(0.0701, 15, 2)]).toEqual([true, false, false, true, true]);
    const before = (highestA: number): boolean => at([PULL], [stretch(0.1, { highestA, blockCount: 5 }), stretch(0.06)], 0).clear;
    expect([before(0.1099), before(0.1101)]).toEqual([true, false]);
    expect(at([{ ...PULL, misplaced: true }], [stretch(0.1), stretch(0.06)], 0).clear).toBe(false);
    expect(at([{ ...PULL, misplaced: false }], [stretch(0.1), stretch(0.06)], 0).clear).toBe(true);
  });

  it('may hold what a refit started and was not seen to end, within a fifth', () => {
    // woken by 100 mA above the 100 of the rest; so much of it ended
    const left = (endedA: number, restA = 0.1): Change => at([PULL, REFIT, event('pull', 'F2')], [stretch(restA), stretch(0.06), stretch(0.2, AWAKE), stretch(0.05, { highestA: 0.05 + endedA })], 2);
    expect([left(0.079).clear, left(0.081).clear]).toEqual([false, true]);
    expect([left(0.081).inErrorA, left(0.1).inErrorA, left(0.15).inErrorA]).toEqual([expect.closeTo(0.019, 12), 0, 0]);
    expect([left(0, 0.2).clear, left(0, 0.199).clear]).toEqual([true, false]);
    // on both sides: what was left before the pull, and after it
    const both = at([PULL, event('pull', 'F2')], [stretch(0.2, AWAKE), stretch(0.1, { highestA: 0.27 }), stretch(0.05)], 1);
    expect(both.inErrorA).toBeCloseTo(0.03, 12);
  });

  it('is not clear where the level before it is lower than it was with the same fuses in', () => {
    const lower = (levelA: number, some: Partial<Stretch> = {}, course: Partial<Course> = {}, first: Partial<Stretch> = {}): boolean => at([PULL, REFIT, event('pull', 'F2')], [stretch(0.1, first), stretch(0.06), stretch(levelA, some), stretch(0.02)], 2, course).clear;
    expect([lower(0.0971), lower(0.0969), lower(0.2)]).toEqual([true, false, true]);
    // errors of 3 and 4 mA: 20 mA, and 3 mA of rounding on either side
    expect([lower(0.0801, { errorA: 0.004 }, {}, { errorA: 0.003 }), lower(0.0799, { errorA: 0.004 }, {}, { errorA: 0.003 })]).toEqual([true, false]);
    const rounded = { roundingA: 0.003 };
    expect([lower(0.0911, rounded, {}, rounded), lower(0.0909, rounded, {}, rounded)]).toEqual([true, false]);
    // before the rest nothing is known
    expect([lower(0.05, {}, { restS: 1000 }), lower(0.05, {}, { restS: 999 })]).toEqual([true, false]);
    expect(lower(0.05, {}, {}, AWAKE)).toBe(true);
    // other fuses were in
    expect(at([PULL, event('pull', 'F2')], [stretch(0.1), stretch(0.05), stretch(0.02)], 1).clear).toBe(true);
    expect(at([PULL, event('refit', 'F2'), event('pull', 'F3')], [stretch(0.1), stretch(0.06), stretch(0.05), stretch(0.02)], 2).clear).toBe(false);
  });
});

describe('the level before an event', () => {
  const before = (events: readonly FuseEvent[], stretches: readonly Stretch[]): unknown => {
    const found = levelBefore(events, stretches, events.length);
    return found === null ? null : [found.levelA, found.sameFuses];
  };

  it('is that of the stretch, or the one from before the pull that was undone', () => {
    expect(before([PULL], [stretch(0.1), stretch(0.06)])).toEqual([0.06, true]);
    expect(before([PULL, REFIT], [stretch(0.1), stretch(0.06), stretch(1, AWAKE)])).toEqual([0.1, true]);
    expect(before([PULL, REFIT, event('pull', 'F2'), event('refit', 'F2')], [stretch(0.1), stretch(0.06), stretch(1, AWAKE), stretch(0.05), stretch(1, AWAKE)])).toEqual([0.1, true]);
  });

  it('is else the last rest there is, with other fuses in', () => {
    expect(before([PULL, event('refit', 'F2')], [stretch(0.1), stretch(0.06), stretch(1, AWAKE)])).toEqual([0.06, false]);
    expect(before([PULL], [stretch(0.1), stretch(1, AWAKE)])).toEqual([0.1, false]);
    expect(before([REFIT, REFIT], [stretch(0.1), stretch(1, AWAKE), stretch(1, AWAKE)])).toEqual([0.1, false]);
    expect(before([PULL, REFIT], [stretch(0.1, AWAKE), stretch(1, AWAKE), stretch(1, AWAKE)])).toBeNull();
    expect(before([REFIT], [stretch(0.1), stretch(1, AWAKE)])).toEqual([0.1, false]);
  });
});
