import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';
import type { TraceRef } from '../../../src/core/wire/api.ts';
import { convertTrace } from '../../../src/daemon/store/exchange/convert.ts';
import { Store } from '../../../src/daemon/store/store.ts';
import { scratch, seeded } from './kit.ts';

// The depot of our own world: three vehicles with a sliding-door motor, one of which draws more every month; four parked at night, one of which never sleeps.
const MONTHS = ['2026-01', '2026-02', '2026-03'];

function doorRun(seed: number, runA: number): SampleBlock {
  const random = seeded(seed);
  const timeS = Float64Array.from({ length: 4000 }, (_, i) => i / 1000);
  const currentA = Float32Array.from(timeS, (atS) => (atS < 0.5 || atS > 3.5 ? 0 : runA + (atS < 0.6 ? 10 : 0)) + (random() - 0.5) * 0.2);
  return { timeS, currentA, voltageV: Float32Array.from(timeS, () => 12.4) };
}

function parkedNight(seed: number, asleepAtS: number | null): SampleBlock {
  const random = seeded(seed);
  const timeS = Float64Array.from({ length: 4 * 3600 }, (_, i) => i);
  const currentA = Float32Array.from(timeS, (atS) => (asleepAtS !== null && atS > asleepAtS ? 0.018 : 0.9) + (random() - 0.5) * 0.01);
  return { timeS, currentA, voltageV: null };
}

describe('many traces as one table', () => {
  const folder = scratch();
  const out = join(folder, 'fleet');
  let query: (sql: string) => Promise<unknown[][]>;
  let close = (): void => undefined;

  beforeAll(async () => {
    let now = new Date('2026-01-05T08:00:00Z');
    const store = await Store.open(join(folder, 'data'), { software: 'test', now: () => now });
    const add = async (vehicle: string, circuit: string, block: SampleBlock, test: 'actuation' | 'drain'): Promise<void> => {
      const job = await store.jobs.create({ depot: 'Mill Lane', vehicle, complaint: '', circuit, fuse_rating_a: 25, technician: '', note: '' }, now);
      const { writer } = await store.startTrace(job.id, { title: 'check', test }, { durable: false });
      writer.append(block);
      await writer.finish('stopped');
    };
    for (const [month, monthName] of MONTHS.entries()) {
      now = new Date(`${monthName}-05T08:00:00Z`);
      await add('van 3', 'sliding door, type B', doorRun(month, 4.0 + 0.8 * month), 'actuation');
      await add('van 7', 'sliding door, type B', doorRun(month + 10, 4.1), 'actuation');
      await add('minibus 2', 'side step', doorRun(month + 20, 3.2), 'actuation');
    }
    now = new Date('2026-03-06T20:00:00Z');
    await add('van 3', 'battery', parkedNight(1, 1200), 'drain');
    await add('library bus', 'battery', parkedNight(2, null), 'drain');
    await add('flatbed', 'battery', parkedNight(3, 900), 'drain');
    await store.close();
    await convertTrace(join(folder, 'data'), out);
    const instance = await DuckDBInstance.create();
    const connection = await instance.connect();
    query = async (sql) => (await connection.runAndReadAll(sql)).getRowsJson() as unknown[][];
    close = () => {
      connection.closeSync();
      instance.closeSync();
    };
  });
  afterAll(() => close());

  const fleet = `read_parquet('${join(out, '**', '*.parquet')}', hive_partitioning = true)`;

  it('lies in folders by depot, vehicle and date, one file a trace', () => {
    expect(readdirSync(out).filter((name) => !name.startsWith('_'))).toEqual(['depot=Mill%20Lane']);
    expect(readdirSync(join(out, 'depot=Mill%20Lane')).sort()).toEqual(['vehicle=flatbed', 'vehicle=library%20bus', 'vehicle=minibus%202', 'vehicle=van%203', 'vehicle=van%207']);
    expect(existsSync(join(out, 'depot=Mill%20Lane', 'vehicle=van%203', 'date=2026-01-05'))).toBe(true);
  });

  it('holds every sample once, with depot and vehicle read back from the folders as they were typed', async () => {
    const rows = await query(`select depot, vehicle, count(*) from ${fleet} group by all order by all`);
    expect(rows).toEqual([
      ['Mill Lane', 'flatbed', '14400'],
      ['Mill Lane', 'library bus', '14400'],
      ['Mill Lane', 'minibus 2', '12000'],
      ['Mill Lane', 'van 3', '26400'],
      ['Mill Lane', 'van 7', '12000'],
    ]);
  });

  // the README's own queries, as they stand there
  const readme = [...readFileSync('README.md', 'utf8').matchAll(/^(.+\?)\n\n```sql\n([\s\S]*?)```/gm)].map(([, question, sql]) => ({ question: question!, sql: sql!.replaceAll('fleet/**/*.parquet', join(out, '**', '*.parquet')) }));

  it.each([
    ['Which motors of this type draw more each month?', [['van 3', 0.8]]],
    ['Which vehicles never sleep?', [['library bus']]],
    ['What was the lowest voltage of each vehicle, where it was measured?', [['minibus 2', 12.4], ['van 3', 12.4], ['van 7', 12.4]]],
  ])('answers: %s', async (question, rows) => {
    expect(await query(readme.find((one) => one.question === question)!.sql)).toEqual(rows);
  });

  it('has a test for every query of the README', () => {
    expect(readme.map(({ question }) => question)).toHaveLength(3);
  });

  it('adds only what is new when it runs again', async () => {
    const summary = await convertTrace(join(folder, 'data'), out);
    expect(summary).toEqual({ samples: 0, problems: [], files: { written: 0, skipped: 12, replaced: 0, refused: 0, removed: 0 } });
  });
});

