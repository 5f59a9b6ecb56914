import { mkdtemp, readdir, rename, rm } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { emptyTraceRecord } from '../../../core/tracefile/trace-json.ts';
import type { TraceRef } from '../../../core/wire/api.ts';
import { copyTrace } from './copy-trace.ts';
import { isPhoto } from '../records/job-photos.ts';
import type { Jobs } from '../records/jobs.ts';
import { inTurn } from '../files/progress.ts';
import { isSafeName, timedName, withFreeName } from '../files/names.ts';
import { recoverTrace } from '../samples/mending/recover.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { TAKEN_IN } from '../samples/types.ts';
import { openTrace, type OpenOptions } from '../samples/reading/trace-reader.ts';
import { TraceWriter } from '../samples/writing/trace-writer.ts';
import { unpackTraces, type UnpackedTrace } from './unzip.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.importFiles;

/** Folders in which files are taken in lie beside the jobs; what a crash leaves there is nothing whole, and goes at the next start. */
const WORK = '.import-';

export interface ImportPlace {
  readonly dataFolder: string;
  readonly jobs: Jobs;
  readonly software: string;
  readonly now: Date;
  /** asked before anything is written: null while the data folder is this process's */
  readonly lost: () => Promise<string | null>;
}

export async function removeUnfinished(dataFolder: string): Promise<void> {
  for (const name of await readdir(dataFolder)) if (name.startsWith(WORK)) await rm(join(dataFolder, name), { recursive: true, force: true });
}

/**
 * Takes in a `.csv`, `.arrows` or `.zip` file: each trace is made whole in a folder of its own first and then put in its place by one rename, so that an import that is broken off leaves nothing
 * behind. `jobId` null: the traces of a zipped job make that job, others go to `elsewhere`.
 */
export async function importFile(place: ImportPlace, path: string, name: string, jobId: string | null, elsewhere: string, options: OpenOptions): Promise<TraceRef[]> {
  const work = await workFolder(place, words.import(name));
  try {
    if (/\.zip$/i.test(name)) return await importZip(place, path, work, jobId, elsewhere, options);
    return [await importTrace(place, path, name, work, jobId ?? elsewhere, options)];
  } catch (error) {
    throw explainError(error, words.import(name));
  } finally {
    await rm(work, { recursive: true, force: true }).catch(() => undefined);
  }
}

/** A job that was handed over as a zip, with its traces, if it has any, and its photos. Throws StoreError. */
export async function importJob(place: ImportPlace, path: string, name: string, options: OpenOptions): Promise<{ readonly jobId: string; readonly refs: readonly TraceRef[] }> {
  const work = await workFolder(place, words.importOne(name));
  try {
    const unpacked = await unpackTraces(path, work, { ...options, jobAlone: true });
    if (unpacked.job === null) throw new StoreError('wrong-format', words.theZipHoldsNo);
    const jobId = await adopt(place, unpacked.job, unpacked.photos);
    return { jobId, refs: await putAll(place, unpacked.traces, jobId) };
  } catch (error) {
    throw explainError(error, words.importOne(name));
  } finally {
    await rm(work, { recursive: true, force: true }).catch(() => undefined);
  }
}

/** One for each import: two that begin at the same moment must not clear away each other's. */
function workFolder({ dataFolder }: ImportPlace, doing: string): Promise<string> {
  return mkdtemp(join(dataFolder, WORK)).catch((error: unknown) => Promise.reject(explainError(error, doing)));
}

async function importZip(place: ImportPlace, path: string, work: string, jobId: string | null, elsewhere: string, options: OpenOptions): Promise<TraceRef[]> {
  const { traces, job, photos } = await unpackTraces(path, work, options);
  return putAll(place, traces, jobId ?? (job === null ? elsewhere : await adopt(place, job, photos)));
}

/** The job of a zip, with those of its photos that are photos. */
async function adopt(place: ImportPlace, job: string, photos: readonly string[]): Promise<string> {
  const { id } = await place.jobs.adopt(job, place.now);
  for (const photo of photos) if (await isPhoto(photo)) await rename(photo, join(place.jobs.path(id), basename(photo)));
  return id;
}

async function putAll(place: ImportPlace, traces: readonly UnpackedTrace[], target: string): Promise<TraceRef[]> {
  for (const { folder } of traces) await recoverTrace(folder);
  const refs: TraceRef[] = [];
  for (const { folder, id } of traces) refs.push(await putInPlace(place, folder, target, isSafeName(id) ? id : timedName(place.now, id)));
  return refs;
}

async function importTrace(place: ImportPlace, path: string, name: string, work: string, jobId: string, options: OpenOptions): Promise<TraceRef> {
  const next = inTurn(options.progress, 2);
  const reader = await openTrace(path, { ...options, progress: next() });
  try {
    const id = timedName(place.now, name);
    const record = { ...emptyTraceRecord(id, place.now.toISOString(), place.software), title: name, channels: reader.record.channels };
    record.logger = { name: TAKEN_IN, serial: null, firmware: null, source: name };
    const folder = join(work, 'trace');
    const writer = await TraceWriter.create(folder, record, { durable: false, lost: place.lost });
    await copyTrace(reader, writer, { ...options, progress: next() }).finally(() => writer.finish('source-ended').catch(() => undefined));
    return await putInPlace(place, folder, jobId, id);
  } finally {
    await reader.close();
  }
}

async function putInPlace({ jobs }: ImportPlace, folder: string, jobId: string, wanted: string): Promise<TraceRef> {
  const traceId = await withFreeName(wanted, async (free) => {
    if ((await readdir(jobs.path(jobId))).includes(free)) return false;
    // another import may have taken the name since
    return rename(folder, join(jobs.path(jobId), free)).then(() => true, (error: unknown) => (explainError(error, '').code === 'exists' ? false : Promise.reject(error)));
  });
  return { jobId, traceId };
}
