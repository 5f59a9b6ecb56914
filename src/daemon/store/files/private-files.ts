import { chmod, stat } from 'node:fs/promises';
import { isMainThread } from 'node:worker_threads';

/** What others on this computer may not: anything. */
const FOR_OTHERS = 0o077;
/** Folders and files of the data folder, also where a command makes them without a daemon. */
export const PRIVATE_MODES = { folder: 0o700, file: 0o600 } as const;

/** From now on what this process makes is its own user's alone: files 0600, folders 0700. Its threads follow. Windows has no such bits. */
export function makeFilesPrivate(): void {
  // a thread cannot change what the whole process has
  if (isMainThread) process.umask(FOR_OTHERS);
}

/** Closes a folder to other users of this computer. False when it stays open to them: a disk without owners, a folder of somebody else. */
export async function closeToOthers(folder: string): Promise<boolean> {
  if (process.platform === 'win32') return true;
  const open = async (): Promise<boolean> => ((await stat(folder)).mode & FOR_OTHERS) !== 0;
  if (!(await open())) return true;
  await chmod(folder, PRIVATE_MODES.folder).catch(() => undefined);
  return !(await open());
}
