import { createHash } from 'node:crypto';
import { join } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { crc32 } from 'node:zlib';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../../../core/tracefile/arrow/arrow.ts';
import type { AppendFile } from '../../files/append-file.ts';
import { INDEX_FILE, SAMPLES_FILE } from '../../files/record-file.ts';
import { appendBatches } from './append-batches.ts';
import { IndexAppend, type IndexedBatch } from '../index/append.ts';
import type { PendingBlock } from './pending-rows.ts';
import { TraceDigest } from '../trace-digest.ts';

/** Batches of one write at most: 1 MB. */
const GROUP_BATCHES = 8;

/** `samples.arrows` while it grows, and its index: a batch is counted, hashed and indexed once it is in the file. */
export class SamplesAppend {
  readonly #file: AppendFile;
  readonly #index: IndexAppend;
  readonly #hash = createHash('sha256');
  readonly #digest = new TraceDigest();
  /** in the file */
  samples = 0;
  bytes: number;

  private constructor(file: AppendFile, index: IndexAppend, schema: Uint8Array) {
    this.#file = file;
    this.#index = index;
    this.#hash.update(schema);
    this.bytes = schema.length;
  }

  /** Makes both files in a capture's folder; the schema is on the disk when this returns. */
  static async create(folder: string, title: string, openFile: (path: string) => Promise<AppendFile>): Promise<SamplesAppend> {
    const file = await openFile(join(folder, SAMPLES_FILE));
    const schema = arrowSchemaBytes(title);
    await file.append(schema);
    await file.sync();
    return new SamplesAppend(file, await IndexAppend.begin(await openFile(join(folder, INDEX_FILE)), schema), schema);
  }

  async write(blocks: readonly PendingBlock[]): Promise<void> {
    for (let from = 0; from < blocks.length; from += GROUP_BATCHES) await this.#writeGroup(blocks.slice(from, from + GROUP_BATCHES));
  }

  sync(): Promise<void> {
    return this.#file.sync();
  }

  /** Takes off what a failed write left behind and ends the stream; the file's SHA-256, null where the disk refuses. */
  async seal(): Promise<string | null> {
    try {
      await this.#file.truncate(this.bytes);
      await this.#file.append(arrowStreamEnd());
      this.#hash.update(arrowStreamEnd());
      const sha256 = this.#hash.digest('hex');
      await this.#file.sync();
      return sha256;
    } catch {
      return null;
    }
  }

  /** What the samples are known by when the trace has moved, see TraceDigest. */
  uid(start: string): string {
    return this.#digest.uid(start);
  }

  async close(): Promise<void> {
    await this.#file.close().catch(() => undefined);
    await this.#index.close();
  }

  async #writeGroup(blocks: readonly PendingBlock[]): Promise<void> {
    const messages: Uint8Array[] = [];
    for (const { block } of blocks) {
      // a millisecond's work each: the reader of the logger has its turn between them
      if (messages.length > 0) await setImmediate();
      messages.push(arrowBatchBytes(block));
    }
    await appendBatches(this.#file, messages, this.bytes, (from, to) => this.#written(blocks.slice(from, to), messages.slice(from, to)));
  }

  /** Takes account of batches that are in the file. */
  async #written(blocks: readonly PendingBlock[], messages: readonly Uint8Array[]): Promise<void> {
    const batches: IndexedBatch[] = [];
    for (const [k, { block, gapBefore }] of blocks.entries()) {
      const bytes = messages[k]!;
      if (k > 0) await setImmediate();
      this.#hash.update(bytes);
      this.#digest.add(block);
      const rows = block.timeS.length;
      batches.push({ entry: { offset: this.bytes, bytes: bytes.length, crc32: crc32(bytes), fromRow: 0, rows, firstS: block.timeS[0]!, lastS: block.timeS[rows - 1]!, hasVoltage: block.voltageV !== null, gapBefore }, block });
      this.samples += rows;
      this.bytes += bytes.length;
    }
    await this.#index.add(batches);
  }
}
