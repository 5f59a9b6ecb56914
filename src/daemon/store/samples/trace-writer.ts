import { createHash } from 'node:crypto';
import { mkdir, rm, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { crc32 } from 'node:zlib';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../../core/tracefile/arrow/arrow.ts';
import { gapsOfTable } from '../../../core/tracefile/arrow/batch-table.ts';
import { longest } from '../../../core/tracefile/gap-list.ts';
import { Thinner, thinningText, type ThinningPolicy } from '../../../core/tracefile/thinning.ts';
import type { EndCause, TraceRecord } from '../../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../../../core/trace.ts';
import { openAppend, TAKEN_OVER, type AppendFile } from '../files/append-file.ts';
import { appendBatches } from './append-batches.ts';
import { factsOfTable, writeGapsFile } from './describe-samples.ts';
import { IndexAppend, type IndexedBatch } from './index/append.ts';
import { makeFolders } from '../files/make-folders.ts';
import { MarksFile } from './marks-file.ts';
import { INDEX_FILE, MARKS_FILE, RECORD_FILE, RESERVE_FILE, SAMPLES_FILE, writeJson } from '../files/record-file.ts';
import { PendingRows, type PendingBlock } from './pending-rows.ts';
import { SamplesFile } from './samples-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { TraceDigest } from './trace-digest.ts';
import { loadIndex } from './index/trace-index.ts';
import { en } from '../../../core/present/en/index.ts';

const words = en.daemon.store.traceWriter;

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
  /** asked before anything is written: a sentence once the folder is no longer this process's; then the capture ends and touches nothing more */
  readonly lost?: () => Promise<string | null>;
  /** false: the folder above must be there already */
  readonly makeParents?: boolean;
}

export interface CaptureEnd {
  readonly cause: EndCause;
  /** one sentence for the page */
  readonly text: string;
}

