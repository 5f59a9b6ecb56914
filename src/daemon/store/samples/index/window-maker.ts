import { addInside, boundAt, scanLevel } from '../../../../core/tracefile/window/level-window.ts';
import { NODE_SAMPLES, Nodes } from '../../../../core/tracefile/window/levels.ts';
import { columnEdges, PixelColumns } from '../../../../core/tracefile/window/pixel-columns.ts';
import { joinBlocks, type Gap, type SampleBlock } from '../../../../core/trace.ts';
import { clip } from '../blocks.ts';
import { IndexNodes } from './nodes.ts';
import type { TraceIndex, TraceWindow } from '../types.ts';

/** Up to so many samples a column they are read themselves: 7 MB over 1600 columns. Where the costs of the two ways meet, measured on noise. */
const READ_PER_COLUMN = 288;
/** Up to so many, all of level 0 is read: 1 MB over 1600 columns. Above, the levels in memory begin, and level 0 is read at the columns' bounds. */
const LEVEL_0_PER_COLUMN = 1024;
/** Entries of level 0 with up to so many samples between them are read in one piece: stepping over costs more than reading then. */
const READ_THROUGH_SAMPLES = 8192;

/** Rows at a bound that must be seen themselves, and what the index says of them. */
export interface NearRows {
  readonly batch: number;
  /** the reader goes on up to that one */
  last: number;
  readonly firstS: number;
  readonly lastS: number;
  readonly lowA: number;
  readonly highA: number;
}

/** Where the rows come from; null for a damaged batch. */
interface RowSource {
  /** a batch, checked; `last`: the reader goes on up to that one; `passing`: it is done with each before the next */
  rows(batch: number, last?: number, passing?: boolean): SampleBlock | null;
  near(wanted: NearRows): SampleBlock | null;
}

/** Columns whose bound cannot change the picture, and a value both hold. */
interface Join {
  readonly leftColumn: number;
  readonly rightColumn: number;
  readonly meanA: number;
  readonly meanV: number;
}

/** One window in the making. */
interface Drawing {
  readonly pixels: PixelColumns;
  readonly gapEnds: ReadonlySet<number>;
  readonly joins: Join[];
  readonly near: NearRows[];
}

/** Windows of a trace that has an index: the same picture as from all samples, from as few of them as can be. */
export class WindowMaker {
  readonly #index: TraceIndex;
  readonly #source: RowSource;
  readonly #level0: IndexNodes;
  readonly #nodes = new Nodes();

  /** Without an index file level 0 is made from the samples. */
  constructor(index: TraceIndex, indexPath: string | null, source: RowSource) {
    this.#index = index;
    this.#source = source;
    this.#level0 = new IndexNodes(index.table, indexPath, (batch) => source.rows(batch));
  }

  window(fromS: number, toS: number, columns: number, gaps: readonly Gap[]): TraceWindow {
    const { table, levels } = this.#index;
    const edgesS = columnEdges(fromS, toS, columns, gaps);
    const [startIndex, endIndex] = table.range(fromS, toS);
    let samples = 0;
    for (let i = startIndex; i < endIndex; i++) samples += table.rows[i]!;
    if (samples <= READ_PER_COLUMN * columns) return this.#fromSamples(startIndex, endIndex, fromS, toS, columns, edgesS, gaps);
    const drawing: Drawing = { pixels: new PixelColumns(edgesS), gapEnds: new Set(gaps.map((gap) => gap.endS)), joins: [], near: [] };
    this.#level0.forget();
    const base = levels.above[0];
    if (samples <= LEVEL_0_PER_COLUMN * columns || base === undefined) this.#fromLevel0(drawing, startIndex, endIndex);
    else this.#fromLevels(drawing, base, samples / columns);
    this.#addNear(drawing);
    const { pixels, joins } = drawing;
    for (const { leftColumn, rightColumn, meanA, meanV } of joins) pixels.join(leftColumn, rightColumn, meanA, meanV);
    return { ...pixels.points(), reduced: true };
  }

  close(): void {
    this.#level0.close();
  }

