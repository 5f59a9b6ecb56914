import { spawn } from 'node:child_process';
import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { cli, scratchFolder } from './run.ts';

const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));
const folder = scratchFolder();

/** Runs one call as a process of its own, sends Ctrl-C once `begun` says that the work is under way, and tells how it ended. */
async function stopMidway(args: readonly string[], begun: (cpuS: number) => boolean): Promise<{ code: number | null; signal: NodeJS.Signals | null; err: string }> {
  const child = spawn(process.execPath, [MAIN, ...args], { stdio: ['ignore', 'ignore', 'pipe'] });
  let err = '';
  child.stderr.on('data', (text: Buffer) => (err += text.toString()));
  const ended = new Promise<{ code: number | null; signal: NodeJS.Signals | null }>((resolve) => child.once('exit', (code, signal) => resolve({ code, signal })));
  const look = setInterval(() => {
    if (!begun(cpuOf(child.pid!))) return;
    clearInterval(look);
    child.kill('SIGINT');
  }, 20);
  const how = await ended;
  clearInterval(look);
  return { ...how, err };
}

/** CPU time a process has used, s (proc_pid_stat(5): fields 14 and 15, in ticks of 10 ms); 0 where the system does not tell. */
function cpuOf(pid: number): number {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\) /, '').split(' ');
    return (Number(fields[11]) + Number(fields[12])) / 100;
  } catch {
    return 0;
  }
}

/** Twenty minutes of presses: one minute of the virtual vehicle again and again. */
async function longMotorTest(path: string): Promise<void> {
  const minute = join(folder, 'minute.csv');
  await cli(['simulate', 'side-step-jam', '--out', minute, '--for', '1m']);
  const [header, ...rows] = readFileSync(minute, 'utf8').trim().split('\n').filter((line) => !line.startsWith('#'));
  const texts = Array.from({ length: 20 }, (_, round) => rows.map((row) => `${(Number.parseFloat(row) + 60 * round).toFixed(3)}${row.slice(row.indexOf(','))}\n`).join(''));
  writeFileSync(path, `${header}\n${texts.join('')}`);
}

/** CPU seconds by which a call is past its loading and in its work. */
const IN_ITS_WORK_S = 1;

describe.runIf(process.platform === 'linux')('Ctrl-C in the middle of the work', () => {
  it('ends simulate at once, says so, exits 130 and leaves nothing half written', async () => {
    const out = join(folder, 'long.csv');
    // a story of days: it would not be over within this test
    const { code, err } = await stopMidway(['simulate', 'winch-healthy', '--out', out, '--for', '72h'], (cpuS) => cpuS > IN_ITS_WORK_S);
    expect(code).toBe(130);
    expect(err).toContain('stopped: nothing was written');
    expect(existsSync(out)).toBe(false);
  });

  it('ends analyse at once, in the middle of whatever it reckons', async () => {
    const path = join(folder, 'long-motor.csv');
    await longMotorTest(path);
    const { code, signal } = await stopMidway(['analyse', path, '--test', 'actuation'], (cpuS) => cpuS > IN_ITS_WORK_S);
    // the system itself ended it: nothing of the program had to be reached first
    expect([code, signal]).toEqual([null, 'SIGINT']);
  });
});

describe('words of the call that are wrong', () => {
  it.each([
    ['convert', ['convert', 'in.csv', 'x.txt']],
    ['convert with one name', ['convert', 'x.txt']],
    ['report', ['report', 'in.csv', '--out', 'x.pdf']],
    ['report without --out', ['report', 'x.pdf']],
  ])('%s exits 2 and writes nothing', async (_, args) => {
    const { code, out, err } = await cli(args);
    expect([code, out]).toEqual([2, '']);
    expect(err).not.toBe('');
    expect(existsSync('x.txt') || existsSync('x.pdf')).toBe(false);
  });
});

describe('numbers in CSV', () => {
  it('have the digits they came with, through a recording and back', async () => {
    const rows = ['0,12.345,13.8', '0.001,0.1,13.79', '0.002,-0.0005,13.8', '0.003,29.999,0', '0.004,1e-7,12'];
    const path = join(folder, 'digits.csv');
    writeFileSync(path, `time_s,current_a,voltage_v\n${rows.join('\n')}\n`);
    expect((await cli(['convert', path, join(folder, 'digits')])).code).toBe(0);
    expect((await cli(['convert', join(folder, 'digits'), join(folder, 'back.csv')])).code).toBe(0);
    expect(readFileSync(join(folder, 'back.csv'), 'utf8').trim().split('\n').slice(1)).toEqual(rows);
  });

  it('of a recording that began at any moment carry no dust of a subtraction', async () => {
    const out = join(folder, 'recorded.csv');
    expect((await cli(['record', out, '--source', 'sim:side-step-jam?speed=20', '--for', '3s'])).code).toBe(0);
    const times = readFileSync(out, 'utf8').trim().split('\n').filter((line) => /^\d/.test(line)).map((line) => line.split(',')[0]!);
    expect(times.length).toBeGreaterThan(2000);
    // a rate of 1 kHz needs three decimals; nine are a nanosecond
    expect(times.filter((time) => (time.split('.')[1] ?? '').length > 9)).toEqual([]);
  });
});
