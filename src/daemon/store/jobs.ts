import { mkdir, readdir, rm, rmdir } from 'node:fs/promises';
import { join } from 'node:path';
import { mergeFields } from '../../core/merge.ts';
import { en } from '../../core/present/en/index.ts';
import { NO_EVIDENCE, readEvidence } from '../../core/reason/job-evidence.ts';
import type { JobEvidence, JobRecord } from '../../core/tracefile/record.ts';
import { JOB_SCHEMA } from '../../core/tracefile/record.ts';
import type { JobFields, JobView } from '../../core/wire/api.ts';
import { checkName, isSafeName, timedName, UNFILED, withFreeName } from './names.ts';
import { JOB_FILE, readSmallFile, writeJson } from './record-file.ts';
import { explainError, StoreError } from './store-error.ts';

const TEXT_FIELDS = ['depot', 'vehicle', 'complaint', 'circuit', 'technician', 'note'] as const;
const MAX_TEXT = 4000;

/** Somebody else has saved the same fields meanwhile: nothing was written. */
export class ChangedMeanwhile extends Error {
  /** what is kept */
  readonly now: JobRecord;

  constructor(now: JobRecord) {
    super(en.together.clash.refusal);
    this.name = 'ChangedMeanwhile';
    this.now = now;
  }
}

/** Jobs are folders with a small JSON file in each: people can read, copy and back them up. */
export class Jobs {
  /** holds one folder a job */
  readonly folder: string;
  readonly #checkOurs: () => Promise<void>;
  #lastChange: Promise<unknown> = Promise.resolve();

  /** `checkOurs` throws before anything is written into a folder that is no longer this process's. */
  constructor(folder: string, checkOurs: () => Promise<void> = async () => undefined) {
    this.folder = folder;
    this.#checkOurs = checkOurs;
  }

  /** Path of a job's folder; throws StoreError `bad-name` for an id that is none. */
  path(jobId: string): string {
    return join(this.folder, checkName(jobId, 'job'));
  }

  /** Ids of all job folders, newest first, without the unfiled one. */
  async ids(): Promise<string[]> {
    const entries = await readdir(this.folder, { withFileTypes: true }).catch((error: unknown) => Promise.reject(explainError(error, `read ${this.folder}`)));
    return entries.filter((entry) => entry.isDirectory() && isSafeName(entry.name) && entry.name !== UNFILED).map((entry) => entry.name).sort().reverse();
  }

  async list(): Promise<JobView[]> {
    const views: JobView[] = [];
    for (const id of await this.ids()) views.push({ job: await this.read(id), traces: (await this.traceIds(id)).length });
    return views;
  }

  /** A job whose file is damaged or missing still shows, with empty fields, so that its traces can be reached. */
  async read(jobId: string): Promise<JobRecord> {
    const path = this.path(jobId);
    const text = await readSmallFile(join(path, JOB_FILE)).catch(() => null);
    let value: unknown = null;
    try {
      value = text === null ? null : JSON.parse(text);
    } catch {
      value = null;
    }
    const given = (typeof value === 'object' && value !== null ? value : {}) as Record<string, unknown>;
    return { schema: JOB_SCHEMA, id: jobId, created: typeof given['created'] === 'string' ? given['created'] : '', ...cleanFields(given), ...readEvidence(given).evidence };
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
    return this.create(given as unknown as JobFields, Number.isFinite(created.getTime()) ? created : now, readEvidence(given).evidence);
  }

  async create(fields: JobFields, at: Date, evidence: JobEvidence = NO_EVIDENCE): Promise<JobRecord> {
    await this.#checkOurs();
    const clean = cleanFields(fields as unknown as Record<string, unknown>);
    const id = await withFreeName(timedName(at, `${clean.vehicle} ${clean.circuit}`), (name) => makeFolder(join(this.folder, name)));
    const job: JobRecord = { schema: JOB_SCHEMA, id, created: at.toISOString(), ...clean, ...evidence };
    await writeJson(join(this.folder, id, JOB_FILE), job).catch((error: unknown) => Promise.reject(explainError(error, 'write the job')));
    return job;
  }

  /** `was`: what the page had when it began to change; with it nothing that somebody else has saved meanwhile is overwritten. Throws ChangedMeanwhile. */
  async update(jobId: string, fields: JobFields, was: JobFields | null = null): Promise<JobRecord> {
    const clean = (given: JobFields): JobFields => cleanFields(given as unknown as Record<string, unknown>);
    return this.#change(jobId, clean(fields), was === null ? null : clean(was));
  }

  /** What was verified, read or repaired; fields not given stay. */
  async updateEvidence(jobId: string, changes: Partial<JobEvidence>, was: Partial<JobEvidence> | null = null): Promise<JobRecord> {
    return this.#change(jobId, changes, was);
  }

  /** One change after the other: two quick taps on a page must not undo each other. */
  async #change(jobId: string, changes: Partial<JobRecord>, was: Partial<JobRecord> | null): Promise<JobRecord> {
    const changed = this.#lastChange.then(async () => {
      await this.#checkOurs();
      await this.check(jobId);
      const now = await this.read(jobId);
      const { merged: job, clashes } = was === null ? { merged: { ...now, ...changes }, clashes: [] } : mergeFields<JobRecord>(was, changes, now);
      if (clashes.length > 0) throw new ChangedMeanwhile(now);
      await writeJson(join(this.path(jobId), JOB_FILE), job).catch((error: unknown) => Promise.reject(explainError(error, 'write the job')));
      return job;
    });
    this.#lastChange = changed.catch(() => undefined);
    return changed;
  }

  /** Only an empty job can be removed: traces are evidence and are moved out by hand first. */
  async remove(jobId: string): Promise<void> {
    await this.#checkOurs();
    await this.check(jobId);
    if ((await this.traceIds(jobId)).length > 0) throw new StoreError('exists', 'The job still holds traces. Move or delete them first.');
    try {
      await rm(join(this.path(jobId), JOB_FILE), { force: true });
      await rmdir(this.path(jobId));
    } catch (error) {
      throw explainError(error, `remove the job ${jobId}`);
    }
  }

  /** Ids of the traces in a job, newest first. */
  async traceIds(jobId: string): Promise<string[]> {
    const entries = await readdir(this.path(jobId), { withFileTypes: true }).catch((error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT') return [];
      throw explainError(error, `read the job ${jobId}`);
    });
    return entries.filter((entry) => entry.isDirectory() && isSafeName(entry.name)).map((entry) => entry.name).sort().reverse();
  }

  /** Throws StoreError `not-found` unless the job exists; the unfiled one always does. */
  async check(jobId: string): Promise<void> {
    checkName(jobId, 'job');
    if (jobId === UNFILED) return;
    if (!(await this.ids()).includes(jobId)) throw new StoreError('not-found', `There is no job ${jobId}.`);
  }
}

/** Makes a folder; false when something of that name is there. */
async function makeFolder(path: string): Promise<boolean> {
  try {
    await mkdir(path);
    return true;
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false;
    throw explainError(error, `make the folder ${path}`);
  }
}

function cleanFields(given: Record<string, unknown>): JobFields {
  const rating = given['fuse_rating_a'];
  const text = (name: (typeof TEXT_FIELDS)[number]): string => (typeof given[name] === 'string' ? given[name].trim().slice(0, MAX_TEXT) : '');
  return {
    depot: text('depot'),
    vehicle: text('vehicle'),
    complaint: text('complaint'),
    circuit: text('circuit'),
    fuse_rating_a: typeof rating === 'number' && Number.isFinite(rating) && rating > 0 ? rating : null,
    technician: text('technician'),
    note: text('note'),
  };
}
