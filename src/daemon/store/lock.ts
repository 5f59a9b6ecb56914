import { readFile, rm, writeFile } from 'node:fs/promises';
import { hostname } from 'node:os';
import { join } from 'node:path';
import lockfile from 'proper-lockfile';
import { explainError, StoreError } from './store-error.ts';

const LOCK = '.lock';
const OWNER = '.owner.json';
/** A lock not renewed for so long belongs to a computer that is gone; renewed every second. On this computer a dead owner is seen at once. */
const STALE_MS = 10_000;
const RENEW_MS = 1000;

interface Owner {
  readonly pid: number;
  readonly host: string;
  readonly since: string;
}

/**
 * Takes the data folder for this process. Throws StoreError `in-use` when another one has it: two recorders in one folder would mend each other's running
 * captures. `onLost` is called if the lock is taken away later (the folder was removed, or the computer slept and another took over).
 */
export async function lockFolder(folder: string, onLost: (text: string) => void): Promise<() => Promise<void>> {
  const lockPath = join(folder, LOCK);
  const ownerPath = join(folder, OWNER);
  const owner = await readOwner(ownerPath);
  if (owner !== null && owner.host === hostname() && owner.pid !== process.pid && !isAlive(owner.pid)) await rm(lockPath, { recursive: true, force: true }).catch(() => undefined);
  let release: () => Promise<void>;
  try {
    release = await lockfile.lock(folder, {
      lockfilePath: lockPath,
      stale: STALE_MS,
      update: RENEW_MS,
      onCompromised: () => onLost(`The data folder ${folder} has been taken away: it was removed, or another amptrail uses it now.`),
    });
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ELOCKED') throw explainError(error, `use the data folder ${folder}`);
    const who = owner === null ? 'Another amptrail' : `Another amptrail (process ${owner.pid} on ${owner.host}, since ${owner.since})`;
    throw new StoreError('in-use', `${who} uses the data folder ${folder}. Stop it, or give this one a folder of its own with --data DIR.`);
  }
  const own: Owner = { pid: process.pid, host: hostname(), since: new Date().toISOString() };
  await writeFile(ownerPath, `${JSON.stringify(own)}\n`).catch(() => undefined);
  return async () => {
    await rm(ownerPath, { force: true }).catch(() => undefined);
    await release().catch(() => undefined);
  };
}

async function readOwner(path: string): Promise<Owner | null> {
  try {
    const value = JSON.parse(await readFile(path, 'utf8')) as Partial<Owner>;
    return typeof value.pid === 'number' && typeof value.host === 'string' && typeof value.since === 'string' ? { pid: value.pid, host: value.host.slice(0, 80), since: value.since.slice(0, 40) } : null;
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
