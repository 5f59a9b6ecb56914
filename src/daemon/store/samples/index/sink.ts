import { closeSync, fsync, openSync, rmSync, write, writeSync } from 'node:fs';
import { copyFile, rename, truncate } from 'node:fs/promises';
import { promisify } from 'node:util';
import { crc32 } from 'node:zlib';
import type { BatchEntry } from '../../../../core/tracefile/arrow/batch-table.ts';
import { encodeEntry, encodeIndexHeader, encodeSummary, ENTRY_BYTES } from '../../../../core/tracefile/index-file.ts';
import type { Nodes } from '../../../../core/tracefile/window/levels.ts';
import type { SamplesFile } from '../samples-file.ts';
import type { TraceIndex } from '../types.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.sink;

/**
 * Makes a whole index file beside the old one and puts it in its place at the end. An index is only a help: when it cannot be written (read-only folder,
 * full disk) the trace is read without one, and nothing is said.
 */
export class IndexSink {
  readonly #path: string;
  readonly #temporary: string;
  readonly #fd: number;
  #at: number;
  #failed = false;

  private constructor(path: string, temporary: string, fd: number, at: number) {
    this.#path = path;
    this.#temporary = temporary;
    this.#fd = fd;
    this.#at = at;
  }

  /** Begins with the first `validBytes` of the old index, or anew when that is 0. Null when the folder cannot be written. */
  static async open(file: SamplesFile, path: string, validBytes: number): Promise<IndexSink | null> {
    const temporary = `${path}.${process.pid}.tmp`;
    try {
      if (validBytes > 0) {
        await copyFile(path, temporary);
        await truncate(temporary, validBytes);
      }
      const sink = new IndexSink(path, temporary, openSync(temporary, validBytes > 0 ? 'a' : 'w'), validBytes);
      if (validBytes === 0) sink.#put(encodeIndexHeader(file.dataAt, file.crcOf(0, file.dataAt), crc32));
      return sink;
    } catch {
      rmSync(temporary, { force: true });
      return null;
    }
  }

  /** Appends an entry with its level-0 nodes; returns where the nodes lie, -1 when they could not be written. */
  add(entry: BatchEntry, nodes: Nodes): number {
    const nodesAt = this.#at + ENTRY_BYTES;
    this.#put(encodeEntry(entry, nodes, 0, nodes.length, crc32));
    return this.#failed ? -1 : nodesAt;
  }

  /** Adds the summary and takes the old index's place; false when that failed. Not in one go: for three days there are 45 MB to be written and synced. */
  async seal(index: TraceIndex): Promise<boolean> {
    try {
      for (const part of encodeSummary(index.table, index.levels, index.samplesEnd, this.#at, crc32)) {
        for (let done = 0; done < part.length && !this.#failed; ) done += (await promisify(write)(this.#fd, part, done)).bytesWritten;
      }
      if (this.#failed) throw new Error(words.indexNotWritten);
      await promisify(fsync)(this.#fd);
      closeSync(this.#fd);
      await rename(this.#temporary, this.#path);
      return true;
    } catch {
      this.#failed = true;
      this.abandon();
      return false;
    }
  }

  abandon(): void {
    try {
      closeSync(this.#fd);
    } catch {
      // closed already
    }
    rmSync(this.#temporary, { force: true });
  }

  #put(bytes: Uint8Array): void {
    if (this.#failed) return;
    try {
      for (let done = 0; done < bytes.length; ) done += writeSync(this.#fd, bytes, done);
      this.#at += bytes.length;
    } catch {
      this.#failed = true;
    }
  }
}
