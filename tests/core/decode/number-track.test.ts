import { describe, expect, it } from 'vitest';
import { plainLayout, type LineLayout } from '../../../src/core/decode/number-line.ts';
import { NumberTrack } from '../../../src/core/decode/number-track.ts';
import { language } from '../../../src/core/present/language.ts';
import { collect, type Collected } from './kit.ts';

const words = language.files.numberTrack;

/** A line's own time and the moment it arrives, s. */
type Timed = readonly [number, number];

/** A track of lines that carry a time, and what it has handed on; the k-th line has k + 1 for its current. */
function tracked(layout: Partial<LineLayout> = {}, floorS = -Infinity) {
  const all = collect();
  const track = new NumberTrack({ ...plainLayout(3), ...layout }, all, floorS);
  let sent = 0;
  const send = (lines: readonly Timed[]): void => {
    for (const [timeS, arrivalS] of lines) track.line([timeS, (sent += 1), 12], arrivalS);
  };
  return { all, track, send };
}

/** `count` lines from the moment 0 on, the last at `lastS`; their own clock runs `ratio` times as fast. */
const paced = (count: number, lastS: number, ratio = 1): Timed[] => Array.from({ length: count }, (_, i) => [(i / (count - 1)) * lastS * ratio, (i / (count - 1)) * lastS]);

/** What has been decided of the lines' own time. */
function decided({ all, track }: { all: Collected; track: NumberTrack }): 'clock' | 'no clock' | 'nothing' {
  track.tick(0);
  if (all.notices.length > 0) return 'no clock';
  return all.timeS.length > 0 ? 'clock' : 'nothing';
}
function of(lines: readonly Timed[], layout: Partial<LineLayout> = {}): 'clock' | 'no clock' | 'nothing' {
  const one = tracked(layout);
  one.send(lines);
  return decided(one);
}

