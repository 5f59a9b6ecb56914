import { existsSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { SampleBlock } from '../../../src/core/trace.ts';
import { convertTrace } from '../../../src/daemon/store/convert.ts';
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

  const fleet = `read_parquet('${join(out, '**', '*.parquet')}', hive_partitioning = true, union_by_name = true)`;

  it('lies in folders by depot, vehicle and date, one file a trace', () => {
    expect(readdirSync(out)).toEqual(['depot=Mill%20Lane']);
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

  it('answers: which motors of this type draw more each month?', async () => {
    const rows = await query(`
      with run as (
        select vehicle, date_trunc('month', date) as month, median(abs(current_a)) as run_a
        from ${fleet} where circuit = 'sliding door, type B' and abs(current_a) > 1 group by all)
      select vehicle, round(regr_slope(run_a, date_diff('month', date '2026-01-01', month)), 1) as more_a_per_month
      from run group by vehicle having more_a_per_month > 0.2 order by 2 desc`);
    expect(rows).toEqual([['van 3', 0.8]]);
  });

  it('answers: which vehicles never sleep?', async () => {
    const rows = await query(`
      with minutes as (
        select vehicle, trace, floor(time_s / 600) as ten_minutes, avg(current_a) as mean_a
        from ${fleet} where test = 'drain' group by all)
      select vehicle from minutes group by vehicle, trace having min(mean_a) > 0.05 order by vehicle`);
    expect(rows).toEqual([['library bus']]);
  });

  it('adds only what is new when it runs again', async () => {
    const summary = await convertTrace(join(folder, 'data'), out);
    expect(summary).toEqual({ samples: 0, problems: [] });
  });
});