describe('a recording in the fleet’s table', () => {
  const folder = scratch();
  const fields = { depot: 'Mill Lane', vehicle: 'van 3', complaint: '', circuit: 'battery', fuse_rating_a: null, technician: '', note: '' };
  const filesIn = (out: string): string[] => readdirSync(out, { recursive: true }).map(String).filter((name) => name.endsWith('.parquet')).sort();
  const open = (name: string): Promise<Store> => Store.open(join(folder, name), { software: 'test', now: () => new Date('2026-03-06T20:00:00Z') });
  const add = async (store: Store, jobId: string | null, block: SampleBlock, about: Partial<TraceRecord> = {}): Promise<TraceRef> => {
    const { ref, writer } = await store.startTrace(jobId, { title: 'check', ...about }, { durable: false });
    writer.append(block);
    await writer.finish('stopped');
    return ref;
  };

  it('has one row for each recording: two of the same second are two, a copy in another job is one', async () => {
    const store = await open('same-second');
    const jobs = [await store.jobs.create(fields, new Date(0)), await store.jobs.create(fields, new Date(0))];
    for (const [i, job] of jobs.entries()) await add(store, job.id, doorRun(i, 4));
    await add(store, jobs[1]!.id, doorRun(0, 4));
    await store.close();
    const out = join(folder, 'same-second-out');
    expect((await convertTrace(join(folder, 'same-second'), out)).files).toEqual({ written: 2, skipped: 1, replaced: 0, refused: 0, removed: 0 });
    expect(filesIn(out)).toHaveLength(2);
  });

  it('moves with its vehicle, takes new facts, and goes when the trace is deleted', async () => {
    const store = await open('moves');
    const out = join(folder, 'moves-out');
    const job = await store.jobs.create(fields, new Date(0));
    const ref = await add(store, job.id, doorRun(1, 4));
    await add(store, job.id, doorRun(2, 4));
    const run = async (): Promise<unknown> => (await convertTrace(join(folder, 'moves'), out)).files;
    expect(await run()).toMatchObject({ written: 2 });
    await store.jobs.update(job.id, { ...fields, vehicle: 'van 33' });
    expect(await run()).toEqual({ written: 0, skipped: 0, replaced: 2, refused: 0, removed: 0 });
    expect(filesIn(out).every((file) => file.includes('vehicle=van%2033')), filesIn(out).join()).toBe(true);
    expect(filesIn(out)).toHaveLength(2);
    await store.updateTrace(ref, { title: 'another title' });
    expect(await run()).toMatchObject({ skipped: 1, replaced: 1 });
    await store.deleteTrace(ref);
    expect(await run()).toEqual({ written: 0, skipped: 1, replaced: 0, refused: 0, removed: 1 });
    expect(filesIn(out)).toHaveLength(1);
    await store.close();
  });

  it('is written from a whole copy where the first one met is damaged', async () => {
    const store = await open('copies');
    const jobs = [await store.jobs.create(fields, new Date(0)), await store.jobs.create(fields, new Date(0))];
    const refs = [await add(store, jobs[0]!.id, doorRun(0, 4)), await add(store, jobs[1]!.id, doorRun(0, 4))];
    const paths = await Promise.all(refs.map((ref) => store.path(ref)));
    await store.close();
    // one of the two is damaged, in turn: met first it is refused and the copy taken, met second it is passed over
    const refused: number[] = [];
    for (const [turn, path] of paths.entries()) {
      const samples = join(path, 'samples.arrows');
      const whole = readFileSync(samples);
      const damaged = Buffer.from(whole);
      damaged[damaged.length - 200] = damaged[damaged.length - 200]! ^ 0xff;
      writeFileSync(samples, damaged);
      const { files, unusable = 0 } = await convertTrace(join(folder, 'copies'), join(folder, `copies-out-${turn}`));
      expect(files).toMatchObject({ written: 1, skipped: 1 - unusable, refused: unusable });
      refused.push(unusable);
      expect(filesIn(join(folder, `copies-out-${turn}`))).toHaveLength(1);
      writeFileSync(samples, whole);
    }
    expect(refused.sort()).toEqual([0, 1]);
  });

  it('is not called there where the export cannot be written: that ends the run with what is in the way', async () => {
    const store = await open('in-the-way');
    const job = await store.jobs.create(fields, new Date(0));
    await add(store, job.id, doorRun(0, 4));
    await add(store, job.id, doorRun(0, 4));
    await store.close();
    const out = join(folder, 'in-the-way-out');
    mkdirSync(out);
    writeFileSync(join(out, 'depot=Mill%20Lane'), 'a file of somebody else');
    await expect(convertTrace(join(folder, 'in-the-way'), out)).rejects.toThrow(/in-the-way-out/);
    expect(filesIn(out)).toEqual([]);
  });

  it('is refused, counted and named when its samples are not those that were recorded', async () => {
    const store = await open('changed');
    const ref = await add(store, null, doorRun(1, 4));
    const path = join(await store.path(ref), 'trace.json');
    await store.close();
    writeFileSync(path, readFileSync(path, 'utf8').replace(/"trace_uid": "../, '"trace_uid": "00'));
    const summary = await convertTrace(join(folder, 'changed'), join(folder, 'changed-out'));
    expect(summary.files).toMatchObject({ written: 0, refused: 1 });
    expect(summary.problems[0]!.text).toMatch(/not the ones that were recorded/);
  });

  it.each(['ё'.repeat(43), '😀'.repeat(70), `${'x'.repeat(59)}😀`, 'half \ud83d a pair', '../../up', '.hidden', 'con'])('of a vehicle called %s has a safe folder and its whole name in a column', async (vehicle) => {
    const name = `named-${Buffer.from(vehicle).toString('hex').slice(0, 20)}-${vehicle.length}`;
    const store = await open(name);
    const job = await store.jobs.create({ ...fields, vehicle }, new Date(0));
    await add(store, job.id, doorRun(3, 4), { simulated: true });
    await store.close();
    const out = join(folder, `${name}-out`);
    expect((await convertTrace(join(folder, name), out)).files).toMatchObject({ written: 1 });
    for (const part of filesIn(out)[0]!.split('/')) expect(Buffer.byteLength(part)).toBeLessThanOrEqual(255);
    const instance = await DuckDBInstance.create();
    const connection = await instance.connect();
    const rows = (await connection.runAndReadAll(`select distinct vehicle_name, simulated, thinned from read_parquet('${join(out, '**', '*.parquet')}', hive_partitioning = true)`)).getRowsJson();
    connection.closeSync();
    instance.closeSync();
    expect(rows).toEqual([[vehicle.replace('\ud83d a', '\ufffd a'), true, false]]);
  });
});