  #fromLevel0(drawing: Drawing, startIndex: number, endIndex: number): void {
    const nodes = this.#nodes;
    nodes.length = 0;
    this.#level0.add(startIndex, endIndex, endIndex, nodes);
    addInside(drawing.pixels, [nodes], 0);
    let hint = 0;
    for (const edgeS of drawing.pixels.edgesS) hint = this.#look(drawing, nodes, edgeS, hint, (left, right, firstS, lastS) => this.#want(drawing, nodes, left, right, firstS, lastS));
  }

  #fromLevels(drawing: Drawing, base: Nodes, perColumn: number): void {
    const { table, levels } = this.#index;
    const { pixels } = drawing;
    addInside(pixels, levels.above, scanLevel(levels.above, perColumn / NODE_SAMPLES));
    const nodes = this.#nodes;
    const ahead = perColumn <= READ_THROUGH_SAMPLES ? table.range(pixels.edgesS[0]!, pixels.edgesS[pixels.columns]!)[1] : 0;
    let hint = 0;
    for (const edgeS of pixels.edgesS) {
      hint = this.#look(drawing, base, edgeS, hint, (_left, _right, firstS, lastS) => {
        // a node of the lowest level in memory reaches over a batch or two
        const [from] = table.range(firstS, lastS);
        let to = from;
        while (to < table.length && table.firstS[to]! <= lastS) to++;
        nodes.length = 0;
        this.#level0.add(from, to, ahead, nodes);
        addInside(pixels, [nodes], 0);
        this.#look(drawing, nodes, edgeS, 0, (left, right, nearFirstS, nearLastS) => this.#want(drawing, nodes, left, right, nearFirstS, nearLastS));
      });
    }
  }

  /** A bound that may show is handed to `finer` with its nodes and the stretch of time to look into. Returns the node at the bound, where the next search begins. */
  #look({ pixels, gapEnds, joins }: Drawing, nodes: Nodes, edgeS: number, hint: number, finer: (left: number, right: number, firstS: number, lastS: number) => void): number {
    const bound = boundAt(pixels, nodes, edgeS, gapEnds, hint);
    if (bound === null) return hint;
    const { left, right, leftColumn, rightColumn } = bound;
    if (bound.covered) joins.push({ leftColumn, rightColumn, meanA: nodes.meanA[left]!, meanV: nodes.meanV[left]! });
    else finer(left, right, left === right ? nodes.firstS[left]! : nodes.lastS[left]!, left === right ? nodes.lastS[right]! : nodes.firstS[right]!);
    return left;
  }

  #want({ near }: Drawing, nodes: Nodes, left: number, right: number, firstS: number, lastS: number): void {
    const { table } = this.#index;
    const lowA = Math.min(nodes.lowA[left]!, nodes.lowA[right]!);
    const highA = Math.max(nodes.highA[left]!, nodes.highA[right]!);
    const [from] = table.range(firstS, lastS);
    for (let batch = from; batch < table.length && table.firstS[batch]! <= lastS; batch++) near.push({ batch, last: batch, firstS, lastS, lowA, highA });
  }

  /** Reads the rows at the bounds; one or two batches between are cheaper read than stepped over. */
  #addNear({ pixels, near }: Drawing): void {
    for (let i = near.length - 2; i >= 0; i--) {
      const step = near[i + 1]!.batch - near[i]!.batch;
      if (step >= 0 && step <= 3) near[i]!.last = near[i + 1]!.last;
    }
    for (const wanted of near) {
      const rows = this.#source.near(wanted);
      if (rows !== null) pixels.addRows(rows);
    }
  }

  /** Few samples: all of them, with one more on each side so that the line goes on past the window's edges. */
  #fromSamples(startIndex: number, endIndex: number, fromS: number, toS: number, columns: number, edgesS: Float64Array, gaps: readonly Gap[]): TraceWindow {
    const { table } = this.#index;
    const source = this.#source;
    let certain = 0;
    for (let i = startIndex + 1; i < endIndex - 1; i++) certain += table.rows[i]!;
    if (certain > 4 * columns) {
      const pixels = new PixelColumns(edgesS);
      for (let i = startIndex; i < endIndex; i++) {
        const block = source.rows(i, endIndex - 1, true);
        if (block !== null) pixels.addRows(block);
      }
      return { ...pixels.points(), reduced: true };
    }
    const blocks: SampleBlock[] = [];
    for (let i = Math.max(0, startIndex - 1); i < Math.min(table.length, endIndex + 1); i++) {
      const block = source.rows(i);
      if (block !== null) blocks.push(block);
    }
    const inside = blocks.map((block) => clip(block, fromS, toS)).filter((block) => block !== null);
    if (inside.reduce((sum, block) => sum + block.timeS.length, 0) > 4 * columns) {
      const pixels = new PixelColumns(edgesS);
      for (const block of inside) pixels.addRows(block);
      return { ...pixels.points(), reduced: true };
    }
    let beforeS = fromS;
    let afterS: number | null = null;
    for (const block of blocks) {
      for (const timeS of block.timeS) {
        if (timeS < fromS) beforeS = timeS;
        else if (timeS >= toS) {
          afterS = timeS;
          break;
        }
      }
      if (afterS !== null) break;
    }
    if (gaps.some((gap) => gap.startS >= beforeS && gap.endS <= fromS)) beforeS = fromS;
    const endS = afterS === null ? toS : nextAfter(afterS);
    const wide = blocks.map((block) => clip(block, beforeS, endS)).filter((block) => block !== null);
    return { ...joinBlocks(wide, []), reduced: false };
  }
}

/** The next larger float64, so that a half-open range takes in its end. */
export function nextAfter(value: number): number {
  return value + Math.max(Math.abs(value) * Number.EPSILON, Number.MIN_VALUE);
}
