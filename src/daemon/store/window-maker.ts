import { closeSync, openSync, readSync } from 'node:fs';
import { ENTRY_BYTES, MAX_ENTRY_NODES, NODE_BYTES } from '../../core/tracefile/index-file.ts';
import { addInside, boundAt, scanLevel } from '../../core/tracefile/level-window.ts';
import { addBlockNodes, NODE_SAMPLES, Nodes } from '../../core/tracefile/levels.ts';
import { columnEdges, PixelColumns } from '../../core/tracefile/pixel-columns.ts';
import { joinBlocks, type Gap, type SampleBlock } from '../../core/trace.ts';
import { clip } from './blocks.ts';
import type { TraceIndex } from './trace-index.ts';
import type { TraceWindow } from './trace-reader.ts';

/** Up to so many samples a column they are read themselves: 10 MB over 1600 columns, some milliseconds. */
const READ_PER_COLUMN = 384;
/** Up to so many, level 0 is read from the index file in one piece: 6 MB over 1600 columns. Above, the levels in memory begin. */
const LEVEL_0_PER_COLUMN = 6144;

/** Index entries read in one piece, and the longest of them. */
const MAX_READ_BYTES = 1 << 19;
const MAX_ENTRY_BYTES = ENTRY_BYTES + MAX_ENTRY_NODES * NODE_BYTES;

/** Reads a batch; `last`: the reader goes on up to that one; `passing`: it is done with each before the next. */
type RowsOf = (batch: number, last?: number, passing?: boolean) => SampleBlock | null;

/** Columns whose bound cannot change the picture, and a value both hold. */
interface Join {
  readonly leftColumn: number;
  readonly rightColumn: number;
  readonly meanA: number;
  readonly meanV: number;
}

/** Windows of a trace that has an index: the same picture as from all samples, from as few of them as can be. */
export class WindowMaker {
  readonly #index: TraceIndex;
  readonly #rows: RowsOf;
  readonly #entries = new Uint8Array(MAX_READ_BYTES + MAX_ENTRY_BYTES);
  readonly #words = new Float64Array(this.#entries.buffer);
  readonly #halves = new Float32Array(this.#entries.buffer);
  #fd: number;

  /** `rows` reads a batch, null when it is damaged. Without an index file level 0 is made from the samples. */
  constructor(index: TraceIndex, indexPath: string | null, rows: RowsOf) {
    this.#index = index;
    this.#rows = rows;
    try {
      this.#fd = indexPath === null ? -1 : openSync(indexPath, 'r');
    } catch {
      this.#fd = -1;
    }
  }

  window(fromS: number, toS: number, columns: number, gaps: readonly Gap[]): TraceWindow {
    const { table, levels } = this.#index;
    const edgesS = columnEdges(fromS, toS, columns, gaps);
    const [startIndex, endIndex] = table.range(fromS, toS);
    let samples = 0;
    for (let i = startIndex; i < endIndex; i++) samples += table.rows[i]!;
    if (samples <= READ_PER_COLUMN * columns) return this.#fromSamples(startIndex, endIndex, fromS, toS, columns, edgesS, gaps);
    const pixels = new PixelColumns(edgesS);
    const raw = new Set<number>();
    const ends = new Set(gaps.map((gap) => gap.endS));
    const joins: Join[] = [];
    const needRaw = (firstS: number, lastS: number): void => {
      const [from, to] = table.range(firstS, lastS);
      for (let i = from; i <= to && i < table.length; i++) if (table.firstS[i]! <= lastS) raw.add(i);
    };
    const base = levels.above[0];
    if (samples <= LEVEL_0_PER_COLUMN * columns || base === undefined) {
      const nodes = new Nodes();
      nodes.reserve(Math.ceil(samples / NODE_SAMPLES) + endIndex - startIndex);
      for (let i = startIndex; i < endIndex; i = this.#readNodes(i, endIndex, nodes));
      addInside(pixels, [nodes], 0);
      for (const edgeS of edgesS) this.#look(pixels, nodes, edgeS, ends, joins, needRaw);
    } else {
      addInside(pixels, levels.above, scanLevel(levels.above, samples / NODE_SAMPLES / 8, columns));
      const near = new Nodes();
      for (const edgeS of edgesS) {
        this.#look(pixels, base, edgeS, ends, joins, (firstS, lastS) => {
          // a node of the lowest level in memory reaches over a batch or two
          const [from] = table.range(firstS, lastS);
          let to = from;
          while (to < table.length && table.firstS[to]! <= lastS) to++;
          near.length = 0;
          for (let i = from; i < to; i = this.#readNodes(i, to, near));
          addInside(pixels, [near], 0);
          this.#look(pixels, near, edgeS, ends, joins, needRaw);
        });
      }
    }
    for (const [batch, last] of runs(raw)) {
      const block = this.#rows(batch, last, true);
      if (block !== null) pixels.addRows(block);
    }
    for (const { leftColumn, rightColumn, meanA, meanV } of joins) pixels.join(leftColumn, rightColumn, meanA, meanV);
    return { ...pixels.points(), reduced: true };
  }

  close(): void {
    if (this.#fd >= 0) closeSync(this.#fd);
    this.#fd = -1;
  }

  /** A bound that may show is handed to `finer` with the stretch of time to look into. */
  #look(pixels: PixelColumns, nodes: Nodes, edgeS: number, ends: ReadonlySet<number>, joins: Join[], finer: (firstS: number, lastS: number) => void): void {
    const bound = boundAt(pixels, nodes, edgeS, ends);
    if (bound === null) return;
    const { left, right, leftColumn, rightColumn } = bound;
    if (bound.covered) joins.push({ leftColumn, rightColumn, meanA: nodes.meanA[left]!, meanV: nodes.meanV[left]! });
    else finer(left === right ? nodes.firstS[left]! : nodes.lastS[left]!, left === right ? nodes.lastS[right]! : nodes.firstS[right]!);
  }

