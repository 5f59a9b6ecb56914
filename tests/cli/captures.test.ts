import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { beforeAll, describe, expect, it } from 'vitest';
import { runCli } from '../../src/cli/run.ts';
import { capture, recording } from '../daemon/store/kit.ts';
import { cli, scratchFolder } from './run.ts';

const folder = scratchFolder();
const at = (name: string): string => join(folder, name);

describe('long work on the command line', () => {
  beforeAll(async () => {
    await capture(at('long'), { pieces: [recording(900_000, 1000, 4)], flushEvery: 8000 });
    // a file of samples is read to its end before anything is made of it
    await capture(at('few'), { pieces: [recording(120_000, 1000, 4)], flushEvery: 8000 });
    for (const ending of ['csv', 'arrows']) expect((await cli(['convert', at('few'), at(`plain.${ending}`)])).code).toBe(0);
    mkdirSync(at('job'));
    writeFileSync(join(at('job'), 'job.json'), JSON.stringify({ schema: 'amptrail-job/1', id: 'job', created: '2026-11-25T08:00:00Z', complaint: 'side step hardly moves' }));
    expect((await cli(['simulate', 'side-step-jam', '--out', join(at('job'), '2026-11-25T08-10-00Z')])).code).toBe(0);
  });

  /** One call with a terminal behind stderr; `onBar` sees each redrawing of the bar. */
  async function onTerminal(args: readonly string[], onBar: (percent: number, stopper: AbortController) => void): Promise<{ code: number; err: string }> {
    const stopper = new AbortController();
    let err = '';
    const code = await runCli(args, {
      out: () => undefined,
      err: (text) => {
        err += text;
        const percent = /\[[#.]+\]\s+(\d+) %/.exec(text)?.[1];
        if (percent !== undefined) onBar(Number(percent), stopper);
      },
      signal: stopper.signal,
      progress: true,
    });
    return { code, err };
  }

  const CALLS: [name: string, args: string[]][] = [
    ['verify', ['verify', at('long')]],
    ['convert', ['convert', at('long'), at('long.csv')]],
    ['analyse', ['analyse', at('long'), '--test', 'drain']],
  ];
  const IN_TURN: [name: string, bars: string[], args: string[]][] = [
    ['analyse of a file', ['open', 'analyse'], ['analyse', at('plain.csv'), '--test', 'drain']],
    ['compare', ['open', 'analyse'], ['compare', at('plain.csv'), at('few'), '--test', 'drain']],
    ['report', ['open', 'analyse'], ['report', at('plain.csv'), '--test', 'drain', '--out', at('plain.html')]],
    ['convert of a file', ['convert'], ['convert', at('plain.csv'), at('again.arrows')]],
    ['verify of a file', ['verify'], ['verify', at('plain.arrows')]],
    ['simulate', ['simulate', 'write'], ['simulate', 'side-step-jam', '--out', at('made.csv')]],
    ['next', ['analyse'], ['next', at('job')]],
  ];

  it.each(CALLS)('%s draws a bar on a terminal that rises to the end, and none elsewhere', async (name, args) => {
    const seen: number[] = [];
    const { code, err } = await onTerminal(args, (percent) => seen.push(percent));
    expect(code).toBe(0);
    expect(err).toContain(`\r${name} [`);
    expect(seen.length).toBeGreaterThan(2);
    expect(seen).toEqual([...new Set(seen)].sort((a, b) => a - b));
    expect(seen.at(-1)).toBe(100);
    if (name !== 'convert') expect((await cli(args)).err).not.toContain('[#');
  });

  it.each(IN_TURN)('%s draws the bars %j, each on its line, and none falls back', async (_, bars, args) => {
    const { code, err } = await onTerminal(args, () => undefined);
    expect(code).toBe(0);
    const drawn = err.split('\n').filter((line) => line.startsWith('\r'));
    expect([...new Set(drawn.map((line) => /^\r(\w+) \[/.exec(line)?.[1]))]).toEqual(bars);
    for (const line of drawn) {
      const seen = [...line.matchAll(/\]\s+(\d+) %/g)].map((match) => Number(match[1]));
      expect(seen).toEqual([...new Set(seen)].sort((a, b) => a - b));
      expect(seen.at(-1)).toBe(100);
    }
  });

  it.each([...CALLS.slice(0, 1), ['convert', ['convert', at('long'), at('given-up.csv')]] as [string, string[]], ...CALLS.slice(2)])('%s is given up with Ctrl-C, says so, and leaves nothing half made', async (_, args) => {
    const { code, err } = await onTerminal(args, (_percent, stopper) => stopper.abort());
    expect(code).toBe(130);
    expect(err).toMatch(/amptrail: Cancelled\.\n$/);
    expect(readdirSync(folder).filter((name) => name.startsWith('given-up'))).toEqual([]);
  });
});

describe('convert', () => {
  it('draws a picture, whole or a part, and refuses a part of anything else', async () => {
    await capture(at('short'), { pieces: [recording(5000, 1000, 7)], marks: [{ timeS: 1, kind: 'pull', label: 'F3' }] });
    expect((await cli(['convert', at('short'), at('p.png')])).code).toBe(0);
    expect(readFileSync(at('p.png')).subarray(1, 4).toString()).toBe('PNG');
    expect((await cli(['convert', at('short'), at('p.svg'), '--from', '1', '--to', '2'])).code).toBe(0);
    expect(readFileSync(at('p.svg'), 'utf8')).toContain('>1.4 s<');
    const refused = await cli(['convert', at('short'), at('part.csv'), '--from', '1']);
    expect([refused.code, refused.err]).toEqual([2, expect.stringContaining('--from and --to are for pictures')]);
    expect(existsSync(at('part.csv'))).toBe(false);
  });

  it('unpacks a zip that was handed over into the folder it was made of, and refuses what is none', async () => {
    expect((await cli(['convert', at('short'), at('over.zip')])).code).toBe(0);
    expect((await cli(['convert', at('over.zip'), at('over')])).code).toBe(0);
    expect(readFileSync(join(at('over'), 'samples.arrows')).equals(readFileSync(join(at('short'), 'samples.arrows')))).toBe(true);
    expect((await cli(['verify', at('over')])).code).toBe(0);
    expect((await cli(['convert', at('over.zip'), at('over')])).err).toMatch(/exists already/);
    expect((await cli(['convert', at('over.zip'), at('over.csv')])).err).toMatch(/without an ending/);
    writeFileSync(at('cut.zip'), readFileSync(at('over.zip')).subarray(0, 2000));
    const cut = await cli(['convert', at('cut.zip'), at('cut')]);
    expect(cut.code).toBe(1);
    expect(cut.err).toMatch(/not a zip|end is missing/);
    expect(existsSync(at('cut'))).toBe(false);
  });

  it('packs a trace as a zip that any program opens', async () => {
    expect((await cli(['convert', at('short'), at('short.zip')])).code).toBe(0);
    const files = unzipSync(readFileSync(at('short.zip')));
    expect(Buffer.from(files['short/samples.arrows']!).equals(readFileSync(join(at('short'), 'samples.arrows')))).toBe(true);
    expect((await cli(['convert', at('p.svg'), at('x.zip')])).code).toBe(1);
  });
});

describe('record --thin', () => {
  it('keeps the full rate only around changes, and trace.json says so', async () => {
    const { code } = await cli(['record', at('thin'), '--source', 'sim:side-step-healthy?speed=50', '--for', '60s', '--thin', '1']);
    expect(code).toBe(0);
    const record = JSON.parse(readFileSync(join(at('thin'), 'trace.json'), 'utf8')) as { samples: number; duration_s: number; thinning: { policy: string; kept_full_rate: unknown[] } };
    expect(record.thinning.policy).toMatch(/change of more than 1 A/);
    expect(record.thinning.kept_full_rate.length).toBeGreaterThan(0);
    expect(record.duration_s).toBeGreaterThan(55);
    const wrong = await cli(['record', at('thin2'), '--source', 'sim:side-step-healthy', '--thin', '0']);
    expect(wrong.code).toBe(2);
  });
});
