import { randomUUID } from 'node:crypto';
import { readFile, rm, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import lockfile from 'proper-lockfile';
import { explainError, StoreError } from './store-error.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.lock;

const LOCK = '.lock';
const OWNER = '.owner.json';
/** A lock not renewed for so long belongs to a computer that is gone; renewed every second. On this computer a dead owner is seen at once. */
const STALE_MS = 10_000;
const RENEW_MS = 1000;

interface Owner {
  readonly pid: number;
  readonly host: string;
  readonly since: string;
  /** tells this taking of the folder from every other */
  readonly key: string;
}

/** A folder that belongs to this process. */
export interface FolderLock {
  /** null while the folder is still this process's, else a sentence: it was removed, or another program has taken it. One small read. */
  lost(): Promise<string | null>;
  release(): Promise<void>;
}

/**
 * Takes a folder for this process. Throws StoreError `in-use` when another one has it: two recorders in one folder would mend each other's running
 * captures. `onLost` is called if the lock is taken away later (the folder was removed, or the computer slept and another took over).
 */
export async function lockFolder(folder: string, onLost: (text: string) => void): Promise<FolderLock> {
  const lockPath = join(folder, LOCK);
  const ownerPath = join(folder, OWNER);
  const owner = await readOwner(ownerPath);
  if (owner !== null && owner.host === hostname() && owner.pid !== process.pid && !isAlive(owner.pid)) await rm(lockPath, { recursive: true, force: true }).catch(() => undefined);
  const text = words.theFolderHasBeen(folder);
  let release: () => Promise<void>;
  try {
    release = await lockfile.lock(folder, { lockfilePath: lockPath, stale: STALE_MS, update: RENEW_MS, onCompromised: () => onLost(text) });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ELOCKED') throw explainError(error, words.useTheFolder(folder));
    const who = owner === null ? words.anotherAmptrail : words.anotherAmptrailProcessOnSince(owner.pid, owner.host, owner.since);
    throw new StoreError('in-use', words.usesTheFolderStop(who, folder));
  }
  const own: Owner = { pid: process.pid, host: hostname(), since: new Date().toISOString(), key: randomUUID() };
  await writeFile(ownerPath, `${JSON.stringify(own)}\n`).catch((error: unknown) => release().then(() => Promise.reject(explainError(error, words.useTheFolder(folder)))));
  const isOurs = async (): Promise<boolean> => (await readOwner(ownerPath))?.key === own.key;
  return {
    lost: async () => ((await isOurs()) ? null : text),
    async release() {
      // what is another's now is left to it
      if (await isOurs()) await rm(ownerPath, { force: true }).catch(() => undefined);
      await release().catch(() => undefined);
    },
  };
}

async function readOwner(path: string): Promise<Owner | null> {
  try {
    const { pid, host, since, key } = JSON.parse(await readFile(path, 'utf8')) as Partial<Owner>;
    if (typeof pid !== 'number' || typeof host !== 'string' || typeof since !== 'string') return null;
    return { pid, host: host.slice(0, 80), since: since.slice(0, 40), key: typeof key === 'string' ? key : '' };
  } catch {
    return null;
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
