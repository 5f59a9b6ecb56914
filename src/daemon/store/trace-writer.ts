import { createHash } from 'node:crypto';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { crc32 } from 'node:zlib';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../core/tracefile/arrow.ts';
import { gapsOfTable, rateOfTable, type BatchEntry } from '../../core/tracefile/batch-table.ts';
import { encodeEntry, encodeIndexHeader, ENTRY_BYTES, INDEX_HEADER_BYTES } from '../../core/tracefile/index-file.ts';
import { addBlockNodes, Nodes } from '../../core/tracefile/levels.ts';
import { markLine } from '../../core/tracefile/marks.ts';
import { Thinner, thinningText, type ThinningPolicy } from '../../core/tracefile/thinning.ts';
import type { EndCause, TraceRecord } from '../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import { openAppend, type AppendFile } from './append-file.ts';
import { makeFolders } from './jobs.ts';
import { INDEX_FILE, MARKS_FILE, RECORD_FILE, SAMPLES_FILE, writeJson } from './record-file.ts';
import { PendingRows } from './pending-rows.ts';
import { SamplesFile } from './samples-file.ts';
import { explainError } from './store-error.ts';
import { loadIndex } from './trace-index.ts';

export interface WriterOptions {
  /** ends the capture after so many seconds of trace time */
  readonly stopAfterS?: number | null;
  /** ends the capture when samples.arrows has grown to so many bytes */
  readonly stopAfterBytes?: number | null;
  /** called once when the capture ends by itself: limit reached, disk full */
  readonly onEnd?: (end: CaptureEnd) => void;
  /** false: sync to the disk only at the end; for copies, which can be made again */
  readonly durable?: boolean;
  /** keep the full rate only around change (core/tracefile/thinning.ts); null or absent: every sample */
  readonly thinning?: ThinningPolicy | null;
  readonly openFile?: (path: string) => Promise<AppendFile>;
}

export interface CaptureEnd {
  readonly cause: EndCause;
  /** one sentence for the page */
  readonly text: string;
}

/** Time between two flushes. With the time a slow disk takes for one, no more than 1.5 s are lost when the power goes. */
const FLUSH_MS = 700;
/** Room kept on the disk while recording, so that a capture on a full disk can still write down how it ended. */
export const RESERVE_FILE = '.reserve';
const RESERVE_BYTES = 128 * 1024;

/**
 * Writes one capture folder. Samples are gathered and every 0.7 s appended to `samples.arrows` as whole record batches and synced to the disk, so a crash costs
 * the last moment and nothing else. `append` never waits and never throws: what goes wrong with the disk ends the capture with a text.
 */
export class TraceWriter {
  readonly folder: string;
  readonly record: TraceRecord;
  readonly #options: WriterOptions;
  readonly #samplesFile: AppendFile;
  readonly #marksFile: AppendFile;
  readonly #pending = new PendingRows();
  readonly #nodes = new Nodes();
  readonly #thinner: Thinner | null;
  readonly #hash = createHash('sha256');
  readonly #timer: NodeJS.Timeout;
  #indexFile: AppendFile | null;
  #indexAt = INDEX_HEADER_BYTES;
  #samples = 0;
  #bytes: number;
  #work: Promise<void> = Promise.resolve();
  #ended: CaptureEnd | null = null;
  #closing: Promise<TraceRecord> | null = null;
  #setClosed: () => void = () => undefined;
  /** resolves when the capture's files are closed, however it ended */
  readonly closed = new Promise<void>((resolve) => {
    this.#setClosed = resolve;
  });
  #firstS: number | null = null;
  #lastS = 0;

  private constructor(folder: string, record: TraceRecord, options: WriterOptions, samplesFile: AppendFile, marksFile: AppendFile, indexFile: AppendFile, schema: Uint8Array) {
    this.folder = folder;
    this.record = record;
    this.#options = options;
    this.#samplesFile = samplesFile;
    this.#thinner = options.thinning == null ? null : new Thinner(options.thinning, (block) => this.#take(block));
    if (options.thinning != null) record.thinning = { policy: thinningText(options.thinning), kept_full_rate: [] };
    this.#marksFile = marksFile;
    this.#indexFile = indexFile;
    this.#hash.update(schema);
    this.#bytes = schema.length;
    this.#timer = setInterval(() => void this.flush(), FLUSH_MS);
    this.#timer.unref();
  }

