import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Bench, BenchRow } from './row.ts';

/**
 * `npm run bench -- [--json] [--quick]`: runs every `*.bench.ts` of this folder and prints its rows. Each file runs in a process of its
 * own, so that the memory and the warmed-up code of one do not count in the figures of another.
 */
const quick = process.argv.includes('--quick');
const only = process.argv[process.argv.indexOf('--file') + 1];

async function rowsOf(file: string): Promise<BenchRow[]> {
  const args = ['--import', 'tsx', fileURLToPath(import.meta.url), '--file', file, ...(quick ? ['--quick'] : [])];
  const { stdout } = await promisify(execFile)(process.execPath, args, { maxBuffer: 1 << 24 });
  return (JSON.parse(stdout) as { rows: BenchRow[] }).rows;
}

if (process.argv.includes('--file')) {
  const { bench } = (await import(`./${only}`)) as { bench: Bench };
  console.log(JSON.stringify({ rows: await bench(quick) }));
} else {
  const rows: BenchRow[] = [];
  for (const file of readdirSync(import.meta.dirname).filter((name) => name.endsWith('.bench.ts')).sort()) rows.push(...(await rowsOf(file)));
  if (process.argv.includes('--json')) {
    console.log(JSON.stringify({ rows }));
  } else {
    for (const row of rows) {
      console.log(`${row.met ? 'met    ' : 'MISSED '} ${row.name}: ${Number(row.value.toPrecision(3))} ${row.unit} (goal ${row.goal}; against ${row.anchor})`);
    }
  }
}
