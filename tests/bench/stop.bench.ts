import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createWriteStream, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { judged, type BenchRow } from './row.ts';

const PROGRAM = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));
const MB = 1e6;
/** What a hand at the keyboard takes for at once, s. */
const AT_ONCE_S = 0.3;

/** Presses of a motor as CSV, one kilohertz, until the file has so many bytes. */
async function writeLong(path: string, bytes: number): Promise<void> {
  const file = createWriteStream(path);
  file.write('time_s,current_a,voltage_v\n');
  for (let second = 0; file.bytesWritten + file.writableLength < bytes; second += 1) {
    let rows = '';
    for (let i = 0; i < 1000; i += 1) {
      const current = second % 10 < 4 ? 4 + 0.2 * Math.sin(i) : 0.01 * Math.sin(i);
      rows += `${(second + i / 1000).toFixed(3)},${current.toFixed(5)},${(12.6 - 0.05 * current).toFixed(5)}\n`;
    }
    if (!file.write(rows)) await once(file, 'drain');
  }
  file.end();
  await once(file, 'finish');
}

/** From Ctrl-C after so long to the end of the program, s; NaN where it was through before. */
async function stopS(args: readonly string[], afterS: number): Promise<number> {
  const run = spawn(process.execPath, [PROGRAM, ...args], { stdio: 'ignore' });
  const ended = once(run, 'exit');
  await wait(afterS * 1000);
  if (run.exitCode !== null) return Number.NaN;
  const fromMs = performance.now();
  run.kill('SIGINT');
  await ended;
  return (performance.now() - fromMs) / 1000;
}

/** Ctrl-C on a large file, while it is read and while it is analysed, and on a simulation that has hours to go. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  if (!existsSync(PROGRAM)) throw new Error('the bench of Ctrl-C needs the built program: npm run build');
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-bench-'));
  try {
    const size = quick ? 25 : 100;
    const long = join(folder, 'long.csv');
    await writeLong(long, size * MB);
    const moments = quick ? [1, 2] : [1, 2, 4, 6];
    const worst = async (run: (afterS: number) => Promise<number>): Promise<number> => {
      const times: number[] = [];
      for (const afterS of moments) times.push(await run(afterS));
      return Math.max(...times.filter((time) => !Number.isNaN(time)));
    };
    const analyse = await worst((afterS) => stopS(['analyse', long, '--test', 'actuation', '--json'], afterS));
    const simulate = await worst((afterS) => stopS(['simulate', 'side-step-healthy', '--for', '3h', '--out', join(folder, `long-${afterS}`)], afterS));
    const anchor = `Ctrl-C after ${moments.join(', ')} s`;
    return [
      judged({ name: `stop: amptrail analyse of a CSV of ${size} MB, worst`, value: analyse, unit: 's', anchor }, '<=', AT_ONCE_S),
      judged({ name: 'stop: amptrail simulate, worst', value: simulate, unit: 's', anchor }, '<=', AT_ONCE_S),
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
