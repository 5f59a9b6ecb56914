import { mkdir, readdir, rename } from 'node:fs/promises';
import { join } from 'node:path';
import { mergeFields } from '../../../core/merge.ts';
import { language } from '../../../core/present/language.ts';
import { NO_EVIDENCE, readEvidence } from '../../../core/reason/job-evidence.ts';
import { NO_STORY, readStory } from '../../../core/tracefile/job-story.ts';
import type { JobEvidence, JobRecord, JobStory } from '../../../core/tracefile/record.ts';
import { JOB_SCHEMA } from '../../../core/tracefile/record.ts';
import type { JobFields, JobView } from '../../../core/wire/api.ts';
import { checkName, isSafeName, timedName, UNFILED, withFreeName } from '../files/names.ts';
import { cleanFields, readJob } from './read-job.ts';
import { JOB_FILE, readSmallFile, writeJson } from '../files/record-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';

const words = language.daemon.store.jobs;

/** Beside the jobs: what was put aside lies there whole until somebody deletes it by hand. */
const REMOVED = 'removed';

/** Somebody else has saved the same fields meanwhile: nothing was written. */
export class ChangedMeanwhile extends Error {
  /** what is kept */
  readonly now: JobRecord;

  constructor(now: JobRecord) {
    super(language.together.clash.refusal);
    this.name = 'ChangedMeanwhile';
    this.now = now;
  }
}

/** Jobs are folders with a small JSON file in each: people can read, copy and back them up. */
export class Jobs {
  /** holds one folder a job */
  readonly folder: string;
  readonly #removed: string;
  readonly #checkOurs: () => Promise<void>;
  #lastChange: Promise<unknown> = Promise.resolve();

  /** `checkOurs` throws before anything is written into a folder that is no longer this process's. */
  constructor(folder: string, checkOurs: () => Promise<void> = async () => undefined) {
    this.folder = folder;
    this.#removed = join(folder, '..', REMOVED);
    this.#checkOurs = checkOurs;
  }

  /** Path of a job's folder; throws StoreError `bad-name` for an id that is none. */
  path(jobId: string): string {
    return join(this.folder, checkName(jobId, 'job'));
  }

  /** Ids of all job folders, newest first, without the unfiled one. */
  async ids(): Promise<string[]> {
    const entries = await readdir(this.folder, { withFileTypes: true }).catch((error: unknown) => Promise.reject(explainError(error, words.read(this.folder))));
    return entries.filter((entry) => entry.isDirectory() && isSafeName(entry.name) && entry.name !== UNFILED).map((entry) => entry.name).sort().reverse();
  }

  async list(): Promise<JobView[]> {
    const views: JobView[] = [];
    for (const id of await this.ids()) views.push({ job: await this.read(id), traces: (await this.traceIds(id)).length });
    return views;
  }

  /** A job whose file is damaged or missing still shows, with empty fields, so that its traces can be reached. */
  async read(jobId: string): Promise<JobRecord> {
    return readJob(this.path(jobId), jobId);
  }

  /** Makes a job from the job.json of another data folder; under its own name if that is free here. */
  async adopt(path: string, now: Date): Promise<JobRecord> {
    let given: Record<string, unknown> = {};
    try {
      given = (JSON.parse((await readSmallFile(path)) ?? '') ?? {}) as Record<string, unknown>;
    } catch {
      // a job without its facts is better than none
    }
    const created = new Date(typeof given['created'] === 'string' ? given['created'] : Number.NaN);
    return this.create(given as unknown as JobFields, Number.isFinite(created.getTime()) ? created : now, readEvidence(given).evidence, readStory(given));
  }

  async create(fields: JobFields, at: Date, evidence: JobEvidence = NO_EVIDENCE, story: JobStory = NO_STORY): Promise<JobRecord> {
    await this.#checkOurs();
    const clean = cleanFields(fields);
    const id = await withFreeName(timedName(at, `${clean.vehicle} ${clean.circuit}`), (name) => makeFolder(join(this.folder, name)));
    const job: JobRecord = { schema: JOB_SCHEMA, id, created: at.toISOString(), ...clean, ...evidence, ...story };
    await writeJson(join(this.folder, id, JOB_FILE), job).catch((error: unknown) => Promise.reject(explainError(error, words.writeTheJob)));
    return job;
  }