describe('whether the first number of a line is a clock', () => {
  it('is not asked where no line came', () => {
    const { all, track } = tracked();
    track.flush();
    track.interrupt();
    expect([all.timeS, all.notices]).toEqual([[], []]);
  });

  it('is decided after eight lines in a second, or three in three seconds', () => {
    expect([of(paced(8, 1)), of(paced(8, 0.999)), of(paced(7, 1))]).toEqual(['clock', 'nothing', 'nothing']);
    expect([of(paced(3, 3)), of(paced(3, 2.999)), of(paced(2, 4))]).toEqual(['clock', 'nothing', 'nothing']);
  });

  it('is so within a quarter of the computer\'s pace, either way', () => {
    expect([1.24, 0.81].map((ratio) => of(paced(8, 1, ratio)))).toEqual(['clock', 'clock']);
    // 5/4 and 4/5 are written exactly enough to be the limit itself
    expect([1.25, 0.8].map((ratio) => of(paced(8, 1, ratio)))).toEqual(['nothing', 'nothing']);
  });

  it('is looked at longer up to fifteen times the pace, either way, and no longer beyond', () => {
    expect([14.9, 1 / 14.9].map((ratio) => of(paced(8, 1, ratio)))).toEqual(['nothing', 'nothing']);
    expect([15, 15.1, 1 / 15, 1 / 15.1].map((ratio) => of(paced(8, 1, ratio)))).toEqual(['no clock', 'no clock', 'no clock', 'no clock']);
  });

  it('is so within a factor of two after five seconds', () => {
    expect([of(paced(9, 5, 1.5)), of(paced(9, 4.99, 1.5))]).toEqual(['clock', 'nothing']);
    expect([1.99, 0.51, 2, 0.5].map((ratio) => of(paced(9, 5, ratio)))).toEqual(['clock', 'clock', 'no clock', 'no clock']);
  });

  it('is decided by 50,000 lines at the latest, which all came at one moment, and is so where their time rose', () => {
    const burst = (count: number, stepS: number): Timed[] => Array.from({ length: count }, (_, i) => [i * stepS, 1]);
    expect([of(burst(49_999, 1e-3)), of(burst(50_000, 1e-3)), of(burst(50_000, 0))]).toEqual(['nothing', 'clock', 'no clock']);
  });

  it('is decided by 50,000 lines also where the pace is uncertain', () => {
    expect([of(paced(49_999, 2, 1.5)), of(paced(50_000, 2, 1.5))]).toEqual(['nothing', 'clock']);
  });

  it('is said with the unit it runs in, where it is one that is known', () => {
    const said = (perSecond: number, timeFactor = 1): string | undefined => {
      const { all, send } = tracked({ timeFactor });
      send(paced(8, 1, perSecond));
      return all.notices[0]?.text;
    };
    // read as seconds: ms run a thousand times as fast, minutes 60 times as slow
    const units = [[1e3, 'ms'], [1e6, 'us'], [1e9, 'ns'], [1 / 60, 'min']] as const;
    for (const [perSecond, unit] of units) expect(said(perSecond), unit).toBe(words.theTimeInThe(unit, unit));
    // read as milliseconds: seconds run a thousand times as slow
    expect(said(1, 1e-3)).toBe(words.theTimeInThe('s', 's'));
    expect([said(1240), said(1260), said(810), said(790)]).toEqual([words.theTimeInThe('ms', 'ms'), words.theFirstNumberOfThe, words.theTimeInThe('ms', 'ms'), words.theFirstNumberOfThe]);
  });

  it('is asked anew where the time falls: once in silence, then each line counts as damaged, and the sixth fall is said', () => {
    const { all, track, send } = tracked();
    const refused: number[] = [];
    const said: number[] = [];
    for (let fall = 0; fall <= 6; fall++) {
      send([[100 - fall, 0.1 * fall]]);
      refused.push(track.refused);
      said.push(all.notices.length);
    }
    expect(refused).toEqual([0, 0, 1, 2, 3, 4, 5]);
    expect(said).toEqual([0, 0, 0, 0, 0, 0, 1]);
    expect(all.notices[0]).toMatchObject({ code: 'time-falls', text: words.theFirstNumberOf, atS: expect.closeTo(0.6, 9) });
  });

  it('is asked anew after a pause of over five seconds of which the lines\' clock says less than half', () => {
    const firstGiven = (timeS: number, pauseS: number): number | undefined => {
      const { all, track, send } = tracked();
      send([[0, 0], [timeS, pauseS], ...paced(9, 1).slice(1).map(([own, arrival]): Timed => [timeS + own, pauseS + arrival])]);
      track.flush();
      return all.currentA[0];
    };
    // the first line is left out where it is, and there where it is not
    expect([firstGiven(2.99, 6), firstGiven(3, 6)]).toEqual([2, 1]);
    // 1.2 s of 5 s are no pause, and a pace that no clock has: then all have the time of their arrival
    expect([firstGiven(1.2, 5.01), firstGiven(1.2, 5)]).toEqual([2, 1]);
  });

  it('is answered at once where the connection ends or the stream does', () => {
    const cut = (lines: readonly Timed[], how: 'interrupt' | 'flush'): number[] => {
      const { all, track, send } = tracked();
      send(lines.map(([own, arrival]) => [own, 10 + arrival]));
      track[how]();
      return all.currentA;
    };
    expect(cut([[0, 0], [1.9, 1]], 'interrupt')).toEqual([1, 2]);
    expect(cut([[0, 0], [2, 1]], 'interrupt')).toEqual([]);
    expect(cut([[0, 0]], 'interrupt')).toEqual([]);
    expect(cut([[0, 0], [1.9, 1]], 'flush')).toEqual([1, 2]);
    // no clock: timed by their arrival
    expect(cut([[0, 0], [2, 1], [4, 2]], 'flush')).toEqual([1, 2, 3]);
    // after an interruption without an answer the next lines are asked
    const again = tracked();
    again.send([[0, 0], [2, 1]]);
    again.track.interrupt();
    again.send(paced(8, 1).map(([own, arrival]) => [own, 10 + arrival]));
    expect(decided(again)).toBe('clock');
    expect(again.all.currentA[0]).toBe(3);
  });
});

