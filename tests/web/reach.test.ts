import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { dragged, dragOf } from '../../web/chart/lane-drag.ts';
import { NOTHING_HAPPENED, placeNames, reaches } from '../../web/chart/reach.ts';
import { ChartState } from '../../web/chart/chart-state.ts';
import type { ChartSource } from '../../web/chart/chart-source.ts';

const EXTENT = { startS: 2, endS: 100 };
const press = (fromS: number): { fromS: number; toS: number } => ({ fromS, toS: fromS + 2 });

describe('what is shown, by what happened', () => {
  it('is all and now where nothing happened, and all alone in a stored trace', () => {
    expect(reaches(NOTHING_HAPPENED, EXTENT, 10).map(({ name }) => name)).toEqual(['all', 'now']);
    expect(reaches(NOTHING_HAPPENED, EXTENT, null).map(({ name, toS }) => [name, toS])).toEqual([['all', 100]]);
  });

  it('is listed in order of where it begins', () => {
    const happened = { presses: [20, 30, 40, 50, 60, 70, 80].map(press), keyOffS: null, recordingS: 15 };
    expect(reaches(happened, EXTENT, 10).map(({ name }) => name)).toEqual(['all', 'recording', 'presses', 'press', 'now']);
    const [, , presses, one] = reaches(happened, EXTENT, 10);
    expect(presses!.count).toBe(5);
    expect(presses!.fromS).toBeLessThan(40);
    expect(presses!.fromS).toBeGreaterThan(32);
    expect(presses!.toS).toBeGreaterThan(82);
    expect([one!.fromS, one!.toS]).toEqual([expect.closeTo(79.7, 9), expect.closeTo(82.3, 9)]);
  });

  it('follows the newest sample since a key-off and a recording, and leaves out what lies outside', () => {
    expect(reaches({ presses: [], keyOffS: 40, recordingS: 1 }, EXTENT, 10)).toMatchObject([{ name: 'all' }, { name: 'key-off', fromS: 40, toS: null }, { name: 'now', fromS: 90, toS: null }]);
  });

  it('takes the press that is looked at in a stored trace', () => {
    const happened = { presses: [20, 50, 80].map(press), keyOffS: null, recordingS: null };
    expect(reaches(happened, EXTENT, null, 48).find(({ name }) => name === 'press')!.fromS).toBeCloseTo(49.7, 9);
  });
});

describe('names on the line of all time', () => {
  it('lie on no other name and inside the row, whatever the places', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.double({ min: 0, max: 400, noNaN: true }), fc.integer({ min: 44, max: 120 })), { minLength: 1, maxLength: 6 }), fc.integer({ min: 200, max: 900 }), (names, room) => {
        const wanted = names.map(([at]) => at).sort((a, b) => a - b);
        const widths = names.map(([, width]) => width);
        const lefts = placeNames(wanted, widths, room, 4);
        if (lefts === null) expect(widths.reduce((sum, one) => sum + one + 4, -4)).toBeGreaterThan(room);
        lefts?.forEach((left, i) => {
          expect(left).toBeGreaterThanOrEqual(-1e-9);
          expect(left + widths[i]!).toBeLessThanOrEqual((lefts[i + 1] ?? room + 4) - 4 + 1e-9);
        });
      }),
    );
  });

  it('stay where they begin when there is room', () => {
    expect(placeNames([0, 200, 500], [50, 60, 70], 800, 4)).toEqual([0, 200, 500]);
  });
});

describe('a hand on the line of all time', () => {
  const width = 980;
  it('moves the part it holds, or one end of it', () => {
    expect(dragged(dragOf(300, 200, 400, false), 310, EXTENT, width)).toEqual({ fromS: expect.closeTo(23, 9), toS: expect.closeTo(43, 9) });
    expect(dragged(dragOf(201, 200, 400, false), 251, EXTENT, width)).toEqual({ fromS: expect.closeTo(27, 9), toS: expect.closeTo(42, 9) });
    expect(dragged(dragOf(400, 200, 400, false), 450, EXTENT, width)).toEqual({ fromS: expect.closeTo(22, 9), toS: expect.closeTo(47, 9) });
  });

  it('brings the part to a place beside it', () => {
    expect(dragOf(700, 200, 400, false).part).toBe('beside');
    expect(dragged(dragOf(700, 200, 400, false), 700, EXTENT, width)).toEqual({ fromS: expect.closeTo(62, 9), toS: expect.closeTo(82, 9) });
  });

  it('never turns the part round', () => {
    const { fromS, toS } = dragged(dragOf(201, 200, 400, false), 900, EXTENT, width);
    expect(toS).toBeGreaterThan(fromS);
  });

  it('takes hold of an end more easily with a finger', () => {
    expect(dragOf(185, 200, 400, true).part).toBe('start');
    expect(dragOf(185, 200, 400, false).part).toBe('beside');
  });
});

describe('what a live chart shows', () => {
  it('is what was asked for also where no reading has come yet, as right after a change of the test', () => {
    const silent = { extent: () => null } as Partial<ChartSource> as ChartSource;
    const state = new ChartState(silent, true);
    expect(state.shows('now')).toBe(true);
    state.reachFor('all');
    expect([state.shows('all'), state.shows('now')]).toEqual([true, false]);
  });
});
