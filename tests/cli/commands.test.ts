import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import type { ActuationResult, DrainResult } from '../../src/core/analysis/results.ts';
import type { CompareResult } from '../../src/core/analysis/compare/results.ts';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();
const at = (name: string): string => join(folder, name);

/** Simulates a scenario once and gives the path. */
async function trace(scenario: string, name: string, more: string[] = []): Promise<string> {
  const path = at(name);
  if (!existsSync(path)) {
    const run = await cli(['simulate', scenario, '--out', path, '--seed', '3', ...more]);
    expect(run).toMatchObject({ code: 0, out: '' });
  }
  return path;
}

describe('the words of a call', () => {
  const commands = ['serve', 'ports', 'record', 'analyse', 'compare', 'limits', 'report', 'convert', 'verify', 'simulate', 'fuse-drop', 'next'];

  it.each(commands)('%s --help shows a real example on stdout and exits 0', async (command) => {
    const run = await cli([command, '--help']);
    expect(run).toMatchObject({ code: 0, err: '' });
    expect(run.out).toMatch(new RegExp(`Example:\\n  amptrail ${command}`));
  });

  it.each([
    ['no command at all', []],
    ['an unknown command', ['anayse', 'x.csv']],
    ['an unknown option', ['analyse', 'x.csv', '--tset', 'drain']],
    ['an unknown test', ['analyse', 'x.csv', '--test', 'motor']],
    ['a missing argument', ['analyse']],
    ['a run range upside down', ['analyse', 'x.csv', '--test', 'actuation', '--run-limits', '5:3']],
    ['a run range of one number', ['analyse', 'x.csv', '--test', 'actuation', '--run-limits', '5']],
    ['a number that is none', ['analyse', 'x.csv', '--test', 'drain', '--limit', 'much']],
    ['a window upside down', ['analyse', 'x.csv', '--test', 'drain', '--from', '5', '--to', '4']],
    ['a bad duration', ['record', 'x', '--source', 'sim:side-step-healthy', '--for', '3 weeks']],
    ['a bad source', ['record', 'x', '--source', 'usb:7']],
    ['an unknown scenario', ['simulate', 'side-step-flying', '--out', 'x.csv']],
    ['a bad wire', ['analyse', 'x.csv', '--test', 'actuation', '--wire', 'thick']],
    ['a bad column list', ['analyse', 'x.csv', '--test', 'actuation', '--columns', 'time=t']],
  ])('%s: exit 2, one explanation, nothing on stdout', async (_, args) => {
    const run = await cli(args);
    expect(run.code).toBe(2);
    expect(run.out).toBe('');
    expect(run.err.length).toBeGreaterThan(10);
    expect(run.err).not.toMatch(/\n\s+at /);
  });
});

describe('simulate', () => {
  it('lists one scenario a line, its name first', async () => {
    const { out } = await cli(['simulate', '--list']);
    const lines = out.trimEnd().split('\n');
    expect(lines.length).toBeGreaterThan(10);
    for (const line of lines) expect(line).toMatch(/^[a-z0-9-]+ +(actuation|drain) +\S/);
  });

  it('writes the same trace for the same seed, another for another, and never over a file', async () => {
    const first = await trace('side-step-jam', 'jam.csv');
    await cli(['simulate', 'side-step-jam', '--out', at('again.csv'), '--seed', '3']);
    await cli(['simulate', 'side-step-jam', '--out', at('other.csv'), '--seed', '4']);
    expect(readFileSync(at('again.csv'), 'utf8')).toBe(readFileSync(first, 'utf8'));
    expect(readFileSync(at('other.csv'), 'utf8')).not.toBe(readFileSync(first, 'utf8'));
    expect(await cli(['simulate', 'side-step-jam', '--out', first])).toMatchObject({ code: 1, out: '' });
  });
});

