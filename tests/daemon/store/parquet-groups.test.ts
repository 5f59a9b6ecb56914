import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { DuckDBInstance } from '@duckdb/node-api';
import { tableFromIPC } from 'apache-arrow';
import { readParquet } from 'parquet-wasm/node';
import { describe, expect, it } from 'vitest';
import { ParquetFile, type ParquetFacts } from '../../../src/daemon/store/exchange/parquet.ts';
import { scratch } from './kit.ts';

// two whole row groups and a smaller one
const ROWS = 300_000;
const FACTS: ParquetFacts = { trace_uid: 'u1', trace: '2026-03-02', start: '2026-03-02T08:00:00Z', title: 'step, left', test: 'actuation', logger: 'B7', thinned: true, simulated: false, job: null, depot_name: 'Mill Lane', vehicle_name: 'van 3', circuit: null, complaint: null, fuse_rating_a: 25 };

describe('a Parquet file of several row groups', () => {
  const path = join(scratch(), 'long.parquet');
  const timeS = Float64Array.from({ length: ROWS }, (_, i) => i / 1000);
  const currentA = Float32Array.from(timeS, (_, i) => (i * 7919) % 20_011);
  const file = new ParquetFile(path, { facts: FACTS, notes: { about: 'test' } });
  file.add({ timeS, currentA, voltageV: null });
  file.finish();
  file.close();

  it('says the same facts in every row of every group, and every sample once, to two readers from elsewhere', async () => {
    const instance = await DuckDBInstance.create();
    const connection = await instance.connect();
    const facts = Object.keys(FACTS).map((name) => `"${name}"`).join(', ');
    const rows = (await connection.runAndReadAll(`select ${facts}, count(*), count(distinct time_s), sum(current_a::double), count(voltage_v) from read_parquet('${path}') group by all`)).getRowsJson();
    const groups = (await connection.runAndReadAll(`select count(distinct row_group_id) from parquet_metadata('${path}')`)).getRowsJson();
    connection.closeSync();
    instance.closeSync();
    expect(rows).toEqual([[...Object.values(FACTS), String(ROWS), String(ROWS), currentA.reduce((sum, value) => sum + value, 0), '0']]);
    expect(groups).toEqual([['3']]);

    const table = tableFromIPC(readParquet(readFileSync(path)).intoIPCStream());
    expect(table.numRows).toBe(ROWS);
    for (const [name, value] of Object.entries(FACTS)) for (const at of [0, 131_071, 131_072, 262_144, ROWS - 1]) expect([name, at, table.getChild(name)!.get(at)]).toEqual([name, at, value]);
    expect(table.getChild('time_s')!.get(ROWS - 1)).toBe(timeS[ROWS - 1]);
  });
});
