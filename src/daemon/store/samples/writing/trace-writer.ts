import { mkdir, rm, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { longest } from '../../../../core/tracefile/gap-list.ts';
import type { EndCause, TraceRecord } from '../../../../core/tracefile/record.ts';
import { Thinner, thinningText, type ThinningPolicy } from '../../../../core/tracefile/thinning.ts';
import type { Gap, Mark, SampleBlock } from '../../../../core/trace.ts';
import { openAppend, type AppendFile } from '../../files/append-file.ts';
import { makeFolders } from '../../files/make-folders.ts';
import { MARKS_FILE, RECORD_FILE, RESERVE_FILE, writeJson } from '../../files/record-file.ts';
import { explainError, StoreError } from '../../files/store-error.ts';
import { endBy, isTakenOver, mayStillWrite, type CaptureEnd } from './capture-end.ts';
import { describeCapture } from './describe-capture.ts';
import { MarksFile } from '../marks/marks-file.ts';
import { PendingRows } from './pending-rows.ts';
import { SamplesAppend } from './samples-append.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.traceWriter;

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

/** Time between two flushes. With the time a slow disk takes for one, no more than 1.5 s are lost when the power goes. */
const FLUSH_MS = 700;
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
  readonly #samples: SamplesAppend;
  readonly #marks: MarksFile;
  readonly #pending = new PendingRows();
  readonly #thinner: Thinner | null;
  readonly #timer: NodeJS.Timeout;
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

  private constructor(folder: string, record: TraceRecord, options: WriterOptions, samples: SamplesAppend, marks: MarksFile) {
    this.folder = folder;
    this.record = record;
    this.#options = options;
    this.#samples = samples;
    this.#marks = marks;
    this.#thinner = options.thinning == null ? null : new Thinner(options.thinning, (block) => this.#gather(block));
    if (options.thinning != null) record.thinning = { policy: thinningText(options.thinning), kept_full_rate: [] };
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
      const samples = await SamplesAppend.create(folder, `${record.id} ${record.start}`, openFile);
      return new TraceWriter(folder, record, options, samples, await MarksFile.open(join(folder, MARKS_FILE), openFile));
    } catch (error) {
      throw explainError(error, words.recordInto(folder));
    }
  }

  get samples(): number {
    return this.#samples.samples + this.#pending.length;
  }

  /** of samples.arrows as written up to now */
  get bytes(): number {
    return this.#samples.bytes;
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
    if (this.#thinner === null) this.#gather(block);
    else this.#thinner.add(block);
    const { stopAfterS, stopAfterBytes } = this.#options;
    if (stopAfterS != null && this.durationS >= stopAfterS) this.#endBySelf({ cause: 'duration', text: words.stoppedAfterSAsSet(Math.round(stopAfterS)) });
    else if (stopAfterBytes != null && this.bytes >= stopAfterBytes) this.#endBySelf({ cause: 'size', text: words.stoppedAtTheSize });
  }

  #gather(block: SampleBlock): void {
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
      await this.#samples.write(blocks);
      if (this.#options.durable !== false) await this.#samples.sync();
    } catch (error) {
      this.#takenOver ||= isTakenOver(error);
      this.#endBySelf(endBy(error, this.folder));
    }
  }

  /** Throws StoreError `lock-lost`, and ends the capture, when the folder is no longer this process's. */
  async #checkOurs(): Promise<void> {
    const text = (await this.#options.lost?.()) ?? null;
    if (text === null) return;
    const error = new StoreError('lock-lost', text);
    this.#endBySelf(endBy(error, this.folder));
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
    if (mayStillWrite(this.#ended)) await this.#write();
    const lost = this.#takenOver || (this.#ended?.cause === 'lock-lost' && ((await this.#options.lost?.()) ?? null) !== null);
    if (!lost) {
      await rm(join(this.folder, RESERVE_FILE), { force: true }).catch(() => undefined);
      record.sha256 = await this.#samples.seal();
    }
    await this.#samples.close();
    await this.#marks.close().catch(() => undefined);
    record.samples = this.#samples.samples;
    record.duration_s = this.durationS;
    record.end = 'ended';
    record.end_cause = this.#ended?.cause ?? 'stopped';
    // whoever has the folder now closes the trace; two would spoil each other's work
    if (lost) return record;
    record.trace_uid = this.#samples.uid(record.start);
    if (record.thinning !== null && this.#thinner !== null) record.thinning.kept_full_rate = longest(this.#thinner.keptFullRate).map(({ startS, endS }) => ({ start_s: startS, end_s: endS }));
    await describeCapture(this.folder, record).catch(() => undefined);
    try {
      await writeJson(join(this.folder, RECORD_FILE), record);
    } catch (error) {
      throw explainError(error, words.write(RECORD_FILE));
    }
    return record;
  }
}