describe('analyse', () => {
  it('says what a jam is, for people and for scripts', async () => {
    const path = await trace('side-step-jam', 'jam.csv');
    const people = await cli(['analyse', path, '--test', 'actuation']);
    expect(people.code).toBe(0);
    expect(people.out).toMatch(/^finding: stalled/);
    expect(people.out).toContain('check next:');
    const script = await cli(['analyse', path, '--test', 'actuation', '--json']);
    const result = JSON.parse(script.out) as ActuationResult;
    expect(result.schema).toBe('amptrail/1');
    expect(result.verdict.finding).toBe('stalled');
    expect(result.actuations.length).toBeGreaterThan(3);
  });

  it('exits 3 for a finding when asked to, 0 without one', async () => {
    const jam = await trace('side-step-jam', 'jam.csv');
    const healthy = await trace('side-step-healthy', 'healthy.csv');
    expect(await cli(['analyse', jam, '--test', 'actuation', '--fail-on', 'finding'])).toMatchObject({ code: 3 });
    expect(await cli(['analyse', healthy, '--test', 'actuation', '--fail-on', 'finding'])).toMatchObject({ code: 0 });
    expect(await cli(['analyse', healthy, '--test', 'actuation', '--fail-on', 'finding', '--limit', '3'])).toMatchObject({ code: 3 });
  });

  it('knows the test, the marks and the carrying fuse of a recorded drain capture', async () => {
    const path = await trace('flatbed-fuse-pulls', 'pulls');
    const { out, code } = await cli(['analyse', path, '--json', '--battery-ah', '60', '--settle', '10m']);
    expect(code).toBe(0);
    const result = JSON.parse(out) as DrainResult;
    expect(result.test).toBe('drain');
    expect(result.pulls.some(({ carries }) => carries)).toBe(true);
    expect(result.battery).not.toBeNull();
  });

  it('takes marks from a CSV file, pull being the usual kind', async () => {
    const path = await trace('flatbed-fuse-pulls', 'pulls.csv');
    const marks = at('marks.csv');
    const recorded = readFileSync(join(await trace('flatbed-fuse-pulls', 'pulls'), 'marks.jsonl'), 'utf8').trim().split('\n').map((line) => JSON.parse(line) as { time_s: number; kind: string; label: string });
    writeFileSync(marks, `time_s,label,kind\n${recorded.map((mark) => `${mark.time_s},${mark.label},${mark.kind}`).join('\n')}\n`);
    const withFile = JSON.parse((await cli(['analyse', path, '--test', 'drain', '--json', '--marks', marks])).out) as DrainResult;
    const withFolder = JSON.parse((await cli(['analyse', at('pulls'), '--json'])).out) as DrainResult;
    expect(withFile.pulls.map(({ label, carries }) => [label, carries])).toEqual(withFolder.pulls.map(({ label, carries }) => [label, carries]));
  });

  it('looks only at the window asked for', async () => {
    const path = await trace('side-step-jam', 'jam.csv');
    const result = JSON.parse((await cli(['analyse', path, '--test', 'actuation', '--json', '--from', '4.6', '--to', '8'])).out) as ActuationResult;
    expect(result.actuations).toHaveLength(1);
    expect(result.actuations[0]!.direction).toBe('reverse');
  });

  it.each([
    ['a file that is not there', 'missing.csv', null],
    ['an empty file', 'empty.csv', ''],
    ['a header and no row', 'bare.csv', 'time_s,current_a\n'],
    ['a file of another kind', 'notes.docx', 'PK'],
    ['a bad row, with its line and column', 'bad.csv', 'time_s,current_a\n0,1\n0.1,x\n'],
    ['a time that falls back', 'back.csv', 'time_s,current_a\n0,1\n0.1,1\n0.05,1\n'],
  ])('refuses %s: exit 1, what and where and what to do', async (_, name, text) => {
    if (text !== null) writeFileSync(at(name), text);
    const run = await cli(['analyse', at(name), '--test', 'actuation']);
    expect(run).toMatchObject({ code: 1, out: '' });
    expect(run.err).toContain(name);
    expect(run.err).not.toMatch(/\n\s+at /);
    if (name === 'bad.csv') expect(run.err).toMatch(/line 3.*column 2|column 2.*line 3/i);
  });

  it('leaves bad rows out when told to, and says how many', async () => {
    writeFileSync(at('half-bad.csv'), `time_s,current_a\n${Array.from({ length: 500 }, (_, i) => `${i / 100},${i === 250 ? 'oops' : 0.01 * (i % 3)}`).join('\n')}\n`);
    const { code, out } = await cli(['analyse', at('half-bad.csv'), '--test', 'actuation', '--json', '--skip-bad']);
    expect(code).toBe(0);
    expect((JSON.parse(out) as ActuationResult).problems.map(({ code: problem }) => problem)).toContain('skipped-rows');
  });
});

