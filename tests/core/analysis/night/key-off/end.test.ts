import { describe, expect, it } from 'vitest';
import { findEnd, readingsUntil, showsNothing } from '../../../../../src/core/analysis/night/key-off/end.ts';
import type { Mark } from '../../../../../src/core/trace.ts';
import { drawn, volts, type Drawn } from '../drawn.ts';

/** Why and when the recording ends to show anything; at another time of its clock it must be as much later. */
function end(...levels: Drawn[]): string | null {
  const found = findEnd(drawn(levels), []);
  const later = findEnd(drawn(levels, {}, 7000), []);
  expect(later).toEqual(found === null ? null : { ...found, atS: found.atS + 7000 });
  return found === null ? null : `${found.by} ${found.atS}`;
}

const PARKED: Drawn = [0.05, 1000];

describe('a recording that ends with current into the battery', () => {
  it('shows the vehicle up to it: half a minute of more than four times what the zero may be off by', () => {
    expect([end(PARKED, [-0.1, 30]), end(PARKED, [-0.1, 29])]).toEqual(['fed 1000', null]);
    expect([end(PARKED, [-0.024, 60]), end(PARKED, [-0.0241, 60])]).toEqual([null, 'fed 1000']);
    // from its beginning on it is judged as a whole
    expect([end([-0.1, 1000]), end([-0.1, 100], [0.05, 50], [-0.1, 300])]).toEqual([null, null]);
  });

  it('is over with it where it came in the later half, though it does not feed to the end', () => {
    expect([end(PARKED, [-0.1, 600], [0.05, 400]), end(PARKED, [-0.1, 600], [0.05, 401])]).toEqual(['fed 1000', null]);
    expect([end(PARKED, [-0.1, 30], [0.05, 40]), end(PARKED, [-0.1, 29], [0.05, 40])]).toEqual(['fed 1000', null]);
    expect(end(PARKED, [-0.1, 10], [0.05, 300], [-0.1, 60], [0.05, 300])).toBe('fed 1310');
  });

  it('is over from the first feed on whose break is shorter than what follows it', () => {
    expect([end([0.05, 300], [-0.1, 400], [0.02, 299], [-0.1, 300]), end([0.05, 300], [-0.1, 400], [0.02, 300], [-0.1, 300])]).toEqual(['fed 300', 'fed 1000']);
    // 310 s are shorter than the 360 s from the second feed on, though not than the 300 s of the last one alone
    expect(end([0.05, 100], [-0.1, 100], [0.02, 310], [-0.1, 10], [0.02, 50], [-0.1, 300])).toBe('fed 100');
  });

  it('is over from its dawn on: falling levels below nine tenths of the one that had lasted longest', () => {
    expect(end(PARKED, [0.0449, 60], [0.01, 60], [-0.1, 1200])).toBe('fed 1000');
    expect(end(PARKED, [0.0451, 60], [0.01, 60], [-0.1, 1200])).toBe('fed 1060');
    // the longest itself is no dawn, nor what came before it
    expect(end([0.01, 50], PARKED, [-0.1, 1100])).toBe('fed 1050');
    expect(end([0.05, 50], [-0.02, 1000], [-0.1, 1100])).toBe('fed 1050');
  });
});

describe('a recording that ends without any current', () => {
  it('shows the vehicle up to it: half a minute of less than anything draws', () => {
    expect([end(PARKED, [0, 30]), end(PARKED, [0, 29])]).toEqual(['no-current 1000', null]);
    expect([end(PARKED, [0.00049, 60]), end(PARKED, [0.0005, 60]), end(PARKED, [-0.00049, 60])]).toEqual(['no-current 1000', null, 'no-current 1000']);
    expect(end(PARKED, [0.0001, 20], [-0.0001, 20])).toBe('no-current 1000');
    // a flicker of less than four seconds is none
    expect([end(PARKED, [0, 40], [0.0001, 3]), end(PARKED, [0, 40], [0.0001, 4])]).toEqual([null, 'no-current 1000']);
  });

  it('is not over where a fuse was pulled within twelve seconds: it may carry all there is', () => {
    const mark = (kind: Mark['kind'], timeS: number): unknown => findEnd(drawn([PARKED, [0, 60]]), [{ kind, timeS, label: 'F1' } as Mark])?.atS ?? null;
    expect([mark('pull', 1011), mark('pull', 1012), mark('pull', 989), mark('pull', 988), mark('refit', 1000)]).toEqual([null, 1000, null, 1000, 1000]);
    expect(findEnd(drawn([PARKED]), [{ kind: 'pull', timeS: 500, label: 'F1' } as Mark])).toBeNull();
  });

  it('is over where the current went after all time-outs, to what may be none and is no part of a drain (3 mA)', () => {
    // 75 min (Ford 2023 Edge)
    expect(end([0.1, 4501], [0.003, 100])).toBe('no-current 4501');
    expect([end([0.1, 4501], [0.0029, 100]), end([0.1, 4500], [0.0029, 100]), end([0.1, 4501], [0.0031, 100]), end([0.1, 4501], [-0.0029, 100])]).toEqual(['no-current 4501', null, null, 'no-current 4501']);
    // with a zero that is known better, no more than that
    const certain = (levelA: number): number | null => findEnd(drawn([[0.1, 4501], [levelA, 100]], { belowZeroA: 0.001 }), [])?.atS ?? null;
    expect([certain(0.00099), certain(0.00101)]).toEqual([4501, null]);
    // and where it had not been there before for half a minute
    expect([end([0.1, 2000], [0.0029, 29], [0.1, 3000], [0.0029, 100]), end([0.1, 2000], [0.0029, 30], [0.1, 3000], [0.0029, 100])]).toEqual(['no-current 5029', null]);
    expect([end([0.1, 5000], [0.0029, 29]), end([0.1, 5000], [0.0029, 30])]).toEqual([null, 'no-current 5000']);
  });

  it('is over where a logger that was away comes back within what its zero may be off by', () => {
    expect([end([0.05, 4501], [0.0059, 100, 10]), end([0.05, 4501], [0.0061, 100, 10]), end([0.05, 4501], [0.0059, 100])]).toEqual(['no-current 4501', null, null]);
    // blocks of a second: four seconds from start to start are three of silence
    expect([end([0.1, 4501], [0.0059, 100, 4]), end([0.1, 4501], [0.0059, 100, 3])]).toEqual(['no-current 4501', null]);
    // up to twice that where more went than a zero moves by (56 mA)
    expect([end([0.1, 4501], [0.0119, 100, 10]), end([0.1, 4501], [0.0121, 100, 10]), end([0.1, 4501], [0.0119, 100])]).toEqual(['no-current 4501', null, null]);
    expect([end([0.0685, 4501], [0.0119, 100, 10]), end([0.0678, 4501], [0.0119, 100, 10])]).toEqual(['no-current 4501', null]);
  });
});

