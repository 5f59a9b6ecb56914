import { mkdirSync, readFileSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { Store } from '../../../src/daemon/store/store.ts';
import { isSafeName, timedName } from '../../../src/daemon/store/files/names.ts';
import { JOB_FIELDS, readAll, recording, scratch, stores } from './kit.ts';
import { NO_STORY } from '../../../src/core/tracefile/job-story.ts';
import { NO_EVIDENCE } from '../../../src/core/reason/job-evidence.ts';

describe('names', () => {
  it('sort by time, are safe on every file system, and keep a word for people', () => {
    const first = timedName(new Date('2026-03-02T08:05:09.123Z'), 'Minibus 2: Trittstufe „links“/../x');
    expect(first).toBe('2026-03-02T08-05-09Z-minibus-2-trittstufe-links-x');
    expect(first < timedName(new Date('2026-03-02T08:05:10Z'), '')).toBe(true);
    for (const name of [first, timedName(new Date(0), '???')]) expect(isSafeName(name)).toBe(true);
  });

  it('that could lead anywhere else are none', () => {
    for (const name of ['', '.', '..', '../x', 'a/b', 'a\\b', 'a b', '/etc', 'C:', 'con', 'NUL', 'lpt1', 'x'.repeat(121), 'a\0b', 'é']) expect(isSafeName(name), name).toBe(false);
  });
});

describe('the store', () => {
  const folder = scratch();
  const open = stores(folder);

  it('makes, lists, changes and removes jobs as small files for people', async () => {
    const store = await open('jobs');
    const job = await store.jobs.create(JOB_FIELDS, new Date('2026-03-02T08:00:00Z'));
    expect(job).toEqual({ schema: 'amptrail-job/1', id: '2026-03-02T08-00-00Z-minibus-2-side-step', created: '2026-03-02T08:00:00.000Z', ...JOB_FIELDS, plate: '', vin: '', odometer_km: null, customer: '', ...NO_EVIDENCE, ...NO_STORY });
    const second = await store.jobs.create(JOB_FIELDS, new Date('2026-03-02T08:00:00Z'));
    expect(second.id).toBe(`${job.id}-2`);
    expect(JSON.parse(readFileSync(join(folder, 'jobs', 'jobs', job.id, 'job.json'), 'utf8'))).toEqual(job);
    expect(await store.jobs.update(job.id, { ...JOB_FIELDS, note: 'grit in the slide', fuse_rating_a: Number.NaN })).toMatchObject({ note: 'grit in the slide', fuse_rating_a: null, created: job.created });
    await store.jobs.remove(second.id);
    expect((await store.jobs.list()).map((view) => [view.job.id, view.traces])).toEqual([[job.id, 0]]);
    await expect(store.jobs.update('nobody', JOB_FIELDS)).rejects.toMatchObject({ code: 'not-found' });
    await expect(store.jobs.read('../..')).rejects.toMatchObject({ code: 'bad-name' });
  });

  it('puts a removed job aside with all its traces, and brings it back whole', async () => {
    const store = await open('removed');
    const job = await store.jobs.create(JOB_FIELDS, new Date('2026-03-02T08:00:00Z'));
    const { ref, writer } = await store.startTrace(job.id, { title: 'before' }, { durable: false });
    await expect(store.removeJob(job.id)).rejects.toMatchObject({ code: 'running' });
    writer.append(recording(100, 1000, 2));
    await writer.finish('stopped');
    const removedId = await store.removeJob(job.id);
    expect(await store.jobs.list()).toEqual([]);
    expect(await store.traces()).toEqual([]);
    expect((await store.jobs.removed()).map((view) => [view.job.vehicle, view.traces])).toEqual([[JOB_FIELDS.vehicle, 1]]);
    // its name was taken meanwhile
    await store.jobs.create(JOB_FIELDS, new Date('2026-03-02T08:00:00Z'));
    const back = await store.jobs.restore(removedId);
    expect(back.id).toBe(`${job.id}-2`);
    const reader = await store.openTrace({ jobId: back.id, traceId: ref.traceId });
    expect(reader.samples).toBe(100);
    await reader.close();
    expect(await store.jobs.removed()).toEqual([]);
    await expect(store.jobs.restore('../jobs')).rejects.toMatchObject({ code: 'bad-name' });
    await expect(store.removeJob('unfiled')).rejects.toMatchObject({ code: 'bad-name' });
  });

  it('keeps what was verified and repaired in a job, and loses no tap when several come at once', async () => {
    const store = await open('evidence');
    const job = await store.jobs.create(JOB_FIELDS, new Date('2026-03-02T08:00:00Z'));
    await Promise.all([
      store.jobs.updateEvidence(job.id, { signs: { hums: 'yes' } }),
      store.jobs.updateEvidence(job.id, { readings: [{ point: 'fuse-out', v: 12.4, while: 'pressed' }] }),
      store.jobs.update(job.id, { ...JOB_FIELDS, note: 'grit in the slide' }),
    ]);
    expect(await store.jobs.read(job.id)).toMatchObject({ note: 'grit in the slide', signs: { hums: 'yes' }, readings: [{ point: 'fuse-out', v: 12.4, while: 'pressed' }], repair: null });
    writeFileSync(join(folder, 'evidence', 'jobs', job.id, 'job.json'), JSON.stringify({ ...job, signs: { hums: 'perhaps' }, readings: 'none' }));
    expect(await store.jobs.read(job.id)).toMatchObject({ vehicle: JOB_FIELDS.vehicle, signs: {}, readings: [] });
  });

  it('records into unfiled or a job, lists newest first, renames, moves, deletes', async () => {
    const store = await open('traces');
    const job = await store.jobs.create(JOB_FIELDS, new Date('2026-03-02T08:00:00Z'));
    const { ref, writer } = await store.startTrace(null, { title: 'before, left' }, { start: new Date('2026-03-02T08:10:00Z'), durable: false });
    expect(ref).toEqual({ jobId: 'unfiled', traceId: '2026-03-02T08-10-00Z-before-left' });
    writer.append(recording(3000, 1000, 1));
    await writer.flush();
    expect((await store.traces())[0]!.record).toMatchObject({ samples: 3000, end: 'running' });
    await expect(store.moveTrace(ref, job.id)).rejects.toMatchObject({ code: 'running' });
    await expect(store.deleteTrace(ref)).rejects.toMatchObject({ code: 'running' });
    expect(await store.addMark(ref, { timeS: 1, kind: 'note', label: 'now' })).toHaveLength(1);
    await writer.finish('stopped');
    const later = await store.startTrace(job.id, { title: 'after' }, { start: new Date('2026-03-02T09:00:00Z'), durable: false });
    await later.writer.finish('stopped');
    expect((await store.traces()).map((trace) => trace.record.title)).toEqual(['after', 'before, left']);
    const moved = await store.moveTrace(ref, job.id);
    expect(moved.jobId).toBe(job.id);
    expect(await store.updateTrace(moved, { title: 'left side', test: 'actuation' })).toMatchObject({ title: 'left side', test: 'actuation', samples: 3000 });
    expect(await store.addMark(moved, { timeS: 0.5, kind: 'pull', label: 'F1' })).toHaveLength(2);
    const reader = await store.openTrace(moved);
    expect(reader.problems).toEqual([]);
    await reader.close();
    await store.deleteTrace(moved);
    await expect(store.path(moved)).rejects.toMatchObject({ code: 'not-found' });
    await expect(store.path({ jobId: job.id, traceId: '../../secret' })).rejects.toMatchObject({ code: 'bad-name' });
  });

  it('steps over what is not its own: files, links that lead away, folders with odd names', async () => {
    const store = await open('odd');
    const jobs = join(folder, 'odd', 'jobs');
    mkdirSync(join(folder, 'elsewhere', 'trace'), { recursive: true });
    symlinkSync(join(folder, 'elsewhere'), join(jobs, 'link'));
    mkdirSync(join(jobs, 'odd name'));
    writeFileSync(join(jobs, 'file'), '');
    mkdirSync(join(jobs, 'no-json'));
    writeFileSync(join(jobs, 'no-json', 'job.json'), '{{{');
    mkdirSync(join(jobs, 'no-json', 'trace'));
    expect(await store.jobs.ids()).toEqual(['no-json']);
    expect(await store.jobs.read('no-json')).toMatchObject({ id: 'no-json', vehicle: '' });
    expect(await store.traces()).toHaveLength(1);
    await expect(store.openTrace({ jobId: 'no-json', traceId: 'trace' })).rejects.toThrow(/it is not there/);
    await expect(store.path({ jobId: 'link', traceId: 'trace' })).rejects.toMatchObject({ code: 'not-found' });
  });

  it('imports CSV and Arrow files, with the columns given, and refuses bad ones without leaving anything', async () => {
    const store = await open('import');
    const csv = join(folder, 'meter.csv');
    writeFileSync(csv, 'ms,mA\n0,1500\n1,1600\n2,1700\n');
    await expect(store.importFile(csv, 'meter.csv')).rejects.toThrow(/Name the columns/);
    expect(await store.traces()).toEqual([]);
    const [ref] = await store.importFile(csv, 'meter.csv', { columns: [{ role: 'time', name: 'ms', factor: 1e-3 }, { role: 'current', name: 'mA', factor: 1e-3 }] });
    expect(await store.record(ref!)).toMatchObject({ title: 'meter.csv', samples: 3, end: 'ended', start: '2026-03-02T08:00:00.000Z', sha256: expect.stringMatching(/^[0-9a-f]{64}$/) });
    expect([...(await readAll(await store.path(ref!))).currentA]).toEqual([1.5, 1.6, 1.7].map(Math.fround));
  });
});

describe('a mark set by a slip of the hand', () => {
  const folder = scratch();

  it('is told from another stretch with the same beginning by its end', async () => {
    const store = await Store.open(join(folder, 'stretches'), { software: 'test 1' });
    const { ref, writer } = await store.startTrace(null, {}, { durable: false });
    writer.append(recording(3000, 1000, 1));
    const [short, long] = [1.5, 2.5].map((endS) => ({ timeS: 1, endS, kind: 'stretch', label: 'run' }) as const);
    await writer.mark(short!);
    await writer.mark(long!);
    await writer.finish('stopped');
    expect(await store.changeMark(ref, long!, null)).toEqual([short]);
    await store.close();
  });

  it('is moved, renamed and removed; the file holds one valid mark a line, and what it was is kept beside', async () => {
    const store = await Store.open(join(folder, 'marks'), { software: 'test 1' });
    const { ref, writer } = await store.startTrace(null, {}, { durable: false });
    writer.append(recording(3000, 1000, 1));
    const pull = { timeS: 1, kind: 'pull', label: 'F1' } as const;
    const note = { timeS: 2, kind: 'note', label: 'door' } as const;
    await writer.mark(pull);
    await writer.mark(note);
    await expect(store.changeMark(ref, pull, null)).rejects.toThrow(/being recorded/);
    await writer.finish('stopped');
    const moved = { timeS: 2.5, kind: 'pull', label: 'F12' } as const;
    expect(await store.changeMark(ref, pull, moved)).toEqual([note, moved]);
    const path = await store.path(ref);
    expect(readFileSync(join(path, 'marks.jsonl'), 'utf8')).toBe('{"time_s":2.5,"kind":"pull","label":"F12"}\n{"time_s":2,"kind":"note","label":"door"}\n');
    expect(await store.changeMark(ref, note, null)).toEqual([moved]);
    await expect(store.changeMark(ref, note, null)).rejects.toThrow(/This mark is gone/);
    expect(readFileSync(join(path, 'marks-before.jsonl'), 'utf8')).toBe('{"time_s":1,"kind":"pull","label":"F1"}\n{"time_s":2,"kind":"note","label":"door"}\n');
    expect(await store.addMark(ref, note)).toEqual([note, moved]);
    await store.close();
  });
});
