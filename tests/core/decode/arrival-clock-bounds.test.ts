import { describe, expect, it } from 'vitest';
import { ArrivalClock, MAX_KEPT } from '../../../src/core/decode/arrival-clock.ts';

/**
 * Every limit of the clock, from both sides. Steps of 1/64 and 1/8 s make the grid exact, and all is over before the first fit of the pace (2 s of lines), so that it
 * stays exact. Limits in seconds decide at 1/64 s, limits in periods at 1/8 s.
 */
const FAST_S = 1 / 64;
const SLOW_S = 1 / 8;

/** A clock and what it has given out. */
function watched() {
  const out: { index: number; atS: number; afterGap: boolean }[] = [];
  const overruns: number[] = [];
  const clock = new ArrivalClock({ give: (index, atS, afterGap) => void out.push({ index, atS, afterGap }), overrun: (lines) => void overruns.push(lines) }, -Infinity);
  let next = 0;
  const arrive = (...arrivals: readonly number[]): void => {
    for (const arrivalS of arrivals) clock.push(next++, arrivalS);
  };
  return { clock, out, overruns, arrive };
}

/** One that has just measured its pace: a second of lines from 10 s on, the last at 11 s; `since` is what it has given out after those. */
function measured(stepS: number) {
  const clock = watched();
  const first = 1 + 1 / stepS;
  clock.arrive(...Array.from({ length: first }, (_, i) => 10 + i * stepS));
  return { ...clock, since: () => clock.out.slice(first) };
}
const times = (count: number, atS: number): number[] => new Array<number>(count).fill(atS);

describe('lines timed by their arrival: the limits', () => {
  it('a line is given out at once up to 0.15 s and four periods after the one before, then looked at', () => {
    const givenAtOnce = (stepS: number, pauseS: number): number => {
      const { arrive, since } = measured(stepS);
      arrive(11 + pauseS);
      return since().length;
    };
    expect([givenAtOnce(FAST_S, 0.149), givenAtOnce(FAST_S, 0.151)]).toEqual([1, 0]);
    expect([givenAtOnce(SLOW_S, 0.499), givenAtOnce(SLOW_S, 0.501)]).toEqual([1, 0]);
  });

  it('lines have caught up when the newest is 0.1 s and two periods behind the grid at most', () => {
    const caughtUp = (stepS: number, pauseS: number, lines: number): (number | boolean)[] => {
      const { arrive, since } = measured(stepS);
      arrive(...times(lines, 11 + pauseS));
      return [since().length, since().some(({ afterGap }) => afterGap)];
    };
    // 0.3 s are 19.2 periods: the twelfth line is 0.1125 s behind, the thirteenth 0.0969 s
    expect([caughtUp(FAST_S, 0.3, 12), caughtUp(FAST_S, 0.3, 13)]).toEqual([[0, false], [13, false]]);
    // 1 s and a bit are 8 periods and a bit: the sixth is two periods and that bit behind
    expect([caughtUp(SLOW_S, 1.01, 6), caughtUp(SLOW_S, 1.01, 7)]).toEqual([[0, false], [7, false]]);
    expect([caughtUp(SLOW_S, 0.99, 5), caughtUp(SLOW_S, 0.99, 6)]).toEqual([[0, false], [6, false]]);
  });

  it('lines that do not are kept for 0.2 s and three periods, then lie behind a gap at their arrival', () => {
    const after = (stepS: number, waitS: number): unknown => {
      const { clock, arrive, since } = measured(stepS);
      arrive(15);
      clock.tick(15 + waitS);
      return since();
    };
    expect([after(FAST_S, 0.199), after(FAST_S, 0.201)]).toEqual([[], [{ index: 65, atS: 15, afterGap: true }]]);
    expect([after(SLOW_S, 0.374), after(SLOW_S, 0.376)]).toEqual([[], [{ index: 9, atS: 15, afterGap: true }]]);
  });

  it('not more than 50,000 of them are kept', () => {
    const { clock, arrive, since, overruns } = measured(FAST_S);
    clock.interrupt();
    arrive(...times(MAX_KEPT - 1, 15));
    expect(since()).toHaveLength(0);
    arrive(15);
    expect(since()).toHaveLength(MAX_KEPT);
    expect(overruns).toEqual([]);
  });

  it('nor while the pace is measured: then the older half of them is given up', () => {
    const { clock, out, overruns, arrive } = watched();
    arrive(...times(MAX_KEPT - 1, 1e5));
    expect(overruns).toEqual([]);
    arrive(1e5, 1e5 + 0.1);
    expect(overruns).toEqual([MAX_KEPT / 2]);
    clock.flush();
    expect([out[0]?.index, out.at(-1)?.index, out.length]).toEqual([MAX_KEPT / 2, MAX_KEPT, MAX_KEPT / 2 + 1]);
  });

  it('lines that fall behind by half a second have another pace', () => {
    const anew = (lateS: number): boolean => {
      const { arrive, since } = measured(FAST_S);
      // six lines that together come so late; the seventh is kept where the pace is measured anew
      for (let i = 1; i <= 7; i++) arrive(11 + i * (FAST_S + lateS / 6));
      return since().length === 6;
    };
    expect([anew(0.499), anew(0.501)]).toEqual([false, true]);
  });

  it('slow ones may fall behind by three periods, and come early by 1.2', () => {
    const anew = (...lateS: number[]): boolean => {
      const { arrive, since } = measured(0.5);
      // the seventh line makes three seconds of them
      for (let i = 3; i <= 6; i++) arrive(10 + i * 0.5);
      const before = since().length;
      lateS.forEach((late, i) => arrive(13 + (i + 1) * 0.5 + late));
      arrive(13 + (lateS.length + 1) * 0.5 + lateS.at(-1)!);
      return since().length - before === lateS.length;
    };
    expect([anew(0.4, 1.49), anew(0.4, 1.51)]).toEqual([false, true]);
    expect([anew(-0.25, -0.59), anew(-0.25, -0.61)]).toEqual([false, true]);
  });

  it('fast ones may come early by half a second', () => {
    const anew = (lines: number): boolean => {
      const { arrive, since } = measured(FAST_S);
      arrive(...times(lines, 11));
      const given = since().length;
      arrive(11);
      return since().length === given;
    };
    // 32 periods are half a second
    expect([anew(32), anew(33)]).toEqual([false, true]);
  });

  it('lines put behind what was given out before are not taken for early by that', () => {
    // times up to 11.9 s were given out; the line that arrives at 11.0 has its place a period behind that, all of them are 0.9 s ahead of their arrival
    const out: number[] = [];
    const clock = new ArrivalClock({ give: (_index, atS) => void out.push(atS), overrun: () => undefined }, 10.9);
    for (let i = 0; i <= 100; i++) clock.push(i, 10 + i * FAST_S);
    expect(out).toHaveLength(101);
    expect(out[0]).toBeCloseTo(10.9 + FAST_S, 9);
  });

  it('a pace is that of all lines after five seconds of them, where no stretch without a pause is long enough', () => {
    // seven lines in 0.06 s, then 0.9 s nothing, over and over: no stretch can be measured, until 84 of them have come for five seconds
    const { out, arrive } = watched();
    let bunches = 0;
    for (; out.length === 0 && bunches < 200; bunches++) arrive(...Array.from({ length: 7 }, (_, i) => 11 + bunches + i * FAST_S));
    // six steps of 1/64 s each: 54 bunches make 5.06 s
    expect(bunches).toBe(54);
  });
});
