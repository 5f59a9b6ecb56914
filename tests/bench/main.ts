import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { cpus } from 'node:os';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { Bench, BenchRow } from './row.ts';

/**
 * `npm run bench -- [--json|--markdown] [--quick] [NAME…]`: runs the `*.bench.ts` of this folder, all or those named, and prints their rows (`--markdown`: as the README shows them, with the machine). Each file runs in a process of its own, so that the memory and the
 * warmed-up code of one do not count in the figures of another. A file that breaks costs its own rows only, and the exit code.
 */
const quick = process.argv.includes('--quick');
const asked = process.argv.slice(2).filter((word) => !word.startsWith('--'));

async function rowsOf(file: string): Promise<BenchRow[]> {
  const args = ['--import', 'tsx', fileURLToPath(import.meta.url), `--file=${file}`, ...(quick ? ['--quick'] : [])];
  try {
    const { stdout } = await promisify(execFile)(process.execPath, args, { maxBuffer: 1 << 24 });
    // what a library prints beside the rows is not for the reader of the table
    return (JSON.parse(stdout.trim().split('\n').at(-1)!) as { rows: BenchRow[] }).rows;
  } catch (error) {
    console.error(`${file} gave no rows: ${error instanceof Error ? error.message : String(error)}`);
    process.exitCode = 1;
    return [];
  }
}

const only = process.argv.find((word) => word.startsWith('--file='))?.slice('--file='.length);
if (only !== undefined) {
  const { bench } = (await import(`./${only}`)) as { bench: Bench };
  console.log(JSON.stringify({ rows: await bench(quick) }));
  // a thread or a browser that is slow to end is not waited for
  process.exit(0);
}

const files = readdirSync(import.meta.dirname).filter((name) => name.endsWith('.bench.ts')).sort();
const unknown = asked.filter((name) => !files.includes(`${name}.bench.ts`));
if (unknown.length > 0) throw new Error(`no such bench: ${unknown.join(', ')}. There are ${files.map((file) => file.replace('.bench.ts', '')).join(', ')}.`);
const rows: BenchRow[] = [];
for (const file of files) if (asked.length === 0 || asked.includes(file.replace('.bench.ts', ''))) rows.push(...(await rowsOf(file)));
if (process.argv.includes('--json')) console.log(JSON.stringify({ rows }));
else if (process.argv.includes('--markdown')) console.log(markdown(rows));
else for (const row of rows) console.log(`${row.met ? 'met    ' : 'MISSED '} ${row.name}: ${figure(row)} (goal ${row.goal}; against ${row.anchor})`);

function markdown(all: readonly BenchRow[]): string {
  const [first] = cpus();
  const taken = `Taken ${new Date().toISOString().slice(0, 10)}${quick ? ' with --quick' : ''}: ${first?.model.trim() ?? 'unknown processor'}, ${cpus().length} cores, ${process.platform}, Node ${process.versions.node}.`;
  const lines = all.map((row) => `| ${row.name} | ${figure(row)} | ${row.anchor} | ${row.goal} | ${row.met ? 'met' : '**missed**'} |`);
  return [taken, '', '| what | figure | against | goal | |', '|---|---|---|---|---|', ...lines].join('\n');
}

/** JSON has no word for a value that is no number: such a row measured nothing, and says so. */
function figure({ value, unit }: Omit<BenchRow, 'value'> & { readonly value: number | null }): string {
  return value === null || !Number.isFinite(value) ? 'nothing measured' : `${Number(value.toPrecision(3))} ${unit}`;
}
