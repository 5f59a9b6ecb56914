import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { addInside, boundAt, scanLevel } from '../../../src/core/tracefile/window/level-window.ts';
import { addBlockNodes, Levels, Nodes } from '../../../src/core/tracefile/window/levels.ts';
import { columnEdges, piecesInside, PixelColumns } from '../../../src/core/tracefile/window/pixel-columns.ts';
import { joinBlocks, type Gap, type SampleBlock } from '../../../src/core/trace.ts';
import { expectSameRaster } from './same-raster.ts';

/** One node a row: first and last time, least and greatest current, volts of both (none: no voltage). */
function nodesOf(rows: readonly (readonly [firstS: number, lastS: number, lowA: number, highA: number, lowV?: number, highV?: number])[]): Nodes {
  const nodes = new Nodes();
  for (const [firstS, lastS, lowA, highA, lowV = Number.NaN, highV = lowV] of rows) {
    const at = nodes.grow();
    [nodes.firstS[at], nodes.lastS[at], nodes.count[at], nodes.lowA[at], nodes.highA[at], nodes.lowV[at], nodes.highV[at]] = [firstS, lastS, 1, lowA, highA, lowV, highV];
  }
  return nodes;
}

describe('the level that a window begins with', () => {
  it('is the coarsest with two nodes in a column, each standing for eight of the level below', () => {
    const chain = [new Nodes(), new Nodes(), new Nodes()];
    // 128 nodes below make 16 of level 0 and 2 of level 1
    expect([1, 127, 128, 1023, 1024, 1e9].map((perColumn) => scanLevel(chain, perColumn))).toEqual([0, 0, 1, 1, 2, 2]);
  });
});

describe('what lies at the bound of a column', () => {
  const edgesS = Float64Array.of(0, 10, 20, 30);
  const look = (nodes: Nodes, edgeS: number, { held = [] as [number, number, number][], gapEnds = [] as number[], hint = 0 } = {}) => {
    const pixels = new PixelColumns(edgesS);
    for (const [column, low, high] of held) pixels.addExtremes(column, 10 * column + 1, 10 * column + 2, low, high, 11, 13);
    return boundAt(pixels, nodes, edgeS, new Set(gapEnds), hint);
  };

  it('is a node over it, or one on either side, found from wherever the search begins', () => {
    const nodes = nodesOf(Array.from({ length: 30 }, (_, i) => [i, i + 0.5, 0, 1]));
    for (let hint = 0; hint <= 19; hint++) expect(look(nodes, 20, { hint })).toMatchObject({ left: 19, right: 20, leftColumn: 1, rightColumn: 2 });
    for (let hint = 0; hint <= 10; hint++) expect(look(nodesOf(Array.from({ length: 30 }, (_, i) => [i + 0.25, i + 1, 0, 1])), 10.5, { hint })).toMatchObject({ left: 10, right: 10 });
    // what begins or ends at the bound itself: the bound is the start of the later column
    expect(look(nodesOf([[8, 9, 0, 1], [10, 11, 0, 1]]), 10)).toMatchObject({ left: 0, right: 1, leftColumn: 0, rightColumn: 1 });
    expect(look(nodesOf([[8, 10, 0, 1]]), 10)).toMatchObject({ left: 0, right: 0, leftColumn: 0, rightColumn: 1 });
  });

  it('is nothing before the first node and after the last, across a gap, and where a line leaves the window', () => {
    const nodes = nodesOf([[8, 9, 0, 1], [11, 12, 0, 1]]);
    expect([look(nodes, 5), look(nodes, 12.5), look(nodes, 10, { gapEnds: [11] }), look(nodesOf([[-2, -1, 0, 1], [1, 2, 0, 1]]), 0), look(nodesOf([[28, 29, 0, 1], [30, 31, 0, 1]]), 30)]).toEqual([null, null, null, null, null]);
    expect(look(nodes, 10, { gapEnds: [8, 12] })).toMatchObject({ left: 0, right: 1 });
    // a node without a gap inside goes on over the bound, and past the window it counts for the outermost column
    expect(look(nodesOf([[8, 12, 0, 1]]), 10, { gapEnds: [8] })).toMatchObject({ left: 0, right: 0 });
    expect(look(nodesOf([[-2, 3, 0, 1]]), 0)).toMatchObject({ leftColumn: 0, rightColumn: 0 });
    expect(look(nodesOf([[28, 30, 0, 1]]), 30)).toMatchObject({ leftColumn: 2, rightColumn: 2 });
  });

  it('cannot show where both columns reach as far without it, up to their own extremes, in current and volts', () => {
    const covered = (held: [number, number, number][], ...rows: Parameters<typeof nodesOf>[0][number][]): boolean | undefined => look(nodesOf(rows), 10, { held })?.covered;
    const both: [number, number, number][] = [[0, 0, 5], [1, 0, 5]];
    expect([covered(both, [8, 12, 0, 5]), covered(both, [8, 9, 0, 5], [10, 11, 0, 5])]).toEqual([true, true]);
    for (const [low, high] of [[-0.1, 5], [0, 5.1]] as const) {
      expect([covered(both, [8, 12, low, high]), covered(both, [8, 9, low, high], [10, 11, 0, 5]), covered(both, [8, 9, 0, 5], [10, 11, low, high])]).toEqual([false, false, false]);
    }
    expect(look(nodesOf([[18, 19, 0, 5], [20, 21, 0, 5]]), 20, { held: [[1, 0, 5], [2, 0, 5]] })).toMatchObject({ leftColumn: 1, rightColumn: 2, covered: true });
    // held in one of the columns only
    expect([covered([[0, 0, 5], [1, 1, 5]], [8, 12, 0, 5]), covered([[0, 1, 5], [1, 0, 5]], [8, 12, 0, 5])]).toEqual([false, false]);
    expect([[11, 13], [10.9, 13], [11, 13.1]].map(([lowV, highV]) => covered(both, [8, 12, 0, 5, lowV, highV]))).toEqual([true, false, false]);
    // a line over an empty column shows where it begins and ends; a node says that there is something all the way
    expect(look(nodesOf([[8, 9, 0, 1], [21, 22, 0, 1]]), 20, { held: [[0, 0, 5], [1, 0, 5], [2, 0, 5]] })).toMatchObject({ leftColumn: 0, rightColumn: 2, covered: false });
    expect(look(nodesOf([[8, 22, 0, 1]]), 20, { held: [[0, 0, 5], [1, 0, 5], [2, 0, 5]] })).toMatchObject({ leftColumn: 0, rightColumn: 2, covered: true });
  });
});