  /** Makes the folder (which must not exist, its parent may be made too) and the files in it. Throws StoreError. */
  static async create(folder: string, record: TraceRecord, options: WriterOptions = {}): Promise<TraceWriter> {
    const openFile = options.openFile ?? openAppend;
    try {
      await makeFolders(dirname(resolve(folder)));
      await mkdir(folder);
      await writeJson(join(folder, RECORD_FILE), record);
      await writeFile(join(folder, RESERVE_FILE), new Uint8Array(RESERVE_BYTES));
      const samplesFile = await openFile(join(folder, SAMPLES_FILE));
      const schema = arrowSchemaBytes(`${record.id} ${record.start}`);
      await samplesFile.append(schema);
      await samplesFile.sync();
      const indexFile = await openFile(join(folder, INDEX_FILE));
      await indexFile.append(encodeIndexHeader(schema.length, crc32(schema), crc32));
      return new TraceWriter(folder, record, options, samplesFile, await openFile(join(folder, MARKS_FILE)), indexFile, schema);
    } catch (error) {
      throw explainError(error, `record into ${folder}`);
    }
  }

  get samples(): number {
    return this.#samples + this.#pending.length;
  }

  /** of samples.arrows as written up to now */
  get bytes(): number {
    return this.#bytes;
  }

  get durationS(): number {
    return this.#firstS === null ? 0 : this.#lastS - this.#firstS;
  }

  /** not null once the capture has ended, for whatever reason */
  get ended(): CaptureEnd | null {
    return this.#ended;
  }

