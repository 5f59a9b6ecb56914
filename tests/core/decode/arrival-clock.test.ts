import { describe, expect, it } from 'vitest';
import { bytesOf, blockLine, collect, countingBlock, helloLine } from './kit.ts';
import { LineDecoder } from '../../../src/core/decode/decoder.ts';
import { ArrivalClock } from '../../../src/core/decode/arrival-clock.ts';

interface Given {
  readonly index: number;
  readonly atS: number;
  readonly afterGap: boolean;
}

/** A clock, what it gave out, and a way to let further lines arrive. */
function watched(floorS = -Infinity) {
  const out: Given[] = [];
  const clock = new ArrivalClock({ give: (index, atS, afterGap) => void out.push({ index, atS, afterGap }), overrun: () => undefined }, floorS);
  let next = 0;
  const arrive = (arrivals: readonly number[]): void => {
    for (const arrivalS of arrivals) clock.push(next++, arrivalS);
  };
  return { clock, out, arrive };
}

/** What becomes of lines that arrive at these moments. */
function given(arrivals: readonly number[], floorS = -Infinity): Given[] {
  const { clock, out, arrive } = watched(floorS);
  arrive(arrivals);
  clock.flush();
  return out;
}
const even = (count: number, fromS: number, stepS = 0.02): number[] => Array.from({ length: count }, (_, i) => fromS + i * stepS);

