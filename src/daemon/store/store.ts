import { lstat, readdir, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import { emptyTraceRecord } from '../../core/tracefile/trace-json.ts';
import type { Mark } from '../../core/trace.ts';
import type { TraceRef } from '../../core/wire/api.ts';
import { checkOurs, takeDataFolder, type DataFolder } from './data-folder.ts';
import type { Jobs } from './records/jobs.ts';
import type { FolderLock } from './files/lock.ts';
import { oneAtATime } from './files/one-at-a-time.ts';
import { MarksFile } from './samples/marks/marks-file.ts';
import { checkName, timedName, UNFILED, withFreeName } from './files/names.ts';
import { MARKS_FILE, readMarksFile, readTraceRecord, RECORD_FILE, writeJson } from './files/record-file.ts';
import { changeMark } from './samples/marks/mark-changes.ts';
import { checkCancelled, explainError, StoreError } from './files/store-error.ts';
import { RunningTraces } from './running-traces.ts';
import { openTrace, type OpenOptions, type TraceReader } from './samples/reading/trace-reader.ts';
import { TraceWriter, type WriterOptions } from './samples/writing/trace-writer.ts';
import { importFile, importJob, type ImportPlace } from './exchange/import-files.ts';
import { jobFiles, traceFiles, zipFiles, type ZipOptions } from './exchange/zip.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.store.store;

interface StoreOptions {
  readonly software: string;
  readonly now?: () => Date;
  /** the data folder is no longer this store's: recording there must end */
  readonly onLost?: (text: string) => void;
}

interface StoredTrace {
  readonly jobId: string;
  readonly record: TraceRecord;
}

/** What a person may change of a trace afterwards. */
type TraceChanges = Partial<Pick<TraceRecord, 'title' | 'test' | 'actuation_options' | 'drain_options'>>;

/**
 * Jobs and traces on disk: `jobs/JOB/job.json`, `jobs/JOB/TRACE/…`, and `jobs/unfiled/TRACE/…`. One process at a time owns a data folder. Every name from
 * outside is checked before it becomes part of a path. All methods throw StoreError with a text for people.
 */
export class Store {
  readonly dataFolder: string;
  readonly jobs: Jobs;
  /** captures that a crash had cut and that were closed when the store opened */
  readonly recovered: readonly TraceRef[];
  readonly #options: StoreOptions;
  readonly #lock: FolderLock;
  readonly #running = new RunningTraces();

  private constructor(folder: DataFolder, options: StoreOptions) {
    this.dataFolder = folder.path;
    this.#options = options;
    this.jobs = folder.jobs;
    this.#lock = folder.lock;
    this.recovered = folder.recovered;
  }

  /** Takes the folder for this process until `close`: see takeDataFolder. */
  static async open(dataFolder: string, options: StoreOptions): Promise<Store> {
    return new Store(await takeDataFolder(dataFolder, (text) => options.onLost?.(text)), options);
  }

  async close(): Promise<void> {
    await this.#running.finishAll();
    await this.#lock.release();
  }

  /** Path of a trace's folder; throws StoreError `bad-name` or `not-found`. */
  async path({ jobId, traceId }: TraceRef): Promise<string> {
    const path = join(this.jobs.path(jobId), checkName(traceId, 'trace'));
    // not through links: they could lead out of the data folder
    const folders = await Promise.all([lstat(this.jobs.path(jobId)), lstat(path)]).catch(() => null);
    if (folders === null || !folders.every((found) => found.isDirectory())) throw new StoreError('not-found', words.thereIsNoTrace(traceId, jobId));
    return path;
  }

  /** All traces, newest first. */
  async traces(): Promise<StoredTrace[]> {
    const found: StoredTrace[] = [];
    for (const jobId of [...(await this.jobs.ids()), UNFILED]) found.push(...(await this.tracesOf(jobId)));
    return found.sort((a, b) => (a.record.id < b.record.id ? 1 : -1));
  }

  async tracesOf(jobId: string): Promise<StoredTrace[]> {
    const found: StoredTrace[] = [];
    for (const traceId of await this.jobs.traceIds(jobId)) {
      const running = this.#running.get({ jobId, traceId });
      if (running !== undefined) found.push({ jobId, record: { ...running.record, samples: running.samples, duration_s: running.durationS } });
      else found.push({ jobId, record: (await readTraceRecord(join(this.jobs.path(jobId), traceId, RECORD_FILE), traceId)).record });
    }
    return found;
  }

  async record(ref: TraceRef): Promise<TraceRecord> {
    return (await readTraceRecord(join(await this.path(ref), RECORD_FILE), ref.traceId)).record;
  }

  /** Begins a capture. `about` fills trace.json; id, start and software are set here. `start` is the clock time of trace time 0. */
  async startTrace(jobId: string | null, about: Partial<TraceRecord>, options: WriterOptions & { readonly start?: Date } = {}): Promise<{ ref: TraceRef; writer: TraceWriter }> {
    const job = jobId ?? UNFILED;
    await this.#checkOurs();
    await this.jobs.check(job);
    const start = options.start ?? this.#now();
    let writer: TraceWriter | null = null;
    const traceId = await withFreeName(timedName(start, about.title ?? ''), async (id) => {
      const record: TraceRecord = { ...emptyTraceRecord(id, start.toISOString(), this.#options.software), ...about, id };
      try {
        writer = await TraceWriter.create(join(this.jobs.path(job), id), record, { ...options, lost: this.#lock.lost, makeParents: false });
        return true;
      } catch (error) {
        if (error instanceof StoreError && error.code === 'exists') return false;
        throw error;
      }
    });
    const made = writer as unknown as TraceWriter;
    const ref = { jobId: job, traceId };
    this.#running.add(ref, made);
    return { ref, writer: made };
  }

  async openTrace(ref: TraceRef, options: OpenOptions = {}): Promise<TraceReader> {
    return openTrace(await this.path(ref), options);
  }

  async updateTrace(ref: TraceRef, changes: TraceChanges): Promise<TraceRecord> {
    await this.#checkOurs();
    const path = await this.path(ref);
    const running = this.#running.get(ref);
    if (running !== undefined) {
      Object.assign(running.record, changes);
      return running.record;
    }
    return oneAtATime(join(path, RECORD_FILE), async () => {
      const { record, known } = await readTraceRecord(join(path, RECORD_FILE), ref.traceId);
      if (!known) throw new StoreError('wrong-format', words.theTraceJsonOf);
      Object.assign(record, changes);
      await writeJson(join(path, RECORD_FILE), record).catch((error: unknown) => Promise.reject(explainError(error, words.writeTraceJson)));
      return record;
    });
  }

  /** Moves a trace to another job (null: to the unfiled ones); its id may get a number if the name is taken there. */
  async moveTrace(ref: TraceRef, jobId: string | null): Promise<TraceRef> {
    await this.#checkOurs();
    const from = await this.path(ref);
    this.#running.refuse(ref, 'move');
    const target = jobId ?? UNFILED;
    await this.jobs.check(target);
    if (target === ref.jobId) return ref;
    const folder = this.jobs.path(target);
    const traceId = await withFreeName(ref.traceId, async (name) => {
      if ((await readdir(folder)).includes(name)) return false;
      return rename(from, join(folder, name)).then(() => true, (error: unknown) => {
        const explained = explainError(error, words.moveTheTrace);
        // another trace may have taken the name since
        if (explained.code === 'exists') return false;
        throw explained;
      });
    });
    return { jobId: target, traceId };
  }

  async deleteTrace(ref: TraceRef): Promise<void> {
    await this.#checkOurs();
    const path = await this.path(ref);
    this.#running.refuse(ref, 'delete');
    await rm(path, { recursive: true }).catch((error: unknown) => Promise.reject(explainError(error, words.deleteTheTrace)));
  }

  /** Puts a job with all its traces aside (Jobs.remove); not while one of them is being recorded. */
  async removeJob(jobId: string): Promise<string> {
    this.#running.refuseJob(jobId);
    return this.jobs.remove(jobId);
  }

  /** Adds a mark to a trace, running or ended; on the disk when this returns. */
  async addMark(ref: TraceRef, mark: Mark): Promise<readonly Mark[]> {
    const path = join(await this.path(ref), MARKS_FILE);
    await this.#checkOurs();
    const running = this.#running.get(ref);
    try {
      if (running !== undefined) await running.mark(mark);
      else {
        await oneAtATime(path, async () => {
          const file = await MarksFile.open(path);
          await file.add(mark).finally(() => file.close());
        });
      }
    } catch (error) {
      throw explainError(error, words.writeTheMark);
    }
    return (await readMarksFile(path)).marks;
  }

  /** Moves, renames or (with `after` null) removes a mark of an ended trace. What it was stays in a file beside the marks. */
  async changeMark(ref: TraceRef, before: Mark, after: Mark | null): Promise<readonly Mark[]> {
    await this.#checkOurs();
    const path = await this.path(ref);
    this.#running.refuse(ref, 'marks');
    return oneAtATime(join(path, MARKS_FILE), () => changeMark(path, before, after));
  }

  /**
   * Takes in a `.csv`, `.arrows` or `.zip` file (a zip may hold several traces; that of a job makes the job, unless another one is named). `name` is what the
   * person called it.
   */
  async importFile(path: string, name: string, options: OpenOptions & { readonly jobId?: string | null } = {}): Promise<TraceRef[]> {
    const jobId = options.jobId ?? null;
    await this.#checkOurs();
    await this.jobs.check(jobId ?? UNFILED);
    return importFile(this.#place(), path, name, jobId, UNFILED, options);
  }

  /** Takes in a job that was handed over as a zip; it may hold no trace. */
  async importJob(path: string, name: string, options: OpenOptions = {}): Promise<{ readonly jobId: string; readonly refs: readonly TraceRef[] }> {
    await this.#checkOurs();
    return importJob(this.#place(), path, name, options);
  }

  #place(): ImportPlace {
    const { dataFolder, jobs } = this;
    return { dataFolder, jobs, software: this.#options.software, now: this.#now(), lost: this.#lock.lost };
  }

  /** The trace's folder as a zip, piece by piece. */
  async exportZip(ref: TraceRef, options: ZipOptions = {}): Promise<AsyncIterable<Uint8Array>> {
    checkCancelled(options.signal);
    return zipFiles(await traceFiles(await this.path(ref), ref.traceId), options);
  }

  /** A job with all its traces as a zip, to be handed over. */
  async exportJobZip(jobId: string, options: ZipOptions = {}): Promise<AsyncIterable<Uint8Array>> {
    await this.jobs.check(jobId);
    return zipFiles(await jobFiles(this.jobs.path(jobId), jobId), options);
  }

  /** Nothing is written into a folder that is no longer this process's: it may be an empty mount point, or another's. */
  #checkOurs(): Promise<void> {
    return checkOurs(this.#lock);
  }

  #now(): Date {
    return this.#options.now?.() ?? new Date();
  }
}
