import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addBlockNodes, areNodes, Levels, Nodes } from '../../../src/core/tracefile/window/levels.ts';
import { allOf, columnEdges, fewEnough, piecesInside, PixelColumns } from '../../../src/core/tracefile/window/pixel-columns.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';

const block = (timeS: number[], currentA: number[], voltageV: number[] | null = null): SampleBlock => ({ timeS: Float64Array.from(timeS), currentA: Float32Array.from(currentA), voltageV: voltageV === null ? null : Float32Array.from(voltageV) });
const shown = ({ timeS, currentA, voltageV }: SampleBlock): number[][] => Array.from(timeS, (atS, i) => [Number(atS.toFixed(6)), currentA[i]!, ...(voltageV === null ? [] : [voltageV[i]!])]);

describe('the columns of a chart', () => {
  it('hold the times from their first bound up to the next one', () => {
    const pixels = new PixelColumns(Float64Array.of(0, 1, 2, 3));
    expect([-0.1, 0, 0.999, 1, 2.999, 3, Number.NaN].map((atS) => pixels.columnOf(atS))).toEqual([-1, 0, 0, 1, 2, -1, -1]);
  });

  it('show first, least, greatest and last of their samples, current and volts', () => {
    const pixels = new PixelColumns(Float64Array.of(0, 1, 2, 3));
    pixels.addRows(block([-1, 0, 0.3, 0.6, 1.5, 3], [99, 1, 5, -2, 3, 99], [99, 12, 11, 13, 12.5, 99]));
    const points = pixels.points();
    expect([points.timeS.length, points.currentA.length, points.voltageV!.length]).toEqual([5, 5, 5]);
    expect(shown(points)).toEqual([[0, 1, 12], [0.2, -2, 11], [0.4, 5, 13], [0.6, -2, 13], [1.5, 3, 12.5]]);
    expect([pixels.firstS[0], pixels.lastS[0], pixels.firstS[2], pixels.lastS[2]]).toEqual([0, 0.6, Infinity, -Infinity]);
  });

  it('show the same of samples that come in pieces, whichever first, and no volts where a piece has none', () => {
    const pieces = [block([0.1, 0.2], [1, 7], [12, 12]), block([0.3, 0.4], [-3, 2], [11, 14]), block([1.2], [4], [13])];
    for (const order of [[0, 1, 2], [2, 1, 0], [1, 0, 2]]) {
      const pixels = new PixelColumns(Float64Array.of(0, 1, 2));
      for (const at of order) pixels.addRows(pieces[at]!);
      expect(shown(pixels.points())).toEqual([[0.1, 1, 12], [0.2, -3, 11], [0.3, 7, 14], [0.4, 2, 14], [1.2, 4, 13]]);
    }
    const bare = block([0.25], [-3]);
    for (const order of [[pieces[0]!, bare], [bare, pieces[0]!]]) {
      const pixels = new PixelColumns(Float64Array.of(0, 1, 2));
      for (const piece of order) pixels.addRows(piece);
      expect(pixels.points().voltageV).toBeNull();
    }
    expect(new PixelColumns(Float64Array.of(0, 1)).points()).toMatchObject({ timeS: new Float64Array(0), voltageV: null });
  });

  it('show extremes alone where the samples at their ends are not known, and a value to join them by', () => {
    const pixels = new PixelColumns(Float64Array.of(0, 1, 2, 3));
    pixels.addExtremes(0, 0.2, 0.8, 1, 2, 11, 13);
    pixels.addExtremes(0, 0.1, 0.7, 1.5, 3, 12, 14);
    pixels.addExtremes(1, 1.2, 1.8, 0, 5, 10, 12);
    expect(shown(pixels.points())).toEqual([[0.333333, 1, 11], [0.566667, 3, 14], [1.4, 0, 10], [1.6, 5, 12]]);
    pixels.join(0, 1, 2, 12);
    expect(shown(pixels.points())).toEqual([[0.333333, 1, 11], [0.566667, 3, 14], [0.8, 2, 12], [1.2, 2, 12], [1.4, 0, 10], [1.6, 5, 12]]);
    // a sample that is known stays
    const known = new PixelColumns(Float64Array.of(0, 1, 2));
    known.addRows(block([0.2, 0.8, 1.2, 1.8], [3, 4, 6, 5], [12, 12, 12, 12]));
    known.addExtremes(0, 0.2, 0.8, 3, 4, 12, 12);
    known.join(0, 1, 9, 9);
    expect(shown(known.points())).toEqual([[0.2, 3, 12], [0.4, 3, 12], [0.6, 4, 12], [0.8, 4, 12], [1.2, 6, 12], [1.4, 5, 12], [1.6, 6, 12], [1.8, 5, 12]]);
    const bare = new PixelColumns(Float64Array.of(0, 1));
    bare.addExtremes(0, 0.2, 0.8, 1, 2, Number.NaN, Number.NaN);
    expect(bare.points().voltageV).toBeNull();
  });
});

