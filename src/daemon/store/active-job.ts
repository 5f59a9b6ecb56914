import { join } from 'node:path';
import { readSmallFile, writeText } from './files/record-file.ts';
import type { Store } from './store.ts';

const FILE = 'active-job';

/** The job that recordings go to outlives the daemon: after a restart they would otherwise land beside it without a word. */
export async function readActiveJob(store: Store): Promise<string | null> {
  try {
    const jobId = (await readSmallFile(join(store.dataFolder, FILE)))?.trim() ?? '';
    if (jobId === '') return null;
    await store.jobs.check(jobId);
    return jobId;
  } catch {
    return null; // unreadable, or the job is gone: recordings are unfiled, and every screen says so
  }
}

export async function keepActiveJob(store: Store, jobId: string | null): Promise<void> {
  await writeText(join(store.dataFolder, FILE), `${jobId ?? ''}\n`);
}
