import { existsSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import type { JobRecord } from '../../core/tracefile/record.ts';
import type { Problem } from '../../core/problems.ts';
import { exportTrace, type ConvertSummary } from './convert.ts';
import { Jobs } from './jobs.ts';
import { makeFolders } from './make-folders.ts';
import { UNFILED } from './names.ts';
import type { ParquetFacts } from './parquet.ts';
import { checkCancelled, StoreError, type Progress } from './store-error.ts';
import { openTrace, type TraceReader } from './trace-reader.ts';

/** Value that Hive, Spark, Trino and DuckDB read as NULL in a partition's folder name. */
const NO_VALUE = '__HIVE_DEFAULT_PARTITION__';

/** Whether `path` is a data folder (it holds `jobs/`) or the folder of one job. */
export function fleetKind(path: string): 'data' | 'job' | null {
  if (existsSync(join(path, 'jobs')) && !existsSync(join(path, 'trace.json'))) return 'data';
  return existsSync(join(path, 'job.json')) ? 'job' : null;
}

/**
 * Writes every trace of a data folder, or of one job, as Parquet under `out/depot=…/vehicle=…/date=…/TRACE.parquet`, the layout that DuckDB, Spark and Trino read as
 * one table from a disk or an object store. The job's and the trace's facts are columns of every row. Traces that are there already are left as they
 * are, so the same call can run every night. Throws StoreError; a trace that cannot be read is a problem and the others go on.
 */
export async function exportFleet(path: string, out: string, steps: { progress?: Progress; signal?: AbortSignal }): Promise<ConvertSummary> {
  const kind = fleetKind(path);
  if (kind === null) throw new StoreError('wrong-format', `${path} is neither a data folder (with jobs/ in it) nor the folder of a job.`);
  const jobs = new Jobs(kind === 'data' ? join(path, 'jobs') : dirname(path));
  const ids = kind === 'data' ? [...(await jobs.ids()), ...((await readdir(jobs.folder)).includes(UNFILED) ? [UNFILED] : [])] : [basename(path)];
  const traces: { job: JobRecord; traceId: string }[] = [];
  for (const jobId of ids) {
    const job = await jobs.read(jobId);
    for (const traceId of await jobs.traceIds(jobId)) traces.push({ job, traceId });
  }
  const problems: Problem[] = [];
  let samples = 0;
  for (const [index, { job, traceId }] of traces.entries()) {
    checkCancelled(steps.signal);
    const progress = (share: number): void => steps.progress?.((index + share) / traces.length);
    try {
      samples += await exportOne(join(jobs.path(job.id), traceId), traceId, job, out, { ...steps, progress });
    } catch (error) {
      if (error instanceof StoreError && ['cancelled', 'disk-full', 'read-only', 'disk-error'].includes(error.code)) throw error;
      problems.push({ code: 'wrong-format', text: `${job.id}/${traceId} is left out: ${error instanceof Error ? error.message : String(error)}` });
    }
  }
  return { samples, problems };
}

async function exportOne(folder: string, traceId: string, job: JobRecord, out: string, steps: { progress?: Progress; signal?: AbortSignal }): Promise<number> {
  const reader = await openTrace(folder, steps);
  try {
    if (reader.record.end === 'running') throw new StoreError('running', 'it is still being recorded');
    if (reader.samples === 0) return 0;
    const target = join(out, `depot=${partition(job.depot)}`, `vehicle=${partition(job.vehicle)}`, `date=${partition(reader.record.start.slice(0, 10))}`);
    await makeFolders(target);
    const file = join(target, `${traceId}.parquet`);
    if (existsSync(file)) return 0;
    await exportTrace(reader, file, '.parquet', steps, factsOf(job, traceId, reader));
    return reader.samples;
  } finally {
    await reader.close();
  }
}

/** Columns beside the samples; depot, vehicle and date come from the folders' names. */
function factsOf(job: JobRecord, traceId: string, { record }: TraceReader): ParquetFacts {
  return {
    job: job.id,
    trace: traceId,
    start: record.start,
    title: record.title,
    test: record.test,
    circuit: job.circuit,
    complaint: job.complaint,
    fuse_rating_a: job.fuse_rating_a,
    logger: record.logger.serial ?? record.logger.name,
  };
}

/** A value as a folder's name: everything but letters, digits, dash, dot and underscore percent-encoded, as Hive does and the engines undo. */
function partition(value: string): string {
  if (value.trim() === '') return NO_VALUE;
  return encodeURIComponent(value.trim().slice(0, 60)).replaceAll(/[!'()*~]/g, (mark) => `%${mark.charCodeAt(0).toString(16).toUpperCase()}`).replace(/^\.+/, (dots) => '%2E'.repeat(dots.length));
}