describe('lines with a clock of their own', () => {
  it('begin when the least late of them was sent; what was sent before the source was started is left out', () => {
    const begin = (storedS: number): [number | undefined, number | undefined] => {
      const { all, track, send } = tracked();
      // the first two lines come at one moment, half a second in; all others as they are sent
      send([[100, 0.5], [100 + storedS, 0.5], ...paced(12, 2).slice(1).map(([own, arrival]): Timed => [100 + storedS + own, 0.5 + arrival])]);
      track.flush();
      return [all.timeS[0], all.currentA[0]];
    };
    expect(begin(0.25)).toEqual([0.25, 1]);
    expect(begin(0.5)).toEqual([0, 1]);
    expect(begin(0.75)).toEqual([0.5, 2]);
  });

  it('of one time are spread over the mean step between different times', () => {
    // eight lines, two of each time: steps of 0.25, 0.75 and 0.5 s are 0.5 s in the mean. Each step moves what is usual by a fiftieth of the difference:
    // 0.5 - 0.25/50 = 0.495, + 0.255/50 = 0.5001, - 0.0001/50 = 0.500098; the last two lie half of that apart
    const { all, track, send } = tracked();
    send([[0, 0], [0, 0], [0.25, 0.25], [0.25, 0.25], [1, 1], [1, 1], [1.5, 1.5], [1.5, 1.5]]);
    track.flush();
    expect(all.timeS.map((timeS) => Number(timeS.toFixed(9)))).toEqual([0, 0.125, 0.25, 0.625, 1, 1.25, 1.5, 1.750049]);
  });

  it('are late by what their arrival says, from the second on', () => {
    // 25 lines in three seconds, the second to the ninth 10 ms late: mean 3.2 ms, deviation sqrt(8/25 x 100 - 3.2^2) = 4.66 ms
    const { track, send } = tracked();
    send(paced(25, 3).map(([own, arrival], i) => [own, 10 + arrival + (i > 0 && i < 9 ? 0.01 : 0)]));
    track.flush();
    expect(track.report()!.jitterS).toBeCloseTo(0.00466, 3);
  });

  it('are given no time twice', () => {
    const { all, track, send } = tracked();
    send([[0, 0], [1, 0], [2, 0]]);
    track.give(0, 5, false);
    track.give(1, 5, false);
    track.give(2, 6, false);
    track.tick(0);
    expect([all.timeS, all.currentA]).toEqual([[5, 6], [1, 3]]);
  });

  it('count as damaged where a value cannot be, and not at the last that can', () => {
    const { all, track } = tracked();
    for (const numbers of [[0, 1e5, 1e4], [1e10, -1e5, -1e4], [0, 1.0001e5, 0], [0, 0, 1.0001e4], [1.0001e10, 0, 0], [0, -1.0001e5, 0], [0, 0, -1.0001e4], [-1.0001e10, 0, 0]]) track.line(numbers, 0);
    expect(track.refused).toBe(6);
    expect(all.notices).toEqual([]);
  });

  it('are handed on in blocks of 512', () => {
    const blocksOf = (count: number): number[] => {
      const { all, track, send } = tracked();
      send(paced(count, 0.9));
      track.flush();
      return [all.blocks, all.timeS.length];
    };
    expect([blocksOf(512), blocksOf(513)]).toEqual([[1, 512], [2, 513]]);
  });

  it('follow one gap behind what was given out long after they arrive, and come back to their arrival by a twentieth', () => {
    const { all, track, send } = tracked({}, 12);
    all.timeS.push(12);
    // 2.125 s ahead at first, then 5 % of each second less, as the rate of the clock may be off by no more; the last of it more slowly
    send(paced(2001, 250).map(([own, arrival]) => [own, 10 + arrival]));
    track.flush();
    expect([all.gaps, all.currentA.length, track.refused, track.restarts]).toEqual([[{ startS: 12, endS: 12.125 }], 2001, 0, 0]);
    const leadS = (line: number): number => all.timeS[line + 1]! - 10 - line / 8;
    expect([leadS(0), leadS(8 * 20)]).toEqual([expect.closeTo(2.125, 9), expect.closeTo(1.2, 0)]);
    expect(Math.abs(leadS(2000))).toBeLessThan(0.02);
  });

  it('follow a gap behind what was given out before them', () => {
    const { all, track, send } = tracked({}, 10.1);
    all.timeS.push(10.1);
    send(paced(9, 1).map(([own, arrival]) => [own, 10 + arrival]));
    track.flush();
    // a usual step, 1/8 s, behind it
    expect(all.gaps).toEqual([{ startS: 10.1, endS: 10.225 }]);
  });
});