describe('the bounds of columns', () => {
  it('are evenly spaced, with the end of each gap inside among them', () => {
    const edges = (gaps: [number, number][], columns = 5): number[] => [...columnEdges(0, 10, columns, gaps.map(([startS, endS]) => ({ startS, endS })))];
    expect(edges([])).toEqual([0, 2, 4, 6, 8, 10]);
    expect(edges([[2.5, 3], [5, 6], [-3, -1], [-1, 0], [9, 10], [12, 13]])).toEqual([0, 2, 3, 4, 6, 8, 10]);
    // with more gaps than columns the longest are kept
    expect(edges([[0.9, 1], [2, 3], [4.5, 5]], 2)).toEqual([0, 3, 5, 10]);
    expect(edges([[0.2, 1], [2, 2.1], [3, 3.5]], 2)).toEqual([0, 1, 3.5, 5, 10]);
    expect(edges([[2, 3], [4.5, 4.7]], 2)).toEqual([0, 3, 4.7, 5, 10]);
    // those that end with the window or before it take nobody's place
    for (const outside of [[-9, 0], [5, 10]] as [number, number][]) expect(edges([[2, 3], [4.5, 4.7], outside], 2)).toEqual([0, 3, 4.7, 5, 10]);
  });

  it('rise where columns would be narrower than numbers lie apart', () => {
    // float64 values lie 1/8 apart at 1e15
    expect([...columnEdges(1e15, 1e15 + 0.5, 8, [])].map((edge) => edge - 1e15)).toEqual([0, 0.125, 0.25, 0.375, 0.5]);
  });

  it('are refused for a window without length, and for no or too many columns', () => {
    for (const [from, to] of [[1, 1], [2, 1], [0, Infinity], [-1e308, 1e308], [Number.NaN, 1]] as const) expect(() => columnEdges(from, to, 5, [])).toThrow(/must have a length/);
    for (const columns of [0, -1, 1.5, 16_385]) expect(() => columnEdges(0, 1, columns, [])).toThrow(/1 to 16384 columns/);
    expect(columnEdges(0, 1, 1, [])).toHaveLength(2);
    expect(columnEdges(0, 1, 16_384, [])).toHaveLength(16_385);
  });
});

describe('the samples of a window', () => {
  const piece = block([0, 1, 2, 3], [10, 11, 12, 13], [1, 2, 3, 4]);

  it('are those from its start up to its end', () => {
    expect(piecesInside([piece], 1, 3).map(shown)).toEqual([[[1, 11, 2], [2, 12, 3]]]);
    expect(piecesInside([block([0, 1], [1, 2])], 0.5, 9).map(shown)).toEqual([[[1, 2]]]);
    expect(shown(allOf([piece, block([4], [14], [5])]))).toHaveLength(5);
    expect(allOf([piece, block([4], [14], [5])]).reduced).toBe(false);
    expect(allOf([piece])).toEqual({ ...piece, reduced: false });
  });

  it('are shown as they are up to four a column', () => {
    expect([fewEnough([piece, piece], 2), fewEnough([piece, piece, block([9], [9])], 2), fewEnough([], 1)]).toEqual([true, false, true]);
  });
});

