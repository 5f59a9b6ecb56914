import { join, resolve } from 'node:path';
import envPaths from 'env-paths';
import { language } from '../../core/present/language.ts';
import type { TraceRef } from '../../core/wire/api.ts';
import { removeUnfinished } from './exchange/import-files.ts';
import { lockFolder, type FolderLock } from './files/lock.ts';
import { makeFolders } from './files/make-folders.ts';
import { UNFILED } from './files/names.ts';
import { explainError, StoreError } from './files/store-error.ts';
import { Jobs } from './records/jobs.ts';
import { recoverTrace } from './samples/mending/recover.ts';

const words = language.daemon.store.store;

export interface DataFolder {
  readonly path: string;
  readonly jobs: Jobs;
  readonly lock: FolderLock;
  /** captures that a crash had cut and that were closed just now */
  readonly recovered: readonly TraceRef[];
}

/** Where captures lie when nobody says otherwise: the platform's data directory. */
export function defaultDataFolder(): string {
  return envPaths('amptrail', { suffix: '' }).data;
}

/** Makes the folder if needed, takes it for this process, and closes captures that a crash has cut. `lost` is called when it is no longer this process's. */
export async function takeDataFolder(dataFolder: string, lost: (text: string) => void): Promise<DataFolder> {
  const path = resolve(dataFolder);
  const jobsFolder = join(path, 'jobs');
  try {
    await makeFolders(join(jobsFolder, UNFILED));
  } catch (error) {
    throw explainError(error, words.useTheDataFolder(path));
  }
  const lock = await lockFolder(path, lost);
  try {
    await removeUnfinished(path);
    const jobs = new Jobs(jobsFolder, () => checkOurs(lock));
    const recovered: TraceRef[] = [];
    for (const jobId of [...(await jobs.ids()), UNFILED]) {
      for (const traceId of await jobs.traceIds(jobId)) {
        if (await recoverTrace(join(jobs.path(jobId), traceId))) recovered.push({ jobId, traceId });
      }
    }
    return { path, jobs, lock, recovered };
  } catch (error) {
    await lock.release();
    throw error;
  }
}

/** Nothing is written into a folder that is no longer this process's: it may be an empty mount point, or another's. */
export async function checkOurs(lock: FolderLock): Promise<void> {
  const text = await lock.lost();
  if (text !== null) throw new StoreError('lock-lost', text);
}
