import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Gap, SampleBlock } from '../../../src/core/trace.ts';
import { clip } from '../../../src/daemon/store/samples/blocks.ts';
import { nextAfter } from '../../../src/daemon/store/samples/index/window-maker.ts';
import { chargeOfBlocks, chargeStored } from '../../../src/daemon/store/samples/reading/charge.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { windowOfBlocks } from '../../../src/daemon/store/samples/reading/window.ts';
import type { TraceReader } from '../../../src/daemon/store/samples/types.ts';
import { capture, recording, scratch } from './kit.ts';

const block = (timeS: readonly number[], currentA: readonly number[]): SampleBlock => ({ timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: null });
const msOf = (window: { readonly timeS: Float64Array }): number[] => [...window.timeS].map((timeS) => Math.round(1000 * timeS));

describe('the charge of a stretch', () => {
  const BLOCKS = [block([0, 1, 2], [1, 2, 3]), block([], []), block([3, 4], [4, 5])];
  const figures = async (startS: number, endS: number, gaps: readonly Gap[] = [], blocks = BLOCKS): Promise<number[]> => {
    const { charge_c: chargeC, charge_ah: chargeAh, mean_a: meanA, duration_s: durationS, gap_s: gapS } = await chargeOfBlocks(blocks, gaps, startS, endS);
    return [chargeC, chargeAh * 3600, meanA, durationS, gapS];
  };
  const close = (...values: number[]): number[] => values.map((value) => expect.closeTo(value, 9) as number);

  it('is that of the trapezoids, also between two blocks', async () => {
    // 1.5 + 2.5 + 3.5 + 4.5 C
    expect(await figures(0, 4)).toEqual(close(12, 12, 3, 4, 0));
    // from the middle of the first to the middle of the last: 0.875 + 2.5 + 3.5 + 2.125 C
    expect(await figures(0.5, 3.5)).toEqual(close(9, 9, 3, 3, 0));
    expect(await figures(2.25, 2.75)).toEqual(close(1.75, 1.75, 3.5, 0.5, 0));
    expect(await figures(0, 4, [], BLOCKS.slice(0, 1))).toEqual(close(4, 4, 2, 4, 2));
    expect(await figures(5, 6)).toEqual(close(0, 0, 0, 1, 1));
  });

  it('counts nothing for missing time, and says how much that is', async () => {
    expect(await figures(0, 4, [{ startS: 2, endS: 3 }])).toEqual(close(8.5, 8.5, 8.5 / 3, 4, 1));
    // one that is over, and one to come
    const apart = [block([0, 1], [1, 1]), block([3, 4], [1, 1]), block([5, 6], [1, 1]), block([9, 10], [1, 1])];
    expect(await figures(0, 10, [{ startS: 1, endS: 3 }, { startS: 6, endS: 9 }], apart)).toEqual(close(5, 5, 1, 10, 5));
    expect(await figures(2, 10, [{ startS: 1, endS: 3 }, { startS: 6, endS: 9 }], apart)).toEqual(close(4, 4, 1, 8, 4));
  });

  it('is read no further than its end', async () => {
    let read = 0;
    function* blocks(): Generator<SampleBlock> {
      for (const one of [block([0, 1], [1, 1]), block([2, 3], [1, 1]), block([4, 5], [1, 1])]) {
        read++;
        yield one;
      }
    }
    await chargeOfBlocks(blocks(), [], 0, 3);
    expect(read).toBe(2);
  });

  it('of a stored trace begins ten samples earlier, and lies in it', async () => {
    const asked: unknown[] = [];
    const reader = { firstS: 0, lastS: 100, samples: 101, gaps: [], blocks: (...range: unknown[]) => (asked.push(range), [block(Array.from({ length: 101 }, (_, i) => i), Array.from({ length: 101 }, () => 2))]) } as unknown as TraceReader;
    expect(await chargeStored(reader, 50, 60)).toMatchObject({ charge_c: 20, duration_s: 10, gap_s: 0 });
    expect(await chargeStored(reader, -50, 600)).toMatchObject({ charge_c: 200, duration_s: 100 });
    expect(asked).toEqual([[40, Infinity], [-10, Infinity]]);
    for (const [fromS, toS] of [[50, 50], [60, 50], [100, 200], [-9, 0], [Number.NaN, 5]] as const) await expect(chargeStored(reader, fromS, toS)).rejects.toThrow(/holds no/);
  });
});

