import { readdir, readlink } from 'node:fs/promises';
import { join } from 'node:path';
import type { PortSeen } from '../../../core/wire/api.ts';
import { listOrNone, mayBeLogger } from './port-search.ts';
import { describePort } from './ports.ts';
import type { PortAccess } from './serial-port.ts';

/**
 * Serial devices as this computer sees them, without opening any: opening resets many boards. `ours`: the port that is being read, which is named even
 * where the system lists it not (a pty, a link). `held`: paths that other programs have open, as far as the system tells.
 */
export async function seePorts(access: PortAccess, ours: string | null, held: (paths: readonly string[]) => Promise<ReadonlySet<string>> = heldByOthers): Promise<PortSeen[]> {
  const listed = (await listOrNone(access)).filter(mayBeLogger).map((port) => ({ path: port.path, description: describePort(port) }));
  const seen = ours === null || listed.some(({ path }) => path === ours) ? listed : [{ path: ours, description: '' }, ...listed];
  const taken = await held(seen.map(({ path }) => path).filter((path) => path !== ours));
  return seen.map(({ path, description }) => ({ path, description, use: path === ours ? 'ours' : taken.has(path) ? 'other' : 'free' }));
}

/** Which of the paths another process has open: on Linux from /proc, of the processes that this user may look at; elsewhere nothing is known. */
export async function heldByOthers(paths: readonly string[], proc = '/proc'): Promise<ReadonlySet<string>> {
  const held = new Set<string>();
  if (paths.length === 0) return held;
  const processes = (await readdir(proc).catch(() => [])).filter((name) => /^\d+$/.test(name) && Number(name) !== process.pid);
  for (const id of processes) {
    const folder = join(proc, id, 'fd');
    const files = await readdir(folder).catch(() => []);
    const targets = await Promise.all(files.map((file) => readlink(join(folder, file)).catch(() => '')));
    for (const path of paths) if (targets.includes(path)) held.add(path);
  }
  return held;
}