describe('compare, limits and report', () => {
  it('says that a dragging step is better after its repair', async () => {
    const before = await trace('side-step-dragging', 'dragging.csv');
    const after = await trace('side-step-healthy', 'healthy.csv');
    const { out, code } = await cli(['compare', before, after, '--test', 'actuation', '--json', '--run-limits', '3:5']);
    expect(code).toBe(0);
    const result = JSON.parse(out) as CompareResult;
    expect(result.verdict.finding).toBe('repaired');
    expect(result.pairs.find(({ metric, direction }) => metric === 'run_a' && direction === 'forward')!.judgement).toBe('lower');
    expect((await cli(['compare', after, before, '--test', 'actuation', '--fail-on', 'finding'])).code).toBe(3);
  });

  it('refuses to compare a motor test with a drain test', async () => {
    const motor = await trace('side-step-jam', 'jam-folder');
    const drain = await trace('flatbed-fuse-pulls', 'pulls');
    const run = await cli(['compare', motor, drain]);
    expect(run).toMatchObject({ code: 1, out: '' });
    expect(run.err).toContain('nothing in common');
  });

  it('learns limits from good traces and finds the dragging one outside', async () => {
    const good: string[] = [];
    for (const seed of ['11', '12', '13', '14', '15']) {
      const path = at(`good-${seed}.csv`);
      await cli(['simulate', 'side-step-healthy', '--out', path, '--seed', seed]);
      good.push(path);
    }
    const limits = at('limits.json');
    expect(await cli(['limits', ...good, '--circuit', 'side step', '--out', limits])).toMatchObject({ code: 0 });
    const dragging = await trace('side-step-dragging', 'dragging.csv');
    const { out } = await cli(['analyse', dragging, '--test', 'actuation', '--json', '--known-good', limits]);
    const result = JSON.parse(out) as ActuationResult & { known_good: { metric: string; place: string }[] };
    expect(result.known_good[0]).toMatchObject({ place: 'above' });
    expect(result.verdict.finding).toBe('heavy');
    writeFileSync(at('not-limits.json'), '{"schema":"x"}');
    expect(await cli(['analyse', dragging, '--test', 'actuation', '--known-good', at('not-limits.json')])).toMatchObject({ code: 1 });
  });

  it('writes a report of two traces as one page, and as JSON', async () => {
    const before = await trace('side-step-jam', 'jam.csv');
    const after = await trace('side-step-healthy', 'healthy.csv');
    const page = at('report.html');
    expect(await cli(['report', before, after, '--test', 'actuation', '--out', page])).toMatchObject({ code: 0, out: '' });
    const text = readFileSync(page, 'utf8');
    expect(text).toContain('Before and after: repaired');
    expect(text).not.toMatch(/<script|https?:/);
    expect(await cli(['report', before, '--test', 'actuation', '--out', at('report.json'), '--for', 'customer'])).toMatchObject({ code: 0 });
    expect(JSON.parse(readFileSync(at('report.json'), 'utf8'))).toMatchObject({ audience: 'customer' });
    expect(await cli(['report', before, '--test', 'actuation', '--out', at('report.pdf')])).toMatchObject({ code: 2 });
  });
});

describe('convert and verify', () => {
  it('take a trace from CSV to Arrow and back without changing a reading', async () => {
    const path = await trace('side-step-jam', 'jam.csv');
    expect(await cli(['convert', path, at('jam.arrows')])).toMatchObject({ code: 0 });
    expect(await cli(['convert', at('jam.arrows'), at('round.csv')])).toMatchObject({ code: 0 });
    const rows = (name: string): string[] => readFileSync(name, 'utf8').split('\n').filter((line) => !line.startsWith('#'));
    expect(rows(at('round.csv'))).toEqual(rows(path));
    expect(await cli(['convert', path, at('jam.parquet')])).toMatchObject({ code: 0 });
    expect(readFileSync(at('jam.parquet')).subarray(0, 4).toString()).toBe('PAR1');
  });

  it('find a flipped bit, say which time range it costs, and exit 1', async () => {
    const path = await trace('side-step-jam', 'damaged');
    expect(await cli(['verify', path])).toMatchObject({ code: 0 });
    const samples = join(path, 'samples.arrows');
    const bytes = readFileSync(samples);
    bytes[Math.floor(bytes.length / 2)]! ^= 0x10;
    writeFileSync(samples, bytes);
    const run = await cli(['verify', path]);
    expect(run.code).toBe(1);
    expect(run.out).toMatch(/damaged: [\d.]+ s to [\d.]+ s/);
    expect((await cli(['analyse', path])).code).toBe(0);
    // written are the rows of the file, not those that the damaged block once had
    const copy = at('damaged.csv');
    const { err } = await cli(['convert', path, copy]);
    const rows = readFileSync(copy, 'utf8').trim().split('\n').length - 1;
    expect(err).toContain(`${rows} samples written`);
    expect(rows).toBeLessThan((JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8')) as { samples: number }).samples);
  });
});

describe('record', () => {
  it('captures the virtual vehicle into a folder that analyse reads, without a browser', async () => {
    const out = at('recorded');
    const run = await cli(['record', out, '--source', 'sim:side-step-jam?speed=20', '--for', '12s']);
    expect(run.code).toBe(0);
    const { out: text } = await cli(['analyse', out, '--test', 'actuation', '--json']);
    expect((JSON.parse(text) as ActuationResult).verdict.finding).toBe('stalled');
  });
});
