import { createHash } from 'node:crypto';
import { readdir, rmdir, rm } from 'node:fs/promises';
import { hostname } from 'node:os';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { uidOfFileName } from './fleet-names.ts';
import { readSmallFile, writeJson } from '../files/record-file.ts';

const SCHEMA = 'amptrail-fleet/1';

/** What an earlier run wrote for one recording. */
interface Exported {
  /** path below the export's folder */
  readonly file: string;
  /** digest of the facts in its columns */
  readonly facts: string;
  readonly job: string;
}

/**
 * What lies in an export's folder: every file by the identity in its name, and of those the ones that this data folder wrote before (a small file of its own, whose name the engines pass over), since several
 * workshops may share the folder and none may touch another's.
 */
export class FleetList {
  readonly #out: string;
  readonly #path: string;
  readonly #files = new Map<string, string>();
  readonly own = new Map<string, Exported>();

  private constructor(out: string, dataFolder: string) {
    this.#out = out;
    this.#path = join(out, `_amptrail-${createHash('sha256').update(`${hostname()}\n${resolve(dataFolder)}`).digest('hex').slice(0, 16)}.json`);
  }

  static async open(out: string, dataFolder: string): Promise<FleetList> {
    const list = new FleetList(out, dataFolder);
    const names = await readdir(out, { recursive: true }).catch((error: NodeJS.ErrnoException) => (error.code === 'ENOENT' ? [] : Promise.reject(error)));
    for (const name of names) {
      const uid = uidOfFileName(name);
      if (uid !== null) list.#files.set(uid, name);
    }
    for (const [uid, exported] of Object.entries(await readOwn(list.#path))) if (list.#files.get(uid) === exported.file) list.own.set(uid, exported);
    return list;
  }

  /** the file of a recording, whoever wrote it; null when there is none */
  fileOf(uid: string): string | null {
    return this.#files.get(uid) ?? null;
  }

  put(uid: string, exported: Exported): void {
    this.#files.set(uid, exported.file);
    this.own.set(uid, exported);
  }

  /** Takes a file away, and the folders that are empty then. */
  async remove(uid: string, file: string): Promise<void> {
    await rm(join(this.#out, file), { force: true });
    if (this.#files.get(uid) === file) {
      this.#files.delete(uid);
      this.own.delete(uid);
    }
    for (let folder = dirname(file); folder !== '.'; folder = dirname(folder)) {
      const emptied = await rmdir(join(this.#out, folder)).then(() => true, () => false);
      if (!emptied) return;
    }
  }

  async save(): Promise<void> {
    await writeJson(this.#path, { schema: SCHEMA, traces: Object.fromEntries(this.own) });
  }
}

async function readOwn(path: string): Promise<Record<string, Exported>> {
  try {
    const value = JSON.parse((await readSmallFile(path)) ?? 'null') as { schema?: unknown; traces?: unknown } | null;
    if (value?.schema !== SCHEMA || typeof value.traces !== 'object' || value.traces === null) return {};
    const known = Object.entries(value.traces as Record<string, Partial<Exported> | null>).filter(([, one]) => typeof one?.file === 'string' && typeof one.facts === 'string' && typeof one.job === 'string' && isInside(one.file));
    return Object.fromEntries(known) as Record<string, Exported>;
  } catch {
    return {};
  }
}

/** The list is a file that anybody could have changed: it names files below the export's folder and no others. */
function isInside(file: string): boolean {
  const path = relative('/x', resolve('/x', file));
  return path === file.split(/[\\/]/).join(sep) && !path.startsWith('..') && uidOfFileName(path) !== null;
}