/** Time between two flushes. With the time a slow disk takes for one, no more than 1.5 s are lost when the power goes. */
const FLUSH_MS = 700;
/** Batches of one write at most: 1 MB. */
const GROUP_BATCHES = 8;
/** Room kept on the disk while recording, so that a capture on a full disk can still write down how it ended. */
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
  readonly #marks: MarksFile;
  readonly #index: IndexAppend;
  readonly #pending = new PendingRows();
  readonly #thinner: Thinner | null;
  readonly #hash = createHash('sha256');
  readonly #digest = new TraceDigest();
  readonly #timer: NodeJS.Timeout;
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
  #takenOver = false;
  #firstS: number | null = null;
  #lastS = 0;

  private constructor(folder: string, record: TraceRecord, options: WriterOptions, files: { samples: AppendFile; marks: MarksFile; index: IndexAppend }, schema: Uint8Array) {
    this.folder = folder;
    this.record = record;
    this.#options = options;
    this.#samplesFile = files.samples;
    this.#marks = files.marks;
    this.#index = files.index;
    this.#thinner = options.thinning == null ? null : new Thinner(options.thinning, (block) => this.#take(block));
    if (options.thinning != null) record.thinning = { policy: thinningText(options.thinning), kept_full_rate: [] };
    this.#hash.update(schema);
    this.#bytes = schema.length;
    this.#timer = setInterval(() => void this.flush(), FLUSH_MS);
    this.#timer.unref();
  }

  /** Makes the folder (which must not exist, its parent may be made too) and the files in it. Throws StoreError. */
  static async create(folder: string, record: TraceRecord, options: WriterOptions = {}): Promise<TraceWriter> {
    const openFile = options.openFile ?? openAppend;
    try {
      if (options.makeParents !== false) await makeFolders(dirname(resolve(folder)));
      await mkdir(folder);
      await writeJson(join(folder, RECORD_FILE), record);
      await writeFile(join(folder, RESERVE_FILE), new Uint8Array(RESERVE_BYTES));
      const samples = await openFile(join(folder, SAMPLES_FILE));
      const schema = arrowSchemaBytes(`${record.id} ${record.start}`);
      await samples.append(schema);
      await samples.sync();
      const index = await IndexAppend.begin(await openFile(join(folder, INDEX_FILE)), schema);
      return new TraceWriter(folder, record, options, { samples, index, marks: await MarksFile.open(join(folder, MARKS_FILE), openFile) }, schema);
    } catch (error) {
      throw explainError(error, words.recordInto(folder));
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
    if (stopAfterS != null && this.durationS >= stopAfterS) this.#endBySelf({ cause: 'duration', text: words.stoppedAfterSAsSet(Math.round(stopAfterS)) });
    else if (stopAfterBytes != null && this.#bytes >= stopAfterBytes) this.#endBySelf({ cause: 'size', text: words.stoppedAtTheSize });
  }

  #take(block: SampleBlock): void {
    if (this.#pending.add(block)) void this.flush();
  }

  /** Notes a stretch in which nothing was received. Samples before and after go into different batches. */
  gap(_gap: Gap): void {
    this.#thinner?.flush();
    this.#pending.breakHere();
  }

  /** Appends a mark and syncs it before it returns. Throws StoreError when the disk refuses, or there are as many as a trace can have. */
  async mark(mark: Mark): Promise<void> {
    const done = this.#work.then(async () => {
      await this.#checkOurs();
      await this.#marks.add(mark);
    });
    this.#work = done.catch(() => undefined);
    await done;
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
      await this.#checkOurs();
      for (let from = 0; from < blocks.length; from += GROUP_BATCHES) await this.#writeGroup(blocks.slice(from, from + GROUP_BATCHES));
      if (this.#options.durable !== false) await this.#samplesFile.sync();
    } catch (error) {
      this.#takenOver ||= (error as NodeJS.ErrnoException).code === TAKEN_OVER;
      this.#endBySelf(endOf(error, this.folder));
    }
  }

  async #writeGroup(blocks: readonly PendingBlock[]): Promise<void> {
    const messages: Uint8Array[] = [];
    for (const { block } of blocks) {
      // a millisecond's work each: the reader of the logger has its turn between them
      if (messages.length > 0) await setImmediate();
      messages.push(arrowBatchBytes(block));
    }
    await appendBatches(this.#samplesFile, messages, this.#bytes, (from, to) => this.#written(blocks.slice(from, to), messages.slice(from, to)));
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
      batches.push({ entry: { offset: this.#bytes, bytes: bytes.length, crc32: crc32(bytes), fromRow: 0, rows, firstS: block.timeS[0]!, lastS: block.timeS[rows - 1]!, hasVoltage: block.voltageV !== null, gapBefore }, block });
      this.#samples += rows;
      this.#bytes += bytes.length;
    }
    await this.#index.add(batches);
  }

  /** Throws StoreError `lock-lost`, and ends the capture, when the folder is no longer this process's. */
  async #checkOurs(): Promise<void> {
    const text = (await this.#options.lost?.()) ?? null;
    if (text === null) return;
    const error = new StoreError('lock-lost', text);
    this.#endBySelf(endOf(error, this.folder));
    throw error;
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
    const cannotWrite = (): boolean => ['disk-full', 'disk-error', 'lock-lost'].includes(this.#ended?.cause ?? '');
    if (!cannotWrite()) await this.#write();
    const lost = this.#takenOver || (this.#ended?.cause === 'lock-lost' && ((await this.#options.lost?.()) ?? null) !== null);
    if (!lost) await this.#sealSamples();
    await this.#samplesFile.close().catch(() => undefined);
    await this.#marks.close().catch(() => undefined);
    await this.#index.close();
    record.samples = this.#samples;
    record.duration_s = this.durationS;
    record.end = 'ended';
    record.end_cause = this.#ended?.cause ?? 'stopped';
    // whoever has the folder now closes the trace; two would spoil each other's work
    if (lost) return record;
    await this.#describe(record).catch(() => undefined);
    try {
      await writeJson(join(this.folder, RECORD_FILE), record);
    } catch (error) {
      throw explainError(error, words.write(RECORD_FILE));
    }
    return record;
  }

  async #sealSamples(): Promise<void> {
    const { record } = this;
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
  }

  /** What only the whole capture tells: counts, rate, gaps, identity. The index gets its summary on the way. */
  async #describe(record: TraceRecord): Promise<void> {
    record.trace_uid = this.#digest.uid(record.start);
    if (record.thinning !== null && this.#thinner !== null) record.thinning.kept_full_rate = longest(this.#thinner.keptFullRate).map(({ startS, endS }) => ({ start_s: startS, end_s: endS }));
    const file = SamplesFile.open(join(this.folder, SAMPLES_FILE));
    try {
      const { table } = await loadIndex(file, join(this.folder, INDEX_FILE), { mayWrite: true });
      const gaps = gapsOfTable(table);
      Object.assign(record, factsOfTable(table, gaps));
      await writeGapsFile(this.folder, gaps);
      const withVoltage = table.length > 0 && (table.flags[0]! & 1) !== 0;
      if (withVoltage && !record.channels.some((channel) => channel.name === 'voltage')) record.channels.push({ name: 'voltage', unit: 'V', range: null, resolution: null });
    } finally {
      file.close();
    }
  }
}

/** How a capture ends that the disk, or another program, has stopped. */
function endOf(error: unknown, folder: string): CaptureEnd {
  const taken = (error as NodeJS.ErrnoException).code === TAKEN_OVER;
  const why = taken ? new StoreError('lock-lost', words.anotherProgramHasWrittenInto(folder)) : explainError(error, words.writeTo(folder));
  const cause = why.code === 'lock-lost' || why.code === 'disk-full' ? why.code : 'disk-error';
  return { cause, text: words.recordingHasEndedWhat(why.message) };
}
