import { crc32 } from 'node:zlib';
import type { BatchEntry } from '../../../../core/tracefile/arrow/batch-table.ts';
import { encodeEntry, encodeIndexHeader, ENTRY_BYTES, INDEX_HEADER_BYTES } from '../../../../core/tracefile/index-file.ts';
import { addBlockNodes, Nodes } from '../../../../core/tracefile/window/levels.ts';
import type { SampleBlock } from '../../../../core/trace.ts';
import type { AppendFile } from '../../files/append-file.ts';

/** What the index says of one batch, and its samples. */
export interface IndexedBatch {
  readonly entry: Omit<BatchEntry, 'nodesAt'>;
  readonly block: SampleBlock;
}

/** The index of a capture that is being written. Only a help: when it cannot be written the capture goes on, and the index is made anew when the trace is opened. */
export class IndexAppend {
  readonly #nodes = new Nodes();
  #file: AppendFile | null;
  #at = INDEX_HEADER_BYTES;

  private constructor(file: AppendFile) {
    this.#file = file;
  }

  /** `schema`: the first message of the samples file the index belongs to. */
  static async begin(file: AppendFile, schema: Uint8Array): Promise<IndexAppend> {
    await file.append(encodeIndexHeader(schema.length, crc32(schema), crc32));
    return new IndexAppend(file);
  }

  /** Of batches that lie one after the other, in one write. */
  async add(batches: readonly IndexedBatch[]): Promise<void> {
    if (this.#file === null) return;
    const parts: Uint8Array[] = [];
    let at = this.#at;
    for (const { entry, block } of batches) {
      this.#nodes.length = 0;
      addBlockNodes(block, this.#nodes);
      const bytes = encodeEntry({ ...entry, nodesAt: at + ENTRY_BYTES }, this.#nodes, 0, this.#nodes.length, crc32);
      parts.push(bytes);
      at += bytes.length;
    }
    try {
      await this.#file.append(parts.length === 1 ? parts[0]! : Buffer.concat(parts));
      this.#at = at;
    } catch {
      await this.close();
    }
  }

  async close(): Promise<void> {
    await this.#file?.close().catch(() => undefined);
    this.#file = null;
  }
}
