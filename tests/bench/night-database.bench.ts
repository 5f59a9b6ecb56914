import { mkdtempSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { analyseTrace } from '../../src/daemon/threads/analyse-trace.ts';
import { convertTrace } from '../../src/daemon/store/exchange/convert.ts';
import { INDEX_FILE } from '../../src/daemon/store/files/record-file.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { runCold } from './children.ts';
import { openDatabase } from './database.ts';
import { capture } from './long-capture.ts';
import { nightBlocks } from './night-blocks.ts';
import { bestTimesS, judged, type BenchRow } from './row.ts';

const COLUMNS = 1600;

/** A night on the disk: read and explained, against a database that only groups it by second; and drawn by a process that has just started. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-bench-'));
  try {
    const samples = quick ? 6_000_000 : 43_200_000;
    const night = join(folder, 'night');
    await capture(night, nightBlocks(samples, 1000));
    return [await againstDatabase(folder, night, samples, quick ? 2 : 3), firstWindow(night, samples, quick ? 3 : 5)];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function againstDatabase(folder: string, night: string, samples: number, repeats: number): Promise<BenchRow> {
  const parquet = join(folder, 'night.parquet');
  await convertTrace(night, parquet);
  const database = await openDatabase();
  try {
    const times = await bestTimesS(repeats, {
      database: async () => {
        const rows = await database.run(`select count(*), sum(n)::bigint from (select floor(time_s) as second, min(current_a), max(current_a), avg(current_a), count(*) as n from read_parquet('${parquet}') group by second)`);
        if (Number(rows[0]![1]) !== samples) throw new Error(`the database saw ${String(rows[0]![1])} samples of ${samples}`);
      },
      analysis: async () => {
        const reader = await openTrace(night);
        const result = await analyseTrace(reader, { test: 'drain' });
        await reader.close();
        if (result.trace.samples !== samples) throw new Error(`the analysis saw ${result.trace.samples} samples of ${samples}`);
      },
    });
    return judged({ name: `night of ${samples / 1e6} M samples read from the disk and explained (${times.analysis.toPrecision(2)} s)`, value: times.analysis / times.database, unit: 'times', anchor: 'DuckDB, one thread: min, max and mean of every second of the same samples in Parquet' }, '<=', 1);
  } finally {
    database.close();
  }
}

function firstWindow(night: string, samples: number, repeats: number): BenchRow {
  const runs = Array.from({ length: repeats }, () => runCold('window', night, String(COLUMNS)));
  const windowMs = Math.min(...runs.map((run) => run.windowMs));
  const indexMs = Math.min(...runs.map((run) => run.indexMs));
  const indexMB = statSync(join(night, INDEX_FILE)).size / 1e6;
  return judged({ name: `first window of ${COLUMNS} columns of ${samples / 1e6} M samples, opening included, in a process just started (${windowMs.toFixed(0)} ms)`, value: windowMs / indexMs, unit: 'times', anchor: `reading its index file of ${indexMB.toFixed(0)} MB` }, '<=', 2);
}