describe('a window of few samples', () => {
  const folder = scratch();

  it('has one more on each side, also where one lies on its edge', async () => {
    const path = join(folder, 'edges');
    // batches of a second
    await capture(path, { pieces: [recording(5000, 1000, 1)] });
    const reader = await openTrace(path);
    const window = async (fromS: number, toS: number): Promise<number[]> => msOf(await reader.window(fromS, toS, 100));
    const from = (firstMs: number, lastMs: number): number[] => Array.from({ length: lastMs - firstMs + 1 }, (_, i) => firstMs + i);
    expect(await window(2.5, 2.51)).toEqual(from(2499, 2510));
    expect(await window(2.5005, 2.5095)).toEqual(from(2500, 2510));
    // at the bound of two batches, and in the middle of nothing
    expect(await window(2.0005, 2.003)).toEqual(from(2000, 2003));
    expect(await window(2, 2.003)).toEqual(from(1999, 2003));
    expect(await window(1.99, 1.9995)).toEqual(from(1989, 2000));
    expect(await window(1.9992, 1.9995)).toEqual([1999, 2000]);
    // where the recording begins and ends
    expect([await window(-1, 0.002), await window(4.998, 9), await window(7, 9)]).toEqual([from(0, 2), from(4997, 4999), [4999]]);
    await reader.close();
  });

  it('goes not back over a gap that ends before it', async () => {
    const path = join(folder, 'gap');
    const gap = { startS: 0.999, endS: 3 };
    await capture(path, { pieces: [recording(1000, 1000, 1), gap, recording(1000, 1000, 2, 3)] });
    const reader = await openTrace(path);
    const window = async (fromS: number, toS: number): Promise<number[]> => msOf(await reader.window(fromS, toS, 100));
    expect(await window(3, 3.002)).toEqual([3000, 3001, 3002]);
    expect(await window(3.001, 3.002)).toEqual([3000, 3001, 3002]);
    // that it lies in is drawn up to its other side
    expect(await window(2.5, 3.002)).toEqual([999, 3000, 3001, 3002]);
    expect(await window(1.5, 2.5)).toEqual([999, 3000]);
    expect((await reader.load(2, 3.01)).gaps).toEqual([{ startS: 2, endS: 3 }]);
    expect((await reader.load(0, 2)).gaps).toEqual([{ startS: 0.999, endS: 2 }]);
    expect([(await reader.load(3, 4)).gaps, (await reader.load(0, 0.999)).gaps]).toEqual([[], []]);
    await reader.close();
  });

  it('of a file without an index are four a column at most', async () => {
    const of = async (samples: number): Promise<boolean> => (await windowOfBlocks((async function* () {
      yield block(Array.from({ length: samples }, (_, i) => i / 100), new Array<number>(samples).fill(1));
    })(), [], 0, 1, 10)).reduced;
    expect([await of(40), await of(41)]).toEqual([false, true]);
  });

  it('reaches to the next number there is', () => {
    for (const value of [1, -1, 0, 1e-300, 12_345.678]) expect(nextAfter(value)).toBeGreaterThan(value);
    expect([nextAfter(1) - 1, nextAfter(0)]).toEqual([Number.EPSILON, Number.MIN_VALUE]);
  });
});

describe('a part of a block', () => {
  it('is half open, as it is where it is all of it, and none where it is empty', () => {
    const whole = recording(10, 1, 1);
    const part = clip(whole, 2, 5)!;
    expect([[...part.timeS], part.currentA.length, part.voltageV!.length]).toEqual([[2, 3, 4], 3, 3]);
    expect([clip(whole, -1, 10), clip(whole, 0, 10), clip(whole, 10, 20), clip(whole, 3.1, 3.9), clip({ ...whole, voltageV: null }, 2, 5)!.voltageV]).toEqual([whole, whole, null, null, null]);
    expect([clip(whole, 1, 10)!.timeS.length, clip(whole, 0, 9)!.timeS.length]).toEqual([9, 9]);
  });
});

describe('a damaged batch', () => {
  const folder = scratch();
  /** Two seconds, three missing, two seconds, in batches of a second; the batches given are damaged. */
  async function damaged(name: string, ...batches: readonly number[]): Promise<TraceReader> {
    const [first, second] = [recording(2000, 1000, 7), recording(2000, 1000, 8, 5)];
    const path = join(folder, name);
    await capture(path, { pieces: [first, { startS: 1.999, endS: 5 }, second] });
    const samples = join(path, 'samples.arrows');
    const bytes = readFileSync(samples);
    for (const batch of batches) {
      const source = batch < 2 ? first : second;
      const value = Buffer.alloc(8);
      value.writeDoubleLE(source.timeS[1000 * (batch % 2) + 500]!);
      bytes[bytes.indexOf(value)]! ^= 1;
    }
    writeFileSync(samples, bytes);
    const reader = await openTrace(path);
    await reader.load();
    return reader;
  }

  it('is a gap from the sample before it to the one behind it, one with those that it touches', async () => {
    const gapsOf = async (...batches: readonly number[]): Promise<unknown[]> => {
      const reader = await damaged(`gaps-${batches.join('')}`, ...batches);
      const found = [reader.samples, reader.problems.filter(({ code }) => code === 'damaged-block').length, ...reader.gaps.map(({ startS, endS }) => [startS, endS].map((atS) => Math.round(1000 * atS) / 1000))];
      await reader.close();
      return found;
    };
    expect(await gapsOf()).toEqual([4000, 0, [1.999, 5]]);
    expect(await gapsOf(0)).toEqual([3000, 1, [0, 1], [1.999, 5]]);
    expect(await gapsOf(1)).toEqual([3000, 1, [0.999, 5]]);
    expect(await gapsOf(2)).toEqual([3000, 1, [1.999, 6]]);
    expect(await gapsOf(3)).toEqual([3000, 1, [1.999, 5], [5.999, 6.999]]);
    expect(await gapsOf(1, 2)).toEqual([2000, 2, [0.999, 6]]);
  });
});
