import { execFileSync } from 'node:child_process';
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readRecord } from '../../src/core/tracefile/record-check.ts';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import { openSource } from '../../src/daemon/sources/open-source.ts';
import { lockFolder } from '../../src/daemon/store/files/lock.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { cli } from '../cli/run.ts';
import { capture, recording, scratch } from '../daemon/store/kit.ts';
import { watch } from '../daemon/sources/kit.ts';
import { startStand, temporaryFolder } from '../daemon/stand.ts';

const folder = scratch();
const stamp = (path: string): unknown => readdirSync(path).map((name) => [name, statSync(join(path, name)).mtimeMs, readFileSync(join(path, name)).length]);

describe('a named pipe', () => {
  const pipe = join(folder, 'pipe.csv');

  it('is refused in words instead of being waited for, as a trace and inside one', async () => {
    execFileSync('mkfifo', [pipe]);
    await expect(openTrace(pipe)).rejects.toMatchObject({ code: 'wrong-format', message: expect.stringContaining('not a file') });
    for (const name of ['samples.arrows', 'trace.json', 'marks.jsonl', 'samples.index']) {
      const path = join(folder, `with-${name}`);
      await capture(path, { pieces: [recording(500, 1000, 1)] });
      rmSync(join(path, name));
      execFileSync('mkfifo', [join(path, name)]);
      if (name === 'samples.arrows') await expect(openTrace(path)).rejects.toMatchObject({ code: 'wrong-format' });
      else await (await openTrace(path)).close();
    }
  });

  it('as the source of a replay fails in words, and the source ends', async () => {
    const source = openSource(`replay:${pipe}`);
    const seen = watch();
    source.start(seen);
    await seen.until((all) => all.states.some(({ state }) => state === 'failed'), 'the replay fails');
    await source.stop();
  });
});

describe('trace.json', () => {
  it('with any nesting of wrong types gives a record of the right ones', () => {
    const fields = Object.keys(emptyTraceRecord('', '', ''));
    fc.assert(
      fc.property(fc.dictionary(fc.constantFrom(...fields), fc.oneof(fc.jsonValue({ maxDepth: 4 }), fc.record({ name: fc.jsonValue(), range: fc.jsonValue(), policy: fc.jsonValue() }))), (given) => {
        const read = readRecord({ ...given, schema: 'amptrail-trace/1' }, 'id');
        if (typeof read === 'string') throw new Error(read);
        const again = readRecord(JSON.parse(JSON.stringify(read.record)), 'id');
        expect(again).toMatchObject({ wrong: [] });
        // what the pages and the analysis reach for
        const { record } = read;
        for (const { name, range } of record.channels) expect([typeof name, range === null || range.length]).toEqual(['string', range === null ? true : 2]);
        for (const { range } of record.ranges) expect(range).toHaveLength(2);
        expect(typeof record.logger.name + typeof record.title + typeof record.calibration.gain).toBe('stringstringnumber');
      }),
    );
  });

  it('with nested wrong types does not keep the list of traces from the pages', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    const path = join(dataDir, 'jobs', 'unfiled', 'odd');
    mkdirSync(join(dataDir, 'jobs', 'unfiled'), { recursive: true });
    await capture(path, { pieces: [recording(3000, 1000, 1)] });
    const record = JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8')) as object;
    writeFileSync(join(path, 'trace.json'), JSON.stringify({ ...record, channels: [{ name: 'current', range: 'wide' }], thinning: { policy: {}, kept_full_rate: 3 }, ranges: [7, null], calibration: { gain: 1, zero_a: {} }, logger: { name: 'x', serial: [] }, actuation_options: { runLimitsA: 'low' }, drain_options: { ranges: [null] } }));
    const stand = await startStand({ dataDir });
    for (const request of ['/api/traces', '/api/traces/unfiled/odd', '/api/traces/unfiled/odd/analysis?test=actuation', '/api/traces/unfiled/odd/analysis?test=drain', '/api/report?traces=unfiled/odd&for=file']) {
      const answer = await stand.api(request);
      expect([request, answer.status < 500, answer.status === 500 ? await answer.text() : '']).toEqual([request, true, '']);
    }
  });
});

describe('amptrail verify', () => {
  it('changes nothing and says the same twice: an index that is gone or damaged is no damage to the samples', async () => {
    const path = join(folder, 'index-gone');
    await capture(path, { pieces: [recording(3000, 1000, 5)] });
    const index = join(path, 'samples.index');
    const bytes = readFileSync(index);
    bytes[200]! ^= 1;
    writeFileSync(index, bytes);
    const before = stamp(path);
    const first = await cli(['verify', path]);
    expect([first.code, first.out]).toEqual([0, expect.stringMatching(/samples\.index is missing or damaged.*\nwhole: /)]);
    expect(await cli(['verify', path])).toEqual(first);
    expect(stamp(path)).toEqual(before);
    const mended = await cli(['verify', path, '--mend']);
    expect([mended.code, mended.err]).toEqual([0, expect.stringContaining('made again')]);
    expect((await cli(['verify', path])).out).toMatch(/^whole: /);
  });

  it('--mend closes a recording that was cut, as a start of the daemon would, and leaves one that runs alone', async () => {
    const path = join(folder, 'cut');
    await capture(path, { pieces: [recording(3000, 1000, 6)], flushEvery: 500 });
    const record = JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8')) as object;
    writeFileSync(join(path, 'trace.json'), JSON.stringify({ ...record, end: 'running', sha256: null }));
    writeFileSync(join(path, 'samples.arrows'), readFileSync(join(path, 'samples.arrows')).subarray(0, -300));
    const data = join(folder, 'depot');
    mkdirSync(join(data, 'jobs', 'unfiled'), { recursive: true });
    cpSync(path, join(data, 'jobs', 'unfiled', 'cut'), { recursive: true });

    expect((await cli(['verify', path])).code).toBe(1);
    expect((await cli(['verify', path])).code).toBe(1);
    expect((await cli(['verify', path, '--mend'])).code).toBe(0);
    expect(await cli(['verify', path])).toMatchObject({ code: 0, out: expect.stringMatching(/^whole: 5 blocks, 2500 samples/) });

    const daemon = await lockFolder(data, () => undefined);
    expect(await cli(['verify', join(data, 'jobs', 'unfiled', 'cut'), '--mend'])).toMatchObject({ code: 1, err: expect.stringContaining('uses the folder') });
    await daemon.release();
    expect((await cli(['verify', join(data, 'jobs', 'unfiled', 'cut'), '--mend'])).code).toBe(0);
  });

  it('says what its exit codes mean', async () => {
    expect((await cli(['verify', '--help'])).out).toMatch(/Exit codes: 0 .*; 1 .*; 2 /);
  });
});
