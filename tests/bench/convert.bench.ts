import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { SAMPLES_FILE } from '../../src/daemon/store/files/record-file.ts';
import { runCold } from './children.ts';
import { openDatabase, type Database } from './database.ts';
import { capture, recording } from './long-capture.ts';
import { judged, type BenchRow } from './row.ts';

/** Bytes of a row of the file that is made, as it turns out: `12345.678,12.345,12.567`. */
const ROW_BYTES = 24;
/** The same work on this part of the file shows what memory grows by. */
const PART = 5;

/** Another logger's CSV read and written as Parquet; and what a sample takes on the disk. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-bench-'));
  const database = await openDatabase();
  try {
    const bytes = quick ? 50e6 : 1e9;
    return [...(await convertRows(folder, database, Math.round(bytes / ROW_BYTES))), await bytesRow(folder, quick ? 1_000_000 : 10_000_000)];
  } finally {
    database.close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function convertRows(folder: string, database: Database, rows: number): Promise<BenchRow[]> {
  const whole = await makeCsv(folder, database, 'whole', rows);
  const part = await makeCsv(folder, database, 'part', Math.round(rows / PART));
  const startMs = performance.now();
  await database.run(`copy (select * from read_csv('${whole}', comment = '#')) to '${join(folder, 'database.parquet')}' (format parquet)`);
  const databaseS = (performance.now() - startMs) / 1000;
  const small = runCold('convert', part, join(folder, 'part.parquet'));
  const large = runCold('convert', whole, join(folder, 'whole.parquet'));
  if (large.samples !== rows) throw new Error(`${large.samples} rows were read of ${rows}`);
  const size = `${(statSync(whole).size / 1e6).toFixed(0)} MB`;
  return [
    judged({ name: `CSV of ${size} read and written as Parquet (${(rows / large.seconds / 1e6).toPrecision(2)} M rows a second)`, value: databaseS / large.seconds, unit: 'of its rate', anchor: 'DuckDB doing the same on one thread' }, '>=', 0.25),
    judged({ name: `most memory while that is done (${large.mostMB.toFixed(0)} MB)`, value: 100 * (large.mostMB / small.mostMB - 1), unit: '% more', anchor: `a file of a fifth of the size (${small.mostMB.toFixed(0)} MB)` }, '<=', 15),
  ];
}

async function makeCsv(folder: string, database: Database, name: string, rows: number): Promise<string> {
  const path = join(folder, `${name}.csv`);
  await database.run(`copy (select round(i / 1000.0, 3) as time_s, round(4 + ((i * 7919) % 20011) / 10000.0, 3) as current_a, round(12 + (i % 997) / 1000.0, 3) as voltage_v from range(${rows}) t(i)) to '${path}' (header)`);
  return path;
}

/** Three plain columns are 8 + 4 + 4 bytes; DEVELOPERS.md says why they stay plain. */
async function bytesRow(folder: string, samples: number): Promise<BenchRow> {
  const path = join(folder, 'capture');
  await capture(path, recording(samples));
  const perSample = statSync(join(path, SAMPLES_FILE)).size / samples;
  return judged({ name: `bytes a sample of a capture of two channels (${perSample.toPrecision(4)})`, value: perSample / 16, unit: 'of theirs', anchor: 'plain columns of float64, float32 and float32' }, '<=', 0.6);
}
