import { mkdir, readdir, rename, rm } from 'node:fs/promises';
import { join } from 'node:path';
import { emptyTraceRecord } from '../../core/tracefile/trace-json.ts';
import type { TraceRef } from '../../core/wire/api.ts';
import { copyTrace } from './copy-trace.ts';
import type { Jobs } from './jobs.ts';
import { isSafeName, timedName, withFreeName } from './names.ts';
import { recoverTrace } from './recover.ts';
import { explainError } from './store-error.ts';
import { TAKEN_IN } from './types.ts';
import { openTrace, type OpenOptions } from './trace-reader.ts';
import { TraceWriter } from './trace-writer.ts';
import { unpackTraces } from './unzip.ts';

/** Folders in which files are taken in lie beside the jobs; what a crash leaves there is nothing whole, and goes at the next start. */
const WORK = '.import-';

export interface TakeInPlace {
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
export async function takeIn(place: TakeInPlace, path: string, name: string, jobId: string | null, elsewhere: string, options: OpenOptions): Promise<TraceRef[]> {
  const work = join(place.dataFolder, `${WORK}${process.pid}-${Date.now()}`);
  try {
    if (/\.zip$/i.test(name)) return await takeInZip(place, path, work, jobId, elsewhere, options);
    await mkdir(work);
    return [await takeInFile(place, path, name, work, jobId ?? elsewhere, options)];
  } catch (error) {
    throw explainError(error, `import ${name}`);
  } finally {
    await rm(work, { recursive: true, force: true }).catch(() => undefined);
  }
}

async function takeInZip(place: TakeInPlace, path: string, work: string, jobId: string | null, elsewhere: string, options: OpenOptions): Promise<TraceRef[]> {
  const { traces, job } = await unpackTraces(path, work, options);
  for (const { folder } of traces) await recoverTrace(folder);
  const target = jobId ?? (job === null ? elsewhere : (await place.jobs.adopt(job, place.now)).id);
  const refs: TraceRef[] = [];
  for (const { folder, id } of traces) refs.push(await putInPlace(place, folder, target, isSafeName(id) ? id : timedName(place.now, id)));
  return refs;
}

async function takeInFile(place: TakeInPlace, path: string, name: string, work: string, jobId: string, options: OpenOptions): Promise<TraceRef> {
  const reader = await openTrace(path, options);
  try {
    const id = timedName(place.now, name);
    const record = { ...emptyTraceRecord(id, place.now.toISOString(), place.software), title: name, channels: reader.record.channels };
    record.logger = { name: TAKEN_IN, serial: null, firmware: null, source: name };
    const folder = join(work, 'trace');
    const writer = await TraceWriter.create(folder, record, { durable: false, lost: place.lost });
    await copyTrace(reader, writer, options).finally(() => writer.finish('source-ended').catch(() => undefined));
    return await putInPlace(place, folder, jobId, id);
  } finally {
    await reader.close();
  }
}

async function putInPlace({ jobs }: TakeInPlace, folder: string, jobId: string, wanted: string): Promise<TraceRef> {
  const traceId = await withFreeName(wanted, async (free) => {
    if ((await readdir(jobs.path(jobId))).includes(free)) return false;
    await rename(folder, join(jobs.path(jobId), free));
    return true;
  });
  return { jobId, traceId };
}
