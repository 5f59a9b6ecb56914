import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { csvHeader, csvRows } from '../../src/core/tracefile/csv/csv.ts';
import { draw, press } from '../core/analysis/motor/traces.ts';
import { bestTimesS, judged, type BenchRow } from './row.ts';

const PROGRAM = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));

/** From the call to its end, as built, against a Node that does nothing. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  if (!existsSync(PROGRAM)) throw new Error('the bench of the start needs the built program: npm run build');
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-bench-'));
  try {
    const small = join(folder, 'small.csv');
    const trace = draw(1000, 10, (atS) => press(atS, 1, 6, 18, 4), (atS) => 12.5 - 0.05 * press(atS, 1, 6, 18, 4));
    writeFileSync(small, csvHeader(true) + csvRows(trace, true));
    const run = (...args: string[]): void => void execFileSync(process.execPath, args, { stdio: ['ignore', 'pipe', 'ignore'] });
    const times = await bestTimesS(quick ? 7 : 15, {
      bare: () => run('-e', '0'),
      version: () => run(PROGRAM, '--version'),
      analyse: () => run(PROGRAM, 'analyse', small, '--test', 'actuation', '--json'),
    });
    const anchor = `node -e 0 (${(times.bare * 1000).toFixed(0)} ms)`;
    return [
      judged({ name: `start: amptrail --version (${(times.version * 1000).toFixed(0)} ms)`, value: times.version / times.bare, unit: 'times', anchor }, '<=', 3.75),
      judged({ name: `start: amptrail analyse of 10 s at 1 kS/s (${(times.analyse * 1000).toFixed(0)} ms)`, value: times.analyse / times.bare, unit: 'times', anchor }, '<=', 7.5),
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