  /** Few samples: all of them, with one more on each side so that the line goes on past the window's edges. */
  #fromSamples(startIndex: number, endIndex: number, fromS: number, toS: number, columns: number, edgesS: Float64Array, gaps: readonly Gap[]): TraceWindow {
    const { table } = this.#index;
    let certain = 0;
    for (let i = startIndex + 1; i < endIndex - 1; i++) certain += table.rows[i]!;
    if (certain > 4 * columns) {
      const pixels = new PixelColumns(edgesS);
      for (let i = startIndex; i < endIndex; i++) {
        const block = this.#rows(i, endIndex - 1, true);
        if (block !== null) pixels.addRows(block);
      }
      return { ...pixels.points(), reduced: true };
    }
    const blocks: SampleBlock[] = [];
    for (let i = Math.max(0, startIndex - 1); i < Math.min(table.length, endIndex + 1); i++) {
      const block = this.#rows(i);
      if (block !== null) blocks.push(block);
    }
    const inside = blocks.map((block) => clip(block, fromS, toS)).filter((block) => block !== null);
    if (inside.reduce((sum, block) => sum + block.timeS.length, 0) > 4 * columns) {
      const pixels = new PixelColumns(edgesS);
      for (const block of inside) pixels.addRows(block);
      return { ...pixels.points(), reduced: true };
    }
    let beforeS = fromS;
    let afterS = toS;
    for (const block of blocks) {
      for (const timeS of block.timeS) {
        if (timeS < fromS) beforeS = timeS;
        else if (timeS >= toS) {
          afterS = timeS;
          break;
        }
      }
      if (afterS > toS) break;
    }
    if (gaps.some((gap) => gap.startS >= beforeS && gap.endS <= fromS)) beforeS = fromS;
    const wide = blocks.map((block) => clip(block, beforeS, afterS > toS ? nextAfter(afterS) : toS)).filter((block) => block !== null);
    return { ...joinBlocks(wide, []), reduced: false };
  }

  /** Adds level-0 nodes from batch `i` on, as many as one read of the index gives; returns the batch after them. */
  #readNodes(i: number, endIndex: number, nodes: Nodes): number {
    const { table } = this.#index;
    const startAt = table.nodesAt[i]! - ENTRY_BYTES;
    if (this.#fd >= 0 && startAt >= 0) {
      let to = i;
      let endAt = startAt;
      // entries of neighbouring batches lie one after the other, at multiples of 8
      while (startAt % 8 === 0 && to < endIndex && table.nodesAt[to]! - ENTRY_BYTES === endAt && endAt - startAt < MAX_READ_BYTES) endAt += entryLength(table.rows[to++]!);
      if (to > i && readSync(this.#fd, this.#entries, 0, endAt - startAt, startAt) === endAt - startAt) {
        let at = 0;
        for (let k = i; k < to; k++) {
          if (!this.#takeNodes(k, at, nodes)) this.#nodesOfRows(k, nodes);
          at += entryLength(table.rows[k]!);
        }
        return to;
      }
    }
    this.#nodesOfRows(i, nodes);
    return i + 1;
  }

  /**
   * Adds the nodes of the index entry that lies at `at` in #entries; false when it is not that of the batch. Its CRC-32 is left to `verify`: thousands of entries a
   * window would cost as much again.
   */
  #takeNodes(batch: number, at: number, nodes: Nodes): boolean {
    const { table } = this.#index;
    const rows = table.rows[batch]!;
    const words = this.#words;
    const halves = this.#halves;
    let word = at / 8;
    if (words[word + 4] !== table.firstS[batch] || words[word + 5] !== table.lastS[batch]) return false;
    word += ENTRY_BYTES / 8;
    for (let left = rows; left > 0; left -= NODE_SAMPLES, word += NODE_BYTES / 8) {
      const node = nodes.grow();
      const half = 2 * word + 4;
      nodes.firstS[node] = words[word]!;
      nodes.lastS[node] = words[word + 1]!;
      nodes.count[node] = Math.min(NODE_SAMPLES, left);
      nodes.lowA[node] = halves[half]!;
      nodes.highA[node] = halves[half + 1]!;
      nodes.meanA[node] = halves[half + 2]!;
      nodes.lowV[node] = halves[half + 3]!;
      nodes.highV[node] = halves[half + 4]!;
      nodes.meanV[node] = halves[half + 5]!;
    }
    return true;
  }

  #nodesOfRows(batch: number, nodes: Nodes): void {
    const block = this.#rows(batch);
    if (block !== null) addBlockNodes(block, nodes);
  }
}

/** The batches in order, each with the end of the run of near neighbours it belongs to; one or two batches between are cheaper read than stepped over. */
function runs(batches: ReadonlySet<number>): [batch: number, last: number][] {
  const sorted = [...batches].sort((a, b) => a - b);
  const found: [number, number][] = sorted.map((batch) => [batch, batch]);
  for (let i = sorted.length - 2; i >= 0; i--) if (sorted[i + 1]! - sorted[i]! <= 3) found[i]![1] = found[i + 1]![1];
  return found;
}

function entryLength(rows: number): number {
  return ENTRY_BYTES + NODE_BYTES * Math.ceil(rows / NODE_SAMPLES);
}

/** The next larger float64, so that a half-open range takes in its end. */
function nextAfter(value: number): number {
  return value + Math.max(Math.abs(value) * Number.EPSILON, Number.MIN_VALUE);
}
