import { readdirSync } from 'node:fs';
import type { Bench, BenchRow } from './row.ts';

/** `npm run bench -- [--json] [--quick]`: runs every `*.bench.ts` of this folder and prints its rows. */
const quick = process.argv.includes('--quick');
const rows: BenchRow[] = [];
for (const file of readdirSync(import.meta.dirname).filter((name) => name.endsWith('.bench.ts')).sort()) {
  const module = (await import(`./${file}`)) as { bench: Bench };
  rows.push(...(await module.bench(quick)));
}
if (process.argv.includes('--json')) {
  console.log(JSON.stringify({ rows }));
} else {
  for (const row of rows) {
    console.log(`${row.met ? 'met    ' : 'MISSED '} ${row.name}: ${Number(row.value.toPrecision(3))} ${row.unit} (goal ${row.goal}; against ${row.anchor})`);
  }
}