describe('the levels of a trace', () => {
  it('stand for up to 64 samples, and begin anew with each block', () => {
    const nodes = new Nodes();
    addBlockNodes(block(Array.from({ length: 65 }, (_, i) => i), Array.from({ length: 65 }, (_, i) => i), Array.from({ length: 65 }, (_, i) => -i)), nodes);
    addBlockNodes(block([100, 101], [3, 1]), nodes);
    const rows = Array.from({ length: nodes.length }, (_, i) => [nodes.firstS[i], nodes.lastS[i], nodes.count[i], nodes.lowA[i], nodes.highA[i], nodes.meanA[i], nodes.lowV[i], nodes.highV[i], nodes.meanV[i]]);
    // the mean of 0 to 63 is 31.5
    expect(rows).toEqual([[0, 63, 64, 0, 63, 31.5, -63, -0, -31.5], [64, 64, 1, 64, 64, 64, -64, -64, -64], [100, 101, 2, 1, 3, 2, Number.NaN, Number.NaN, Number.NaN]]);
  });

  it('have above each eight nodes one with their ends, extremes and mean, up to a single one', () => {
    const value = fc.float({ min: -100, max: 100, noNaN: true });
    fc.assert(fc.property(fc.array(fc.tuple(value, fc.integer({ min: 1, max: 64 }), fc.boolean()), { minLength: 1, maxLength: 100 }), (given) => {
      const base = new Nodes();
      for (const [i, [a, count, hasVolts]] of given.entries()) {
        const at = base.grow();
        [base.firstS[at], base.lastS[at], base.count[at], base.lowA[at], base.highA[at], base.meanA[at]] = [i, i + 0.5, count, a - 1, a + 1, a];
        base.lowV[at] = base.highV[at] = base.meanV[at] = hasVolts ? a : Number.NaN;
      }
      const levels = new Levels();
      // a part first: what is open goes on
      levels.addBase(base, 0, given.length >> 1);
      levels.addBase(base, given.length >> 1);
      expect(levels.baseLength).toBe(given.length);
      expect(levels.above).toHaveLength(Math.max(1, Math.ceil(Math.log(given.length) / Math.log(8) - 1e-9)));
      for (const [k, level] of levels.above.entries()) {
        const width = 8 ** (k + 1);
        expect(level.length).toBe(Math.ceil(given.length / width));
        for (let i = 0; i < level.length; i++) {
          const under = given.slice(i * width, (i + 1) * width);
          const samples = under.reduce((sum, [, count]) => sum + count, 0);
          expect([level.firstS[i], level.lastS[i], level.count[i]]).toEqual([i * width, i * width + under.length - 0.5, samples]);
          expect(level.lowA[i]).toBe(Math.fround(Math.min(...under.map(([a]) => Math.fround(a - 1)))));
          expect(level.highA[i]).toBe(Math.fround(Math.max(...under.map(([a]) => Math.fround(a + 1)))));
          expect(level.meanA[i]).toBeCloseTo(under.reduce((sum, [a, count]) => sum + a * count, 0) / samples, 3);
          const whole = under.every(([, , hasVolts]) => hasVolts);
          expect([level.lowV[i], level.highV[i]]).toEqual(whole ? [Math.min(...under.map(([a]) => a)), Math.max(...under.map(([a]) => a))] : [Number.NaN, Number.NaN]);
          expect(Number.isNaN(level.meanV[i]!)).toBe(!whole);
        }
      }
    }), { numRuns: 40 });
  });

  it('are of samples only where their numbers are in order', () => {
    const good = { firstS: 1, lastS: 2, lowA: -1, highA: 1, meanA: 0, lowV: 11, highV: 13, meanV: 12 };
    const are = (change: Partial<typeof good>): boolean => {
      const nodes = new Nodes();
      for (const row of [good, { ...good, ...change }]) {
        const at = nodes.grow();
        for (const name of Object.keys(good) as (keyof typeof good)[]) nodes[name][at] = row[name];
      }
      // behind the last there may be anything
      nodes.lowA[2] = 1;
      return areNodes(nodes, 0, 2);
    };
    expect([are({}), are({ lastS: 1 }), are({ lowA: 0, highA: 0 }), are({ lowV: Number.NaN, highV: Number.NaN, meanV: Number.NaN })]).toEqual([true, true, true, true]);
    for (const wrong of [{ lastS: 0.9 }, { firstS: Number.NaN }, { lastS: Infinity }, { lowA: 0.1 }, { highA: -0.1 }, { meanA: Number.NaN }, { highA: Infinity }, { lowV: Number.NaN }, { meanV: Number.NaN }, { lowV: 12.1 }, { highV: 11.9 }]) expect(are(wrong), JSON.stringify(wrong)).toBe(false);
  });
});
