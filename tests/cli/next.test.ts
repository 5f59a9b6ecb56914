import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();
const file = (name: string, value: unknown): string => {
  const path = join(folder, name);
  writeFileSync(path, typeof value === 'string' ? value : JSON.stringify(value));
  return path;
};

interface Answer {
  test: string;
  causes: { cause: string; state: string; because: string[] }[];
  contradiction: string[] | null;
  next: { code: string; check: string; where: string; decides: { result: string; leaves: string[] }[] } | null;
  proof: { state: string; text: string } | null;
  problems: { code: string }[];
}

async function answer(path: string): Promise<Answer> {
  const { code, out, err } = await cli(['next', path, '--json']);
  expect({ code, err }).toEqual({ code: 0, err: '' });
  return JSON.parse(out) as Answer;
}

describe('what to check next, on the command line', () => {
  it('answers a complaint alone with every cause open and a first check', async () => {
    const { causes, contradiction, next } = await answer(file('complaint.json', { test: 'actuation', signs: { 'no-sound': 'yes' } }));
    expect(causes.map(({ cause }) => cause).sort()).toEqual(['broken-drive', 'control-module', 'fuse-or-feed', 'ground', 'mechanism', 'motor', 'motor-cut-out', 'switch', 'wiring']);
    expect(contradiction).toBeNull();
    expect(next?.check.length).toBeGreaterThan(5);
    expect(next?.where.length).toBeGreaterThan(5);
    expect(next?.decides.length).toBeGreaterThan(1);
  });

  it('names sign, trace and figure in each reason', async () => {
    const { causes } = await answer(file('dead.json', {
      test: 'actuation', signs: { 'no-sound': 'yes' },
      results: [{ schema: 'amptrail/1', test: 'actuation', verdict: { finding: 'dead', because: ['In 3 presses the feed came up to 12.1 V and no current flowed.'], next: [] } }],
      readings: [{ point: 'motor +', v: 12.1, while: 'pressed' }],
    }));
    const fuse = causes.find(({ cause }) => cause === 'fuse-or-feed');
    expect(fuse?.state).toBe('ruled-out');
    expect(fuse?.because.join(' ')).toContain('12.1 V and no current flowed');
    expect(fuse?.because.join(' ')).toContain('trace 1');
    expect(fuse?.because.join(' ')).toContain("12.1 V at the motor's plus while pressed");
    expect(causes[0]?.state).toBe('open');
  });

  it('names two volts of one point as they were read, and two signs that cannot both be seen', async () => {
    const volts = await answer(file('two-volts.json', { test: 'actuation', readings: [12.1, 0].map((v) => ({ point: 'motor-plus', v, while: 'pressed' })) }));
    expect(volts.contradiction).toEqual(["0.00 V at the motor's plus while pressed", "12.1 V at the motor's plus while pressed"]);
    const signs = await answer(file('two-signs.json', { test: 'actuation', signs: { 'no-sound': 'yes', hums: 'yes' } }));
    expect(signs.contradiction).toEqual(['it makes no sound', 'it hums and does not move']);
    expect(signs.next?.code).toBe('verify');
    expect(signs.next?.decides.every(({ leaves }) => leaves.length > 0)).toBe(true);
    expect((await answer(file('one-sign.json', { test: 'actuation', signs: { 'no-sound': 'no', hums: 'yes' } }))).contradiction).toBeNull();
  });

  it('says which two things cannot both hold instead of ruling everything out', async () => {
    const { causes, contradiction, next } = await answer(file('odd.json', {
      test: 'actuation', signs: { 'blows-unplugged': 'yes' }, results: [{ verdict: { finding: 'dead' } }],
      readings: ['fuse-out', 'switch-in', 'switch-out', 'motor-plus'].map((point) => ({ point, v: 12.4, while: 'pressed' })).concat([{ point: 'motor-minus', v: 0.05, while: 'pressed' }]),
    }));
    expect(causes.every(({ state }) => state !== 'ruled-out')).toBe(true);
    expect(contradiction).toHaveLength(2);
    expect(next?.decides).toHaveLength(2);
  });

  it('refuses what it cannot use, with place and remedy', async () => {
    const { code, err } = await cli(['next', file('bad.json', { test: 'drain', readings: [{ point: 'bonnet', v: 1 }] })]);
    expect(code).toBe(1);
    expect(err).toContain('readings[0].point says "bonnet"');
    expect(err).toContain('motor-plus');
    expect((await cli(['next', file('cut.json', '{"test":')])).err).toContain('is not JSON');
    expect((await cli(['next', join(folder, 'nothing')])).code).toBe(1);
    expect((await cli(['next'])).code).toBe(2);
  });

  it('reads a job folder: its signs and traces, and after the repair the proof', async () => {
    const job = join(folder, 'data', 'jobs', 'minibus-step');
    mkdirSync(job, { recursive: true });
    const write = (more: object): void => writeFileSync(join(job, 'job.json'), JSON.stringify({ schema: 'amptrail-job/1', id: 'minibus-step', created: '2026-11-25T08:00:00Z', complaint: 'side step hardly moves', ...more }));
    write({ signs: { 'moves-a-little': 'yes' } });
    expect((await cli(['simulate', 'side-step-jam', '--out', join(job, '2026-11-25T08-10-00Z'), '--seed', '3'])).code).toBe(0);
    const before = await answer(job);
    expect(before).toMatchObject({ test: 'actuation', proof: null });
    expect(before.causes[0]?.cause).toBe('mechanism');
    expect((await cli(['next', 'minibus-step', '--data', join(folder, 'data')])).out).toContain('Mechanism jammed or dry: possible');
    write({ signs: { 'moves-a-little': 'yes' }, repair: { cause: 'mechanism', part: '', work: 'slide cleaned', at: '2099-01-01T00:00:00Z' } });
    expect((await answer(job)).proof).toMatchObject({ state: 'not-tested' });
    writeFileSync(join(job, 'job.json'), '{"signs": {"hums": 3}}');
    expect((await cli(['next', job])).err).toContain('signs.hums says 3');
  });
});
