import { mkdir, readdir, rm, stat } from 'node:fs/promises';
import { join } from 'node:path';
import { checkKnownGood } from '../../core/analysis/compare/known-good/check.ts';
import { runLimitsOf, type KnownGood } from '../../core/analysis/compare/known-good/known-good.ts';
import type { KnownGoodMember, KnownGoodSet, KnownGoodImported } from '../../core/wire/prove.ts';
import { checkName, isSafeName, timedName, withFreeName } from '../store/files/names.ts';
import { readSmallFile, writeJson } from '../store/files/record-file.ts';
import { explainError, StoreError } from '../store/files/store-error.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.knownGoodStore;

/** Sets are few; more are not listed. */
const MAX_SETS = 500;

/** Reference sets of known-good traces and usual currents as typed in, one small JSON file each in `known-good/` of the data folder, replaced atomically. */
export class KnownGoodStore {
  readonly #folder: string;

  constructor(dataFolder: string) {
    this.#folder = join(dataFolder, 'known-good');
  }

  /** Newest first; a file that is damaged or of another kind is left out. */
  async list(): Promise<KnownGoodSet[]> {
    const names = await readdir(this.#folder).catch(() => []);
    const ids = names.flatMap((name) => (name.endsWith('.json') && isSafeName(name.slice(0, -5)) ? [name.slice(0, -5)] : [])).sort().reverse().slice(0, MAX_SETS);
    const sets: KnownGoodSet[] = [];
    for (const id of ids) {
      const set = await this.#read(id);
      if (set !== null) sets.push(set);
    }
    return sets;
  }

  /** Throws StoreError `not-found`. */
  async get(id: string): Promise<KnownGoodSet> {
    const set = await this.#read(checkName(id, words.knownGoodSet));
    if (set === null) throw new StoreError('not-found', words.thereIsNoKnown(id));
    return set;
  }

  async create(known: KnownGood, members: readonly KnownGoodMember[], at: Date): Promise<KnownGoodSet> {
    await mkdir(this.#folder, { recursive: true }).catch((error: unknown) => Promise.reject(explainError(error, words.makeTheFolderFor)));
    const id = await withFreeName(timedName(at, known.circuit), async (name) => (await stat(this.#path(name)).catch(() => null)) === null);
    return this.#write(id, at.toISOString(), known, members);
  }

  async replace(id: string, known: KnownGood, members: readonly KnownGoodMember[]): Promise<KnownGoodSet> {
    const before = await this.get(id);
    return this.#write(id, before.created, known, members);
  }

  /** Keeps what a file brought; a circuit with the same name, vehicle, place and limits is there already. */
  async importSets(found: readonly KnownGood[], at: Date): Promise<KnownGoodImported> {
    const kept = new Set((await this.list()).map(contentOf));
    const held = kept.size;
    const fresh = found.filter((known) => !kept.has(contentOf(known)) && kept.add(contentOf(known)));
    if (held + fresh.length > MAX_SETS) throw new StoreError('too-large', words.libraryIsFull(MAX_SETS));
    const taken: KnownGoodSet[] = [];
    for (const known of fresh) taken.push(await this.create(known, [], at));
    return { taken, had: found.length - taken.length };
  }

  async remove(id: string): Promise<void> {
    await this.get(id);
    await rm(this.#path(id)).catch((error: unknown) => Promise.reject(explainError(error, words.removeTheKnownGoodSet)));
  }

  async #write(id: string, created: string, known: KnownGood, members: readonly KnownGoodMember[]): Promise<KnownGoodSet> {
    const set: KnownGoodSet = { ...known, id, created, members, run_limits_a: runLimitsOf(known) };
    await writeJson(this.#path(id), set).catch((error: unknown) => Promise.reject(explainError(error, words.writeTheKnownGoodSet)));
    return set;
  }

  async #read(id: string): Promise<KnownGoodSet | null> {
    try {
      const document = JSON.parse((await readSmallFile(this.#path(id))) ?? 'null') as Partial<KnownGoodSet> | null;
      const known = checkKnownGood(document);
      if (typeof known === 'string' || document === null) return null;
      const problems = Array.isArray(document.problems) ? document.problems.filter((one) => typeof one?.text === 'string') : [];
      const members = Array.isArray(document.members) ? document.members.filter((one) => typeof one?.jobId === 'string' && typeof one?.traceId === 'string') : [];
      return { ...known, id, created: typeof document.created === 'string' ? document.created : '', members, problems, run_limits_a: runLimitsOf(known) };
    } catch {
      return null;
    }
  }

  #path(id: string): string {
    return join(this.#folder, `${id}.json`);
  }
}

/** What makes two circuits of the library the same. */
function contentOf({ circuit, vehicle_type: vehicleType = '', place = '', usual, limits }: KnownGood): string {
  return JSON.stringify([circuit, vehicleType, place, usual ?? null, limits.map(({ direction, metric, low, high }) => [direction, metric, low, high])]);
}