describe('a recording in which the battery runs empty', () => {
  const empty = (levels: readonly (readonly [number, number])[]): number | undefined => findEnd(drawn([[0.05, 2000]], { voltage: volts(levels) }), [])?.atS;

  it('shows the vehicle up to 1.75 V a cell (Trojan T-105 data sheet)', () => {
    expect(findEnd(drawn([[0.05, 2000]], { voltage: volts([[12, 1500], [10.4, 500]]) }), [])).toEqual({ atS: 1500, by: 'battery-empty' });
    expect(findEnd(drawn([[0.05, 2000]], { voltage: volts([[12, 1500], [10.5, 500]]) }), [])).toBeNull();
    expect(empty([[12, 1500], [10.49, 500]])).toBe(1500);
    expect([empty([[24, 1500], [20.9, 500]]), empty([[24, 1500], [21, 500]])]).toEqual([1500, undefined]);
    expect([empty([[12, 1970], [10.4, 30]]), empty([[12, 1971], [10.4, 29]])]).toEqual([1970, undefined]);
    expect([empty([[12, 1500], [10.4, 400], [10.6, 100]]), empty([[10.4, 2000]])]).toEqual([undefined, undefined]);
  });

  it('ends at the first of the moments from which it shows nothing', () => {
    const levels: Drawn[] = [PARKED, [0, 600]];
    expect(findEnd(drawn(levels, { voltage: volts([[12, 900], [10.4, 700]]) }), [])).toEqual({ atS: 900, by: 'battery-empty' });
    expect(findEnd(drawn(levels, { voltage: volts([[12, 1100], [10.4, 500]]) }), [])).toEqual({ atS: 1000, by: 'no-current' });
  });
});

describe('a level that says nothing of the vehicle', () => {
  it('lies below zero by more than that may be off, or is none for four seconds', () => {
    const nothing = (...level: Drawn): boolean => {
      const readings = drawn([level]);
      return showsNothing(readings, readings.segments[0]!);
    };
    expect([nothing(-0.006, 60), nothing(-0.0061, 60), nothing(-0.0061, 1), nothing(0, 4), nothing(0, 3), nothing(0.0005, 60)]).toEqual([false, true, true, true, false, false]);
  });
});

describe('the readings up to a moment', () => {
  const until = (atS: number): unknown => readingsUntil(drawn([[1, 100], [2, 100]], {}, 50), { atS, by: 'fed' }).segments.map(({ startS, endS, startBlock, endBlock }) => [startS, endS, startBlock, endBlock]);

  it('hold the blocks that begin before it', () => {
    expect(until(200)).toEqual([[50, 150, 0, 100], [150, 200, 100, 150]]);
    expect(until(200.5)).toEqual([[50, 150, 0, 100], [150, 200.5, 100, 151]]);
    expect([until(150), until(100)]).toEqual([[[50, 150, 0, 100]], [[50, 100, 0, 50]]]);
    // a level that is cut to less than a block keeps its first one
    expect(until(150.5)).toEqual([[50, 150, 0, 100], [150, 150.5, 100, 101]]);
    expect(until(250)).toEqual([[50, 150, 0, 100], [150, 250, 100, 200]]);
  });

  it('hold one block at least of a level that begins before it, as its edge is known better than to a block', () => {
    const readings = drawn([[1, 100], [2, 100]]);
    const segments = [{ ...readings.segments[0]!, endS: 99.6 }, { ...readings.segments[1]!, startS: 99.6 }];
    expect(readingsUntil({ ...readings, segments }, { atS: 99.8, by: 'fed' }).segments[1]).toMatchObject({ startS: 99.6, endS: 99.8, startBlock: 100, endBlock: 101 });
  });

  it('end there, and are all of them without one, or where nothing lies before it', () => {
    const readings = drawn([[1, 100]], {}, 50);
    expect(readingsUntil(readings, { atS: 100, by: 'fed' }).lastS).toBe(100);
    expect([readingsUntil(readings, null), readingsUntil(readings, { atS: 50, by: 'fed' })]).toEqual([readings, readings]);
  });
});
