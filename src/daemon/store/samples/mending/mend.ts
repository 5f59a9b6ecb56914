import { rm, stat } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { lockFolder } from '../../files/lock.ts';
import { INDEX_FILE, readTraceRecord, RECORD_FILE } from '../../files/record-file.ts';
import { recoverTrace } from './recover.ts';
import { explainError, StoreError } from '../../files/store-error.ts';
import { indexIsWhole } from '../index/trace-index.ts';
import { openTrace } from '../reading/trace-reader.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.mend;

/**
 * Repairs of a trace folder what a start of the daemon would: a recording that was cut is closed with all that is whole, an index that is missing or damaged is made again. Takes the folder,
 * and the data folder it lies in, for itself meanwhile: throws StoreError `in-use` while somebody records there. Samples are never changed. Returns what was done, a sentence each.
 */
export async function mendTrace(path: string): Promise<string[]> {
  const folder = resolve(path);
  const found = await stat(folder).catch((error: unknown) => Promise.reject(explainError(error, words.open(path))));
  if (!found.isDirectory()) throw new StoreError('wrong-format', words.isASingleFile(path));
  const dataFolder = dataFolderOf(folder);
  const unlockData = dataFolder === null ? null : await lockFolder(dataFolder, () => undefined);
  try {
    const own = await lockFolder(folder, () => undefined);
    try {
      return await mend(folder);
    } finally {
      await own.release();
    }
  } finally {
    await unlockData?.release();
  }
}

async function mend(folder: string): Promise<string[]> {
  const done: string[] = [];
  const { record, known } = await readTraceRecord(join(folder, RECORD_FILE), '');
  if (known && record.end === 'running' && (await recoverTrace(folder))) done.push(words.theRecordingWasCut);
  const indexPath = join(folder, INDEX_FILE);
  if (indexFits(indexPath)) return done;
  await rm(indexPath, { force: true });
  const reader = await openTrace(folder, { asRecorded: true });
  await reader.close();
  if (indexFits(indexPath)) done.push(words.samplesIndexWasMissing);
  return done;
}

function indexFits(path: string): boolean {
  try {
    return indexIsWhole(path);
  } catch {
    return false;
  }
}

/** DATA of DATA/jobs/JOB/TRACE. */
function dataFolderOf(folder: string): string | null {
  const jobs = dirname(dirname(folder));
  return basename(jobs) === 'jobs' ? dirname(jobs) : null;
}
