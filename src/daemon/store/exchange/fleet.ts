import { createHash } from 'node:crypto';
import { existsSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { basename, dirname, join, relative, resolve } from 'node:path';
import type { JobRecord } from '../../../core/tracefile/record.ts';
import type { Problem } from '../../../core/problems.ts';
import { exportParquet, factsOf } from './export-trace.ts';
import { FleetList } from './fleet-list.ts';
import { fleetFileName, partition, shortUid } from './fleet-names.ts';
import { Jobs } from '../records/jobs.ts';
import { makeFolders } from '../files/make-folders.ts';
import { UNFILED } from '../files/names.ts';
import { checkCancelled, explainError, StoreError } from '../files/store-error.ts';
import { digestOf } from '../samples/trace-digest.ts';
import { openTrace } from '../samples/reading/trace-reader.ts';
import type { ConvertSummary, FileCounts } from './convert-summary.ts';
import type { Steps } from '../samples/types.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.fleet;

/** What keeps one file from being written keeps all: the run ends. */
class CannotWrite extends Error {
  readonly why: StoreError;

  constructor(out: string, error: unknown) {
    super();
    this.why = explainError(error, language.daemon.store.convert.write(out));
  }
}

/** Files between two savings of the list: a run that is broken off repeats no more than these. */
const SAVE_EVERY = 50;

/** Whether `path` is a data folder (it holds `jobs/`) or the folder of one job. */
export function fleetKind(path: string): 'data' | 'job' | null {
  if (existsSync(join(path, 'jobs')) && !existsSync(join(path, 'trace.json'))) return 'data';
  return existsSync(join(path, 'job.json')) ? 'job' : null;
}

/**
 * Writes every trace of a data folder, or of one job, as Parquet under `out/depot=…/vehicle=…/date=…/`, the layout that DuckDB, Spark and Trino read as one table from a disk or an object store. The job's
 * and the trace's facts are columns of every row. A recording is known by its digest, whatever it is called: one that is there already with the same facts is left, one whose facts have changed is written
 * anew, one that was deleted or renamed leaves nothing behind; so the same call can run every night. Throws StoreError; a trace that cannot be read is refused with a problem and the others go on.
 */
export async function exportFleet(path: string, out: string, steps: Steps): Promise<ConvertSummary> {
  const kind = fleetKind(path);
  if (kind === null) throw new StoreError('wrong-format', words.isNeitherAData(path));
  const jobs = new Jobs(kind === 'data' ? join(path, 'jobs') : dirname(resolve(path)));
  const ids = kind === 'data' ? [...(await jobs.ids()), ...((await readdir(jobs.folder)).includes(UNFILED) ? [UNFILED] : [])] : [basename(resolve(path))];
  const traces: { job: JobRecord; traceId: string }[] = [];
  for (const jobId of ids) {
    const job = await jobs.read(jobId);
    for (const traceId of await jobs.traceIds(jobId)) traces.push({ job, traceId });
  }
  const run = new FleetRun(out, await FleetList.open(out, dirname(jobs.folder)));
  try {
    for (const [index, { job, traceId }] of traces.entries()) {
      checkCancelled(steps.signal);
      const progress = (share: number): void => steps.progress?.((index + share) / traces.length);
      await run.add(join(jobs.path(job.id), traceId), traceId, job, { ...steps, progress });
    }
  } catch (error) {
    await run.save();
    throw error;
  }
  return run.finish(kind === 'data' ? null : ids[0]!);
}

class FleetRun {
  readonly #out: string;
  readonly #list: FleetList;
  readonly #seen = new Set<string>();
  /** in the export now: only what one of them is a copy of can be passed over */
  readonly #there = new Set<string>();
  readonly #problems: Problem[] = [];
  #unusable = 0;
  readonly #files: FileCounts = { written: 0, skipped: 0, replaced: 0, refused: 0, removed: 0 };
  #samples = 0;
  #unsaved = 0;

  constructor(out: string, list: FleetList) {
    this.#out = out;
    this.#list = list;
  }

  async add(folder: string, traceId: string, job: JobRecord, steps: Steps): Promise<void> {
    try {
      await this.#export(folder, traceId, job, steps);
    } catch (error) {
      if (error instanceof CannotWrite) throw error.why;
      if (error instanceof StoreError && ['cancelled', 'disk-full', 'read-only', 'disk-error'].includes(error.code)) throw error;
      if (!(error instanceof StoreError && error.code === 'running')) this.#unusable++;
      this.#files.refused++;
      this.#problems.push({ code: 'wrong-format', text: words.isLeftOut(job.id, traceId, error instanceof Error ? error.message : String(error)) });
    }
  }

  /** Files of traces that are gone are taken away; of `jobId` alone where only that job was exported. */
  async finish(jobId: string | null): Promise<ConvertSummary> {
    // a trace that could not be read now may be one of those: then all stay until it can
    if (this.#files.refused === 0) {
      for (const [uid, { file, job }] of this.#list.own) {
        if (this.#seen.has(uid) || (jobId !== null && job !== jobId)) continue;
        await this.#list.remove(uid, file);
        this.#files.removed++;
      }
    }
    await this.save();
    return { samples: this.#samples, problems: this.#problems, files: this.#files, ...(this.#unusable > 0 ? { unusable: this.#unusable } : {}) };
  }

  async save(): Promise<void> {
    this.#unsaved = 0;
    if (this.#list.own.size > 0 || this.#files.removed > 0) await this.#list.save();
  }

  async #export(folder: string, traceId: string, job: JobRecord, steps: Steps): Promise<void> {
    const reader = await openTrace(folder, { ...steps, asRecorded: true });
    try {
      if (reader.record.end === 'running') throw new StoreError('running', words.itIsStillBeing);
      if (reader.samples === 0) throw new StoreError('no-samples', words.itHoldsNoSample);
      // older recordings have no identity yet: it is made of what they hold
      const whole = reader.record.trace_uid ?? (await digestOf(reader.blocks(), reader.record.start));
      const uid = shortUid(whole);
      const facts = { ...factsOf(reader, job), trace_uid: whole };
      const isCopy = this.#there.has(uid);
      this.#seen.add(uid);
      const target = join(`depot=${partition(job.depot)}`, `vehicle=${partition(job.vehicle)}`, `date=${partition(reader.record.start.slice(0, 10))}`);
      const file = join(target, fleetFileName(traceId, whole));
      const digest = createHash('sha256').update(JSON.stringify(facts)).digest('hex').slice(0, 16);
      const own = this.#list.own.get(uid);
      const there = this.#list.fileOf(uid);
      if (isCopy || (there !== null && (own === undefined || (own.file === file && own.facts === digest)))) {
        this.#there.add(uid);
        this.#files.skipped++;
        return;
      }
      try {
        await makeFolders(resolve(this.#out, target));
        await exportParquet(reader, join(this.#out, file), facts, steps, true);
      } catch (error) {
        // of what is read the reader says itself what is wrong
        throw error instanceof StoreError ? error : new CannotWrite(this.#out, error);
      }
      this.#there.add(uid);
      // written by a version whose names knew no identity
      const old = there ?? (existsSync(join(this.#out, target, `${traceId}.parquet`)) ? join(target, `${traceId}.parquet`) : null);
      if (old !== null && relative(old, file) !== '') await this.#list.remove(uid, old);
      this.#list.put(uid, { file, facts: digest, job: job.id });
      this.#files[old === null ? 'written' : 'replaced']++;
      this.#samples += reader.samples;
      if (++this.#unsaved >= SAVE_EVERY) await this.save();
    } finally {
      await reader.close();
    }
  }
}
