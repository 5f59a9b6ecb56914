import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { DrainResult } from '../../src/core/analysis/results.ts';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();

describe('a drain test on the command line', () => {
  it('tells of the ranges a logger switched through, in words and as JSON', async () => {
    const path = join(folder, 'ranges');
    expect(await cli(['simulate', 'minibus-sleeps', '--out', path, '--seed', '3'])).toMatchObject({ code: 0 });
    // what the daemon writes when the logger's hello comes again with a finer range at the end of the 20 minutes
    const file = join(path, 'trace.json');
    const record = JSON.parse(readFileSync(file, 'utf8')) as { ranges: unknown[] };
    record.ranges = [{ at_s: 0, range: [-15, 15], resolution: 0.005 }, { at_s: 1200.5, range: [-0.3, 0.3], resolution: 0.0001 }];
    writeFileSync(file, JSON.stringify(record));
    const result = JSON.parse((await cli(['analyse', path, '--test', 'drain', '--json'])).out) as DrainResult;
    expect(result.verdict.finding).toBe('asleep');
    expect(Math.abs((result.asleep?.at_s ?? 0) - 1200)).toBeLessThan(5);
    expect(result.problems.find((problem) => problem.code === 'range-switched')?.text).toContain('At the end one step is 0.10 mA');
    const { out } = await cli(['analyse', path, '--test', 'drain']);
    expect(out).toContain('note: The logger switched its range once. At the end one step is 0.10 mA.');
  });

  it('says how long to wait, and what has been held so far, when the recording ends before the time-outs', async () => {
    const path = join(folder, 'bus.csv');
    expect(await cli(['simulate', 'library-bus-heater', '--out', path, '--seed', '3'])).toMatchObject({ code: 0 });
    const { out } = await cli(['analyse', path, '--test', 'drain', '--to', '900']);
    expect(out).toContain('finding: too-short');
    expect(out).toMatch(/steady so far, since 7 min: 405 mA \(399 to 412\)/);
    expect(out.replace(/\s+/g, ' ')).toContain('Keep recording for another 60 minutes');
  });

  it('shows what the battery figures rest on, and a quarter of the reserve capacity beside the limit', async () => {
    const path = join(folder, 'van.csv');
    expect(await cli(['simulate', 'van-quick-drain', '--out', path, '--seed', '3'])).toMatchObject({ code: 0 });
    const { out } = await cli(['analyse', path, '--test', 'drain', '--reserve-capacity', '100', '--rested-volts', '12.4', '--temperature', '15']);
    expect(out).toMatch(/a 41\.7 Ah battery: half in/);
    expect(out).toContain('no Peukert correction');
    expect(out).toMatch(/charged now, by its rested voltage: \d+ to \d+ %/);
    expect(out).toMatch(/loses .* % a month by itself/);
    expect(out).toContain('A quarter of the reserve capacity allows 25.0 mA');
  });

  it('carries the uncertainty of the sensor in the level: from the call, else from the record of its calibration', async () => {
    const path = join(folder, 'sensor');
    expect(await cli(['simulate', 'minibus-sleeps', '--out', path, '--seed', '3'])).toMatchObject({ code: 0 });
    const halfWidthA = async (...more: string[]): Promise<number> => {
      const { asleep } = JSON.parse((await cli(['analyse', path, '--test', 'drain', '--json', ...more])).out) as DrainResult;
      return asleep === null ? NaN : (asleep.high_a - asleep.low_a) / 2;
    };
    expect(await halfWidthA('--zero-doubt', '0')).toBeLessThan(0.0005);
    // two standard uncertainties, JCGM 100:2008 6.3.3
    expect(await halfWidthA('--zero-doubt', '0.01')).toBeCloseTo(0.0196, 3);
    expect(await halfWidthA('--zero-doubt', '0', '--drift-per-hour', '0.1')).toBeGreaterThan(0.03);
    const file = join(path, 'trace.json');
    const record = JSON.parse(readFileSync(file, 'utf8')) as { calibration: { offset_doubt_a: number | null } };
    record.calibration.offset_doubt_a = 0.03;
    writeFileSync(file, JSON.stringify(record));
    expect(await halfWidthA()).toBeCloseTo(0.03, 3);
    expect(await halfWidthA('--zero-doubt', '0.01')).toBeCloseTo(0.0196, 3);
    expect((await cli(['analyse', path, '--test', 'drain', '--gain-doubt', '-1'])).code).toBe(2);
  });
});
