import { createHash } from 'node:crypto';
import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { ActuationResult } from '../../src/core/analysis/results.ts';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();
const data = join(folder, 'data');

/** A recorded trace whose logger says who it is. */
async function recorded(name: string, serial: string | null): Promise<string> {
  const path = join(folder, name);
  expect(await cli(['simulate', 'side-step-healthy', '--out', path, '--seed', '3'])).toMatchObject({ code: 0 });
  const file = join(path, 'trace.json');
  const record = JSON.parse(readFileSync(file, 'utf8')) as { logger: { serial: string | null } };
  record.logger.serial = serial;
  writeFileSync(file, JSON.stringify(record));
  return path;
}

async function runA(path: string): Promise<number[]> {
  const { out } = await cli(['analyse', path, '--test', 'actuation', '--json']);
  return (JSON.parse(out) as ActuationResult).actuations.flatMap(({ run }) => (run === null ? [] : [run.median_a]));
}

const digest = (path: string): string => createHash('sha256').update(readFileSync(join(path, 'samples.arrows'))).digest('hex');

describe('calibrate', () => {
  it('corrects a trace recorded before the calibration when it is read, and takes it back; its samples stay as recorded', async () => {
    const path = await recorded('old-trace', '0042');
    const samples = digest(path);
    const before = await runA(path);
    // 5 A by a bench meter of 0.8 %, 4.85 A and 30 mA of zero by the clamp: gain 5 / 4.82
    const added = await cli(['calibrate', 'add', '0042', '--zero', '0.03', '--known', '5:4.85', '--tolerance', '0.8', '--by', 'R. Vane', '--temperature', '21', '--due', '365', '--data', data, '--json']);
    expect(added, added.err).toMatchObject({ code: 0 });
    const { correction, calibration } = JSON.parse(added.out) as { correction: Record<string, number>; calibration: Record<string, unknown> };
    expect(correction['gain']).toBeCloseTo(5 / 4.82, 9);
    expect(correction['gain_uncertainty_percent']).toBeCloseTo(0.8 / Math.sqrt(3), 5);
    expect(calibration).toMatchObject({ by: 'R. Vane', temperature_c: 21, zero_before: 0.03 });
    expect(await runA(path)).toEqual(before);
    const applied = await cli(['calibrate', 'apply', path, '--data', data]);
    expect(applied, applied.err).toMatchObject({ code: 0 });
    expect(applied.out).toContain('corrected by the calibration of 0042');
    const after = await runA(path);
    expect(after).toHaveLength(before.length);
    // the running current is counted from the idle one, which the zero moves alike or not at all: only the gain can show in full
    for (const [i, value] of after.entries()) expect(Math.abs(value / before[i]! - 5 / 4.82)).toBeLessThan(0.01);
    expect(digest(path)).toBe(samples);
    expect(await cli(['verify', path])).toMatchObject({ code: 0 });
    expect(await cli(['calibrate', 'take-back', path])).toMatchObject({ code: 0 });
    expect(await runA(path)).toEqual(before);
    expect((JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8')) as { calibrations: { taken_back: string | null }[] }).calibrations[0]!.taken_back).not.toBeNull();
  });

  it('corrects every value once, a copied folder too, and an exported file for good', async () => {
    const path = await recorded('copied', '0043');
    await cli(['calibrate', 'add', '0043', '--zero', '0.5', '--known', '10:5.5', '--tolerance', '1', '--data', data]);
    const values = async (name: string, from: string): Promise<number[]> => {
      const run = await cli(['convert', from, join(folder, name)]);
      expect(run, run.err).toMatchObject({ code: 0 });
      return readFileSync(join(folder, name), 'utf8').trimEnd().split('\n').filter((line) => /^-?\d/.test(line)).map((line) => Number(line.split(',')[1]));
    };
    const raw = await values('raw.csv', path);
    await cli(['calibrate', 'apply', path, '--data', data]);
    const once = await values('once.csv', path);
    expect(once.every((value, i) => Math.abs(value - 2 * (raw[i]! - 0.5)) < 1e-3)).toBe(true);
    expect(await cli(['convert', path, join(folder, 'again')])).toMatchObject({ code: 0 });
    expect(await values('again.csv', join(folder, 'again'))).toEqual(once);
    // twice applied is once applied
    await cli(['calibrate', 'apply', path, '--data', data]);
    expect(await values('twice.csv', path)).toEqual(once);
  });

  it('gives the analysis the uncertainty of the calibration where the call gives none', async () => {
    const path = join(folder, 'night');
    await cli(['simulate', 'minibus-sleeps', '--out', path, '--seed', '3']);
    const width = async (): Promise<number> => {
      const { asleep } = JSON.parse((await cli(['analyse', path, '--test', 'drain', '--json'])).out) as { asleep: { low_a: number; high_a: number } };
      return asleep.high_a - asleep.low_a;
    };
    await cli(['calibrate', 'add', 'fine', '--zero', '0', '--scatter', '0.0001', '--data', data]);
    await cli(['calibrate', 'apply', path, '--logger', 'fine', '--data', data]);
    const fine = await width();
    await cli(['calibrate', 'add', 'coarse', '--zero', '0', '--scatter', '0.02', '--data', data]);
    await cli(['calibrate', 'apply', path, '--logger', 'coarse', '--data', data]);
    // 95 % both ways of 20 mA
    expect((await width()) - fine).toBeGreaterThan(0.07);
  });

  it('does not take a zero whose scatter nobody gave for one without error, and says so', async () => {
    const path = join(folder, 'clamp-night');
    await cli(['simulate', 'minibus-clamp', '--out', path, '--seed', '5']);
    const sources = async (): Promise<string[]> => {
      const { asleep } = JSON.parse((await cli(['analyse', path, '--test', 'drain', '--json'])).out) as { asleep: { uncertainty: { source: string }[] } };
      return asleep.uncertainty.map(({ source }) => source);
    };
    expect(await sources()).toContain('zero-unknown');
    const added = await cli(['calibrate', 'add', 'bare', '--zero', '0.002', '--data', data]);
    expect(added).toMatchObject({ code: 0, out: expect.stringContaining('not known'), err: expect.stringContaining('--scatter') });
    await cli(['calibrate', 'apply', path, '--logger', 'bare', '--data', data]);
    expect(await sources()).toContain('zero-unknown');
    expect((await cli(['calibrate', 'add', 'told', '--zero', '0.002', '--scatter', '0.001', '--data', data])).err).toBe('');
    await cli(['calibrate', 'apply', path, '--logger', 'told', '--data', data]);
    expect(await sources()).not.toContain('zero-unknown');
  });

  it('makes a data folder that is its user\'s alone', async () => {
    const own = join(folder, 'own', 'data');
    await cli(['calibrate', 'add', '0045', '--zero', '0.1', '--data', own]);
    const mode = (path: string): number => statSync(path).mode & 0o777;
    expect([mode(own), mode(join(own, 'calibrations')), mode(join(own, 'calibrations', '0045.json'))]).toEqual([0o700, 0o700, 0o600]);
  });

  it.each([
    [['calibrate', 'add', ' ', '--zero', '1'], 2, 'needs a name'],
    [['calibrate', 'add', 'x'], 2, 'has no zero'],
    [['calibrate', 'add', 'x', '--known', '5:4.9'], 2, '--tolerance'],
    [['calibrate', 'add', 'x', '--known', '5:4.9', '--tolerance', '1'], 2, 'read the zero too'],
    [['calibrate', 'add', 'x', '--known', 'five', '--tolerance', '1'], 2, '5:4.85'],
    [['calibrate', 'add', 'x', '--shunt', '0.001'], 2, '--class'],
    [['calibrate', 'add', 'x', '--part', 'drawer'], 2, 'table of sensors'],
    [['calibrate', 'apply', 'nowhere'], 1, 'no trace.json that can be used'],
    [['calibrate', 'take-back', 'nowhere'], 1, 'no trace.json'],
  ])('refuses %j with %i and says what to do', async (args, code, text) => {
    const run = await cli([...args, ...(args[1] === 'take-back' ? [] : ['--data', data])]);
    expect(run.code).toBe(code);
    expect(run.err).toContain(text);
    expect(run.err).not.toMatch(/\n\s+at /);
  });

  it('shows what is kept of a logger whose name is a port', async () => {
    await cli(['calibrate', 'add', 'serial:/dev/ttyUSB0', '--shunt', '0.00075', '--class', '0.5', '--data', data]);
    const { out, code } = await cli(['calibrate', 'show', 'serial:/dev/ttyUSB0', '--data', data]);
    expect(code).toBe(0);
    // class 0.5 over the root of three (JCGM 100:2008, 4.3.7)
    expect(out).toContain('0.29');
  });

  it('reads the values as recorded when the calibration in trace.json cannot be used, and says so', async () => {
    const path = await recorded('odd', '0044');
    const before = await runA(path);
    await cli(['calibrate', 'add', '0044', '--zero', '0.1', '--data', data]);
    await cli(['calibrate', 'apply', path, '--data', data]);
    const file = join(path, 'trace.json');
    const record = JSON.parse(readFileSync(file, 'utf8')) as { calibrations: { zero_before: number | null }[] };
    record.calibrations[0]!.zero_before = null;
    writeFileSync(file, JSON.stringify(record));
    const { problems } = JSON.parse((await cli(['analyse', path, '--test', 'actuation', '--json'])).out) as ActuationResult;
    expect(problems.map(({ code }) => code)).toContain('calibration');
    expect(await runA(path)).toEqual(before);
  });
});