  /** Takes samples over; times are trace time and rise over all blocks. Ignored after the end. */
  append(block: SampleBlock): void {
    if (this.#ended !== null || block.timeS.length === 0) return;
    this.#firstS ??= block.timeS[0]!;
    this.#lastS = block.timeS[block.timeS.length - 1]!;
    if (this.#thinner === null) this.#take(block);
    else this.#thinner.add(block);
    const { stopAfterS, stopAfterBytes } = this.#options;
    if (stopAfterS != null && this.durationS >= stopAfterS) this.#endBySelf({ cause: 'duration', text: `Stopped after ${Math.round(stopAfterS)} s, as set.` });
    else if (stopAfterBytes != null && this.#bytes >= stopAfterBytes) this.#endBySelf({ cause: 'size', text: 'Stopped at the size that was set.' });
  }

  #take(block: SampleBlock): void {
    if (this.#pending.add(block)) void this.flush();
  }

  /** Notes a stretch in which nothing was received. Samples before and after go into different batches. */
  gap(_gap: Gap): void {
    this.#thinner?.flush();
    this.#pending.breakHere();
  }

  /** Appends a mark and syncs it before it returns. Throws StoreError when the disk refuses. */
  async mark(mark: Mark): Promise<void> {
    const done = this.#work.then(async () => {
      await this.#marksFile.append(new TextEncoder().encode(markLine(mark)));
      await this.#marksFile.sync();
    });
    this.#work = done.catch(() => undefined);
    await done.catch((error: unknown) => {
      throw explainError(error, 'write the mark');
    });
  }

  /** Writes and syncs what has been gathered; resolves when it is on the disk, or the capture has ended because it cannot be. */
  flush(): Promise<void> {
    this.#work = this.#work.then(() => this.#write());
    return this.#work;
  }

  /** Ends the capture and closes its files. Calling it again returns the same answer. */
  finish(cause: EndCause = 'stopped', text = ''): Promise<TraceRecord> {
    this.#ended ??= { cause, text };
    this.#closing ??= this.#close().finally(() => this.#setClosed());
    return this.#closing;
  }

  async #write(): Promise<void> {
    const blocks = this.#pending.take();
    if (blocks.length === 0) return;
    try {
      for (const { block, gapBefore } of blocks) {
        const bytes = arrowBatchBytes(block);
        await this.#samplesFile.append(bytes);
        this.#hash.update(bytes);
        const entry: BatchEntry = {
          offset: this.#bytes,
          bytes: bytes.length,
          crc32: crc32(bytes),
          fromRow: 0,
          rows: block.timeS.length,
          firstS: block.timeS[0]!,
          lastS: block.timeS[block.timeS.length - 1]!,
          hasVoltage: block.voltageV !== null,
          gapBefore,
          nodesAt: this.#indexAt + ENTRY_BYTES,
        };
        this.#samples += entry.rows;
        this.#bytes += bytes.length;
        await this.#index(entry, block);
      }
      if (this.#options.durable !== false) await this.#samplesFile.sync();
    } catch (error) {
      const why = explainError(error, `write to ${this.folder}`);
      this.#endBySelf({ cause: why.code === 'disk-full' ? 'disk-full' : 'disk-error', text: `Recording has ended. ${why.message} What was written until then is kept.` });
    }
  }

  /** The index is only a help: when it cannot be written the capture goes on, and the index is made anew when the trace is opened. */
  async #index(entry: BatchEntry, block: SampleBlock): Promise<void> {
    if (this.#indexFile === null) return;
    this.#nodes.length = 0;
    addBlockNodes(block, this.#nodes);
    const bytes = encodeEntry(entry, this.#nodes, 0, this.#nodes.length, crc32);
    try {
      await this.#indexFile.append(bytes);
      this.#indexAt += bytes.length;
    } catch {
      await this.#indexFile.close().catch(() => undefined);
      this.#indexFile = null;
    }
  }

  #endBySelf(end: CaptureEnd): void {
    if (this.#ended !== null) return;
    this.#ended = end;
    this.#options.onEnd?.(end);
    void this.finish(end.cause, end.text).catch(() => undefined);
  }

  async #close(): Promise<TraceRecord> {
    clearInterval(this.#timer);
    const { record } = this;
    this.#thinner?.flush();
    await this.#work;
    const diskGone = (): boolean => this.#ended?.cause === 'disk-full' || this.#ended?.cause === 'disk-error';
    if (!diskGone()) await this.#write();
    await rm(join(this.folder, RESERVE_FILE), { force: true }).catch(() => undefined);
    try {
      await this.#samplesFile.truncate(this.#bytes);
      await this.#samplesFile.append(arrowStreamEnd());
      this.#hash.update(arrowStreamEnd());
      record.sha256 = this.#hash.digest('hex');
      await this.#samplesFile.sync();
    } catch {
      record.sha256 = null;
    }
    await this.#samplesFile.close().catch(() => undefined);
    await this.#marksFile.close().catch(() => undefined);
    await this.#indexFile?.close().catch(() => undefined);
    await this.#describe(record).catch(() => undefined);
    record.end = 'ended';
    record.end_cause = this.#ended?.cause ?? 'stopped';
    try {
      await writeJson(join(this.folder, RECORD_FILE), record);
    } catch (error) {
      throw explainError(error, `write ${RECORD_FILE}`);
    }
    return record;
  }

  /** What only the whole capture tells: counts, rate, gaps. The index gets its summary on the way. */
  async #describe(record: TraceRecord): Promise<void> {
    if (record.thinning !== null && this.#thinner !== null) record.thinning.kept_full_rate = this.#thinner.keptFullRate.map(({ startS, endS }) => ({ start_s: startS, end_s: endS }));
    record.samples = this.#samples;
    record.duration_s = this.durationS;
    const file = SamplesFile.open(join(this.folder, SAMPLES_FILE));
    try {
      const { table } = await loadIndex(file, join(this.folder, INDEX_FILE), { mayWrite: true });
      record.samples = table.samples;
      record.duration_s = table.length === 0 ? 0 : table.lastS[table.length - 1]! - table.firstS[0]!;
      record.rate_hz = rateOfTable(table);
      record.gaps = gapsOfTable(table).map((gap) => ({ start_s: gap.startS, end_s: gap.endS }));
      const withVoltage = table.length > 0 && (table.flags[0]! & 1) !== 0;
      if (withVoltage && !record.channels.some((channel) => channel.name === 'voltage')) record.channels.push({ name: 'voltage', unit: 'V', range: null, resolution: null });
    } finally {
      file.close();
    }
  }
}