describe('lines timed by their arrival', () => {
  it('lie on an even grid at their pace, without a gap where nothing was before', () => {
    const lines = given(even(200, 1));
    expect(lines).toHaveLength(200);
    expect(lines.map(({ afterGap }) => afterGap).some(Boolean)).toBe(false);
    for (let i = 1; i < lines.length; i++) expect(lines[i]!.atS - lines[i - 1]!.atS).toBeCloseTo(0.02, 4);
    expect(lines[0]!.atS).toBeCloseTo(1, 2);
  });

  it('follow a gap where other samples were given out before them, and come after those', () => {
    const lines = given(even(200, 6), 5);
    expect(lines.map(({ afterGap }) => afterGap).indexOf(true)).toBe(0);
    expect(lines.filter(({ afterGap }) => afterGap)).toHaveLength(1);
    // what was given out already is not overtaken: 50 lines a second after 6.5 s
    expect(given(even(200, 6), 6.5)[0]!.atS).toBeGreaterThan(6.5);
  });

  it('are reported with their rate and how late they come', () => {
    const { clock, arrive } = watched();
    expect(clock.report()).toBeNull();
    // every other one 10 ms late: 5 ms about their mean
    arrive(even(400, 1).map((atS, i) => atS + (i % 2) * 0.01));
    expect(clock.report()).toMatchObject({ driftPpm: 0, rateHz: expect.closeTo(50, 1), jitterS: expect.closeTo(0.005, 3) });
  });

  it('put ahead of their arrival by times given out before, keep their pace', () => {
    const lines = given(even(200, 6), 7.5);
    expect(lines).toHaveLength(200);
    expect(lines.map(({ afterGap }) => afterGap).lastIndexOf(true)).toBe(0);
    // steered back by at most a quarter of the pace, never squeezed together
    for (let i = 1; i < lines.length; i++) expect(lines[i]!.atS - lines[i - 1]!.atS).toBeGreaterThanOrEqual(0.75 * 0.02 - 1e-9);
  });

  it('after a silence are given out as soon as time has shown that they do not catch up', () => {
    const { clock, out, arrive } = watched();
    arrive([...even(200, 1), 10, 10.02]);
    expect(out).toHaveLength(200);
    clock.tick(10.1);
    expect(out).toHaveLength(200);
    clock.tick(10.3);
    expect(out.slice(200).map(({ atS, afterGap }) => [Number(atS.toFixed(2)), afterGap])).toEqual([[10, true], [10.02, false]]);
  });

  it('follow a gap after an interruption, even where they go on as if there had been none, and none where nothing came before it', () => {
    const { clock, out, arrive } = watched();
    clock.interrupt();
    arrive(even(200, 1));
    clock.flush();
    expect(out.some(({ afterGap }) => afterGap)).toBe(false);
    clock.interrupt();
    arrive(even(200, 5));
    clock.flush();
    expect(out).toHaveLength(400);
    expect(out.filter(({ afterGap }) => afterGap).map(({ index }) => index)).toEqual([200]);
  });

  it('too few to show a pace have the former one, that of all, or no time', () => {
    // a line in a pause of five seconds after four: the pace of all five is what there is
    const few = given([11, 11.02, 11.04, 11.06, 16]);
    expect(few.map(({ index }) => index)).toEqual([0, 1, 2, 3, 4]);
    // all at one moment: no pace at all
    const { clock, out, arrive } = watched();
    arrive([5, 5, 5]);
    clock.flush();
    expect(out).toEqual([]);
    // 60 lines of 20 ms at one moment are 1.2 s early: another pace, of which only that moment is seen
    const burst = watched();
    burst.arrive([...even(200, 1), ...new Array<number>(60).fill(5)]);
    burst.clock.flush();
    expect(burst.out.length).toBe(260);
    expect(burst.out.at(-1)!.atS - burst.out.at(-2)!.atS).toBeCloseTo(0.02, 3);
  });

  it('of a first second are settled by themselves before a long pause', () => {
    // the lines behind the pause come at half the pace: that is theirs where they were not settled before it
    const paceBefore = (count: number, stepS: number, pauseS: number): number => {
      const before = even(count, 10, stepS);
      const lines = given([...before, ...even(100, before.at(-1)! + pauseS, 2 * stepS)]);
      expect(lines.find(({ afterGap }) => afterGap)).toMatchObject({ index: count });
      return Number(((lines[count - 1]!.atS - lines[0]!.atS) / (count - 1) / stepS).toFixed(2));
    };
    // over two seconds, and 14 lines over 0.26 s; 9 lines over 0.32 s, or over a quarter of a second; ten mean steps
    expect([paceBefore(14, 0.02, 2.1), paceBefore(14, 0.02, 1.9), paceBefore(13, 0.02, 2.1), paceBefore(9, 0.04, 2.1), paceBefore(8, 0.04, 2.1), paceBefore(9, 1 / 32, 2.1)]).toEqual([1, 2, 2, 1, 2, 1]);
  });

  it('have a gap where they stop for a second, and none where they catch up', () => {
    const stopped = given([...even(200, 1), ...even(200, 6)]);
    expect(stopped.filter(({ afterGap }) => afterGap).map(({ atS }) => Number(atS.toFixed(1)))).toEqual([6]);
    // 0.4 s held up by a busy computer, then all at once
    const late = even(400, 1).map((atS) => (atS > 5 && atS < 5.4 ? 5.4 : atS));
    expect(given(late).some(({ afterGap }) => afterGap)).toBe(false);
    for (const [i, { atS }] of given(late).entries()) expect(atS).toBeCloseTo(1 + 0.02 * i, 1);
    // with the line that catches up they are given out, without waiting
    const { out, arrive } = watched();
    arrive([...even(200, 1), ...new Array<number>(20).fill(5.4)]);
    expect(out.slice(200).map(({ atS, afterGap }) => [Number(atS.toFixed(2)), afterGap])).toEqual(even(20, 5).map((atS) => [Number(atS.toFixed(2)), false]));
  });
});

describe('what a decoder counts of its lines', () => {
  it('is a good line for each that is understood, and a damaged one for each that is not, as whoever watches the lines is told', () => {
    const damaged: boolean[] = [];
    const decoder = new LineDecoder(null, collect(), (_bytes, _from, _to, isDamaged) => void damaged.push(isDamaged));
    // the first line is the rest of one; three of numbers convince; 1,000,000 A are no current; a word is no number
    for (const line of ['5,12', '1,12', '2,12', '3,12', '1000000,12', '4,12', 'noise']) decoder.push(bytesOf(`${line}\n`), 1);
    expect(damaged).toEqual([false, false, false, false, true, false, true]);
    expect([decoder.goodLines, decoder.refusedLines]).toEqual([5, 2]);
    for (const line of [helloLine(), blockLine(0, 0, countingBlock(0, 8)), blockLine(1, 8000, countingBlock(8, 8)), '@1,2,3*0000']) decoder.push(bytesOf(`${line}\n`), 2);
    expect(damaged.slice(7)).toEqual([false, false, false, true]);
    expect([decoder.goodLines, decoder.refusedLines, decoder.kind]).toEqual([8, 3, 'logger']);
  });
});