describe('a window from levels', () => {
  const block = fc.array(fc.record({ step: fc.integer({ min: 1, max: 3 }), a: fc.integer({ min: 0, max: 6 }), v: fc.integer({ min: 9, max: 14 }) }), { minLength: 1, maxLength: 5 });
  const given = fc.record({
    blocks: fc.array(fc.record({ rows: block, gapBefore: fc.integer({ min: 0, max: 9 }), hasVolts: fc.integer({ min: 0, max: 200 }) }), { minLength: 1, maxLength: 150 }),
    fromS: fc.integer({ min: -5, max: 200 }), columns: fc.integer({ min: 1, max: 12 }), widthS: fc.integer({ min: 1, max: 60 }), level: fc.nat(3),
  });

  /** Whole seconds and whole amperes, so that times fall on bounds and values on each other. */
  function recordingOf(blocks: readonly { rows: readonly { step: number; a: number; v: number }[]; gapBefore: number; hasVolts: number }[]): { pieces: SampleBlock[]; gaps: Gap[] } {
    const gaps: Gap[] = [];
    let atS = 0;
    const pieces = blocks.map(({ rows, gapBefore, hasVolts }, i) => {
      if (gapBefore === 9 && i > 0) gaps.push({ startS: atS, endS: (atS += 9) + rows[0]!.step });
      return { timeS: Float64Array.from(rows, ({ step }) => (atS += step)), currentA: Float32Array.from(rows, ({ a }) => a), voltageV: hasVolts === 0 ? null : Float32Array.from(rows, ({ v }) => v) };
    });
    return { pieces, gaps };
  }

  function levelsOf(pieces: readonly SampleBlock[]): Nodes[] {
    const base = new Nodes();
    for (const piece of pieces) addBlockNodes(piece, base);
    const levels = new Levels();
    levels.addBase(base);
    return [base, ...levels.above];
  }

  it('holds in each column the extremes of every finest node inside it, from whichever level it begins', () => {
    fc.assert(fc.property(given, ({ blocks, fromS, columns, widthS, level }) => {
      const chain = levelsOf(recordingOf(blocks).pieces);
      const pixels = new PixelColumns(columnEdges(fromS, fromS + columns * widthS, columns, []));
      addInside(pixels, chain, Math.min(level, chain.length - 1));
      const { firstS, lastS, lowA, highA, lowV, length } = chain[0]!;
      for (let column = 0; column < columns; column++) {
        const inside = Array.from({ length }, (_, i) => i).filter((i) => firstS[i]! >= fromS + column * widthS && lastS[i]! < fromS + (column + 1) * widthS);
        const low = (values: ArrayLike<number>): number => Math.min(Infinity, ...inside.map((i) => values[i]!));
        const high = (values: ArrayLike<number>): number => Math.max(-Infinity, ...inside.map((i) => values[i]!));
        expect([pixels.firstS[column], pixels.lastS[column], pixels.lowA[column], pixels.highA[column]]).toEqual([low(firstS), high(lastS), low(lowA), high(highA)]);
        if (inside.some((i) => Number.isNaN(lowV[i]!))) expect(pixels.points().voltageV).toBeNull();
        else expect(pixels.lowV[column]).toBe(low(lowV));
      }
    }), { numRuns: 200 });
  });

  it('draws what all its samples draw, reading only those at bounds that can show', () => {
    fc.assert(fc.property(given, ({ blocks, fromS, columns, widthS, level }) => {
      const { pieces, gaps } = recordingOf(blocks.map((one) => ({ ...one, hasVolts: 1 })));
      const chain = levelsOf(pieces);
      const nodes = chain[0]!;
      const toS = fromS + columns * widthS;
      const pixels = new PixelColumns(columnEdges(fromS, toS, columns, gaps));
      addInside(pixels, chain, Math.min(level, chain.length - 1));
      const gapEnds = new Set(gaps.map(({ endS }) => endS));
      const bounds = [...pixels.edgesS].map((edgeS) => boundAt(pixels, nodes, edgeS, gapEnds)).filter((bound) => bound !== null);
      const all = joinBlocks(pieces, gaps);
      for (const { left, right, covered } of bounds) {
        const [firstS, lastS] = left === right ? [nodes.firstS[left]!, nodes.lastS[right]!] : [nodes.lastS[left]!, nodes.firstS[right]!];
        if (!covered) for (const rows of piecesInside([all], firstS, lastS + 0.5)) pixels.addRows(rows);
      }
      for (const { left, covered, leftColumn, rightColumn } of bounds) if (covered) pixels.join(leftColumn, rightColumn, nodes.meanA[left]!, nodes.meanV[left]!);
      const inside = piecesInside([all], fromS, toS)[0]!;
      if (inside.timeS.length > 0) expectSameRaster(inside, pixels.points(), gaps, fromS, toS, columns);
    }), { numRuns: 300 });
  });
});
