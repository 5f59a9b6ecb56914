import { mkdir, stat } from 'node:fs/promises';
import { dirname } from 'node:path';

/**
 * Makes a folder and those above it. Level by level, because the recursive form of Node's own mkdir never returns where the kernel says ENOENT for a folder whose parent
 * is there (/proc; a network disk that has gone). `mode`: of those that are made; absent: as the process makes them.
 */
export async function makeFolders(path: string, mode?: number): Promise<void> {
  try {
    await mkdir(path, mode);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST' && (await stat(path)).isDirectory()) return;
    if (code !== 'ENOENT' || dirname(path) === path || (await stat(dirname(path)).catch(() => null)) !== null) throw error;
    await makeFolders(dirname(path), mode);
    await mkdir(path, mode);
  }
}