  /** `was`: what the page had when it began to change; with it nothing that somebody else has saved meanwhile is overwritten. Throws ChangedMeanwhile. */
  async update(jobId: string, fields: JobFields, was: JobFields | null = null): Promise<JobRecord> {
    return this.#change(jobId, (now) => {
      const clean = (given: JobFields): JobFields => cleanFields({ ...now, ...given });
      return was === null ? clean(fields) : mergedOrRefused(clean(was), clean(fields), now);
    });
  }

  /** What was verified, read or repaired; fields not given stay. */
  async updateEvidence(jobId: string, changes: Partial<JobEvidence>, was: Partial<JobEvidence> | null = null): Promise<JobRecord> {
    return this.#change(jobId, (now) => (was === null ? changes : mergedOrRefused(was, changes, now)));
  }

  /** Notes, photos, closed, archived: `make` gets the job as it is after the changes before this one. */
  async updateStory(jobId: string, make: (now: JobRecord) => Partial<JobStory>): Promise<JobRecord> {
    return this.#change(jobId, make);
  }

  /** One change after the other: two quick taps on a page must not undo each other. */
  async #change(jobId: string, make: (now: JobRecord) => Partial<JobRecord>): Promise<JobRecord> {
    return this.#inTurn(async () => {
      await this.check(jobId);
      const now = await this.read(jobId);
      const job: JobRecord = { ...now, ...make(now) };
      await writeJson(join(this.path(jobId), JOB_FILE), job).catch((error: unknown) => Promise.reject(explainError(error, words.writeTheJob)));
      return job;
    });
  }

  async #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const done = this.#lastChange.then(async () => {
      await this.#checkOurs();
      return work();
    });
    this.#lastChange = done.catch(() => undefined);
    return done;
  }

  /** Puts a job with all that is in it aside, by one rename: nothing is deleted. Answers the id it can be brought back by. */
  async remove(jobId: string): Promise<string> {
    return this.#inTurn(async () => {
      if (jobId === UNFILED) throw new StoreError('bad-name', words.tracesWithoutAJob);
      await this.check(jobId);
      await mkdir(this.#removed, { recursive: true }).catch((error: unknown) => Promise.reject(explainError(error, words.makeTheFolder(this.#removed))));
      return moveFolder(this.path(jobId), this.#removed, jobId, words.removeTheJob(jobId));
    });
  }

  /** Jobs that were put aside, newest first. */
  async removed(): Promise<JobView[]> {
    const views: JobView[] = [];
    for (const id of await foldersIn(this.#removed, words.readTheRemovedJobs)) {
      const path = join(this.#removed, id);
      views.push({ job: await readJob(path, id), traces: (await foldersIn(path, words.readTheJob(id))).length });
    }
    return views;
  }

  async restore(removedId: string): Promise<JobRecord> {
    return this.#inTurn(async () => {
      checkName(removedId, 'job');
      const jobId = await moveFolder(join(this.#removed, removedId), this.folder, removedId, words.bringBackTheJob(removedId));
      return this.read(jobId);
    });
  }

  /** Ids of the traces in a job, newest first. */
  async traceIds(jobId: string): Promise<string[]> {
    return foldersIn(this.path(jobId), words.readTheJobOf(jobId));
  }

  /** Throws StoreError `not-found` unless the job exists; the unfiled one always does. */
  async check(jobId: string): Promise<void> {
    checkName(jobId, 'job');
    if (jobId === UNFILED) return;
    if (!(await this.ids()).includes(jobId)) throw new StoreError('not-found', words.thereIsNoJob(jobId));
  }
}

function mergedOrRefused(was: Partial<JobRecord>, changes: Partial<JobRecord>, now: JobRecord): JobRecord {
  const { merged, clashes } = mergeFields<JobRecord>(was, changes, now);
  if (clashes.length > 0) throw new ChangedMeanwhile(now);
  return merged;
}

/** Names of the folders in a folder, newest first; none where there is no such folder. */
async function foldersIn(path: string, what: string): Promise<string[]> {
  const entries = await readdir(path, { withFileTypes: true }).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return [];
    throw explainError(error, what);
  });
  return entries.filter((entry) => entry.isDirectory() && isSafeName(entry.name)).map((entry) => entry.name).sort().reverse();
}

/** Moves a folder under `wanted`, or `wanted-2`, … where that is taken; answers the name it got. */
async function moveFolder(from: string, into: string, wanted: string, what: string): Promise<string> {
  return withFreeName(wanted, async (name) => {
    if ((await readdir(into)).includes(name)) return false;
    await rename(from, join(into, name)).catch((error: unknown) => Promise.reject(explainError(error, what)));
    return true;
  });
}

/** Makes a folder; false when something of that name is there. */
async function makeFolder(path: string): Promise<boolean> {
  try {
    await mkdir(path);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw explainError(error, words.makeTheFolderOf(path));
  }
}
