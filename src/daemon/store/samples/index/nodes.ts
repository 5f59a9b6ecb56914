import { closeSync, readSync } from 'node:fs';
import type { BatchTable } from '../../../../core/tracefile/arrow/batch-table.ts';
import { ENTRY_BYTES, MAX_ENTRY_NODES, NODE_BYTES } from '../../../../core/tracefile/index-file.ts';
import { addBlockNodes, areNodes, NODE_SAMPLES, type Nodes } from '../../../../core/tracefile/window/levels.ts';
import type { SampleBlock } from '../../../../core/trace.ts';
import { openPlainSync } from '../../files/plain-file.ts';
import { language } from '../../../../core/present/language.ts';

const texts = language.daemon.store.nodes;

/** Index entries read in one piece, and the longest of them. */
const MAX_READ_BYTES = 1 << 18;
const MAX_ENTRY_BYTES = ENTRY_BYTES + MAX_ENTRY_NODES * NODE_BYTES;

/** Level 0 of a trace's index, read from the file where it is wanted: it is the one level too large for memory (160 MB for three days). */
export class IndexNodes {
  readonly #table: BatchTable;
  readonly #rowsOf: (batch: number) => SampleBlock | null;
  readonly #piece = new Uint8Array(MAX_READ_BYTES + MAX_ENTRY_BYTES);
  readonly #words = new Float64Array(this.#piece.buffer);
  readonly #halves = new Float32Array(this.#piece.buffer);
  #pieceAt = 0;
  #pieceEnd = 0;
  #fd: number;

  /** `rowsOf` reads a batch, null when it is damaged. Without an index file the nodes are made from the samples. */
  constructor(table: BatchTable, indexPath: string | null, rowsOf: (batch: number) => SampleBlock | null) {
    this.#table = table;
    this.#rowsOf = rowsOf;
    try {
      this.#fd = indexPath === null ? -1 : openPlainSync(indexPath);
    } catch {
      this.#fd = -1;
    }
  }

  /**
   * Adds the nodes of batches `[from, to)`.
   * @param aheadTo the caller will go on up to that batch soon: what lies between is read in the same piece
   */
  add(from: number, to: number, aheadTo: number, nodes: Nodes): void {
    const table = this.#table;
    for (let batch = from; batch < to; batch++) {
      const at = this.#entryAt(batch, Math.max(to, aheadTo));
      if (at >= 0 && this.#addEntry(batch, at, nodes)) continue;
      const block = this.#rowsOf(batch);
      if (block !== null) addBlockNodes(block, nodes);
    }
    if (table.length < to) throw new RangeError(texts.noBatch(to - 1));
  }

  /** What was read may have changed on the disk. */
  forget(): void {
    this.#pieceEnd = this.#pieceAt;
  }

  close(): void {
    if (this.#fd >= 0) closeSync(this.#fd);
    this.#fd = -1;
  }

  /** Where the batch's entry lies in #piece, read if need be; -1 when there is none. */
  #entryAt(batch: number, aheadTo: number): number {
    const table = this.#table;
    const startAt = table.nodesAt[batch]! - ENTRY_BYTES;
    if (this.#fd < 0 || startAt < 0 || startAt % 8 !== 0) return -1;
    const bytes = entryLength(table.rows[batch]!);
    if (startAt >= this.#pieceAt && startAt + bytes <= this.#pieceEnd) return startAt - this.#pieceAt;
    if (bytes > MAX_ENTRY_BYTES) return -1;
    const last = Math.min(aheadTo, table.length) - 1;
    const lastEnd = table.nodesAt[last]! - ENTRY_BYTES + entryLength(table.rows[last]!);
    const length = lastEnd > startAt + bytes ? Math.max(bytes, Math.min(MAX_READ_BYTES, lastEnd - startAt)) : bytes;
    this.#pieceAt = startAt;
    this.#pieceEnd = startAt + readSync(this.#fd, this.#piece, 0, length, startAt);
    return startAt + bytes <= this.#pieceEnd ? 0 : -1;
  }

  /**
   * Adds the nodes of the entry at `at` of #piece; false when it is not that of the batch. Its CRC-32 is left to `verify`: thousands of entries a window would cost as
   * much again.
   */
  #addEntry(batch: number, at: number, nodes: Nodes): boolean {
    const table = this.#table;
    if (at % 8 !== 0) return false;
    const words = this.#words;
    const halves = this.#halves;
    let word = at / 8;
    if (words[word + 4] !== table.firstS[batch] || words[word + 5] !== table.lastS[batch]) return false;
    word += ENTRY_BYTES / 8;
    const rows = table.rows[batch]!;
    nodes.reserve(nodes.length + Math.ceil(rows / NODE_SAMPLES));
    const { firstS, lastS, count, lowA, highA, meanA, lowV, highV, meanV } = nodes;
    let node = nodes.length;
    for (let left = rows; left > 0; left -= NODE_SAMPLES, word += NODE_BYTES / 8, node++) {
      const half = 2 * word + 4;
      firstS[node] = words[word]!;
      lastS[node] = words[word + 1]!;
      count[node] = Math.min(NODE_SAMPLES, left);
      lowA[node] = halves[half]!;
      highA[node] = halves[half + 1]!;
      meanA[node] = halves[half + 2]!;
      lowV[node] = halves[half + 3]!;
      highV[node] = halves[half + 4]!;
      meanV[node] = halves[half + 5]!;
    }
    if (!areNodes(nodes, nodes.length, node)) return false;
    nodes.length = node;
    return true;
  }
}

function entryLength(rows: number): number {
  return ENTRY_BYTES + NODE_BYTES * Math.ceil(rows / NODE_SAMPLES);
}
