import { closeSync, openSync, readSync } from 'node:fs';
import { crc32 } from 'node:zlib';
import { decodeEntry, ENTRY_BYTES, NODE_BYTES } from '../../core/tracefile/index-file.ts';
import { addInside, boundAt, scanLevel } from '../../core/tracefile/level-window.ts';
import { addBlockNodes, NODE_SAMPLES, Nodes } from '../../core/tracefile/levels.ts';
import { columnEdges, PixelColumns } from '../../core/tracefile/pixel-columns.ts';
import { joinBlocks, type Gap, type SampleBlock } from '../../core/trace.ts';
import { clip } from './blocks.ts';
import type { TraceIndex } from './trace-index.ts';
import type { TraceWindow } from './trace-reader.ts';

/** Up to so many samples a column they are read themselves: 8 MB over 1600 columns, some milliseconds. */
const READ_PER_COLUMN = 256;
/** Up to so many, level 0 is read from the index file in one piece: 2 MB over 1600 columns. Above, the levels in memory begin. */
const LEVEL_0_PER_COLUMN = 2048;

/** Windows of a trace that has an index: the same picture as from all samples, from as few of them as can be. */
export class WindowMaker {
  readonly #index: TraceIndex;
  readonly #rows: (batch: number) => SampleBlock | null;
  #fd: number;

  /** `rows` reads a batch, null when it is damaged. Without an index file level 0 is made from the samples. */
  constructor(index: TraceIndex, indexPath: string | null, rows: (batch: number) => SampleBlock | null) {
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
    const joins: (() => void)[] = [];
    const needRaw = (firstS: number, lastS: number): void => {
      const [from, to] = table.range(firstS, lastS);
      for (let i = from; i <= to && i < table.length; i++) if (table.firstS[i]! <= lastS) raw.add(i);
    };
    const base = levels.above[0];
    if (samples <= LEVEL_0_PER_COLUMN * columns || base === undefined) {
      const nodes = new Nodes();
      for (let i = startIndex; i < endIndex; i = this.#readNodes(i, endIndex, nodes));
      addInside(pixels, [nodes], 0);
      for (const edgeS of edgesS) this.#look(pixels, nodes, edgeS, ends, joins, needRaw);
    } else {
      addInside(pixels, levels.above, scanLevel(levels.above, samples / NODE_SAMPLES / 8, columns));
      // a node of the lowest level in memory reaches over a batch or two, and several bounds may lie in the same ones
      const near = new Map<number, Nodes>();
      for (const edgeS of edgesS) {
        this.#look(pixels, base, edgeS, ends, joins, (firstS, lastS) => {
          const [from] = table.range(firstS, lastS);
          let to = from;
          while (to < table.length && table.firstS[to]! <= lastS) to++;
          const key = from * table.length + to;
          let nodes = near.get(key);
          if (nodes === undefined) {
            nodes = new Nodes();
            for (let i = from; i < to; i = this.#readNodes(i, to, nodes));
            near.set(key, nodes);
            addInside(pixels, [nodes], 0);
          }
          this.#look(pixels, nodes, edgeS, ends, joins, needRaw);
        });
      }
    }
    for (const batch of raw) {
      const block = this.#rows(batch);
      if (block !== null) pixels.addRows(block);
    }
    for (const join of joins) join();
    return { ...pixels.points(), reduced: true };
  }

  close(): void {
    if (this.#fd >= 0) closeSync(this.#fd);
    this.#fd = -1;
  }

  /** A bound that may show is handed to `finer` with the stretch of time to look into. */
  #look(pixels: PixelColumns, nodes: Nodes, edgeS: number, ends: ReadonlySet<number>, joins: (() => void)[], finer: (firstS: number, lastS: number) => void): void {
    const bound = boundAt(pixels, nodes, edgeS, ends);
    if (bound === null) return;
    const { left, right, leftColumn, rightColumn } = bound;
    if (bound.covered) joins.push(() => pixels.join(leftColumn, rightColumn, nodes.meanA[left]!, nodes.meanV[left]!));
    else finer(left === right ? nodes.firstS[left]! : nodes.lastS[left]!, left === right ? nodes.lastS[right]! : nodes.firstS[right]!);
  }

  /** Few samples: all of them, with one more on each side so that the line goes on past the window's edges. */
  #fromSamples(startIndex: number, endIndex: number, fromS: number, toS: number, columns: number, edgesS: Float64Array, gaps: readonly Gap[]): TraceWindow {
    const blocks: SampleBlock[] = [];
    for (let i = Math.max(0, startIndex - 1); i < Math.min(this.#index.table.length, endIndex + 1); i++) {
      const block = this.#rows(i);
      if (block !== null) blocks.push(block);
    }
    const inside = blocks.map((block) => clip(block, fromS, toS)).filter((block) => block !== null);
    let count = 0;
    for (const block of inside) count += block.timeS.length;
    if (count > 4 * columns) {
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
      // entries of neighbouring batches lie one after the other
      while (to < endIndex && table.nodesAt[to]! - ENTRY_BYTES === endAt && endAt - startAt < MAX_READ_BYTES) endAt += entryLength(table.rows[to++]!);
      const bytes = new Uint8Array(endAt - startAt);
      if (readSync(this.#fd, bytes, 0, bytes.length, startAt) === bytes.length) {
        let at = 0;
        for (let k = i; k < to; k++) {
          const length = entryLength(table.rows[k]!);
          const before = nodes.length;
          if (decodeEntry(bytes, at, length, startAt, nodes, crc32) === null) {
            nodes.length = before;
            this.#nodesOfRows(k, nodes);
          }
          at += length;
        }
        return to;
      }
    }
    this.#nodesOfRows(i, nodes);
    return i + 1;
  }

  #nodesOfRows(batch: number, nodes: Nodes): void {
    const block = this.#rows(batch);
    if (block !== null) addBlockNodes(block, nodes);
  }
}

const MAX_READ_BYTES = 4 << 20;

function entryLength(rows: number): number {
  return ENTRY_BYTES + NODE_BYTES * Math.ceil(rows / NODE_SAMPLES);
}

/** The next larger float64, so that a half-open range takes in its end. */
function nextAfter(value: number): number {
  return value + Math.max(Math.abs(value) * Number.EPSILON, Number.MIN_VALUE);
}
