import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { tableFromIPC } from 'apache-arrow';
import { beforeAll, describe, expect, it } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import { joinBlocks, type SampleBlock } from '../../../src/core/trace.ts';
import { convertTrace } from '../../../src/daemon/store/exchange/convert.ts';
import { openTrace, type TraceReader } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { mendTrace } from '../../../src/daemon/store/samples/mending/mend.ts';
import { verifyTrace } from '../../../src/daemon/store/samples/mending/verify.ts';
import { openAppend, type AppendFile } from '../../../src/daemon/store/files/append-file.ts';
import { capture, readAll, recording, sameSamples, scratch, slice } from './kit.ts';

async function all(reader: TraceReader): Promise<SampleBlock[]> {
  const blocks: SampleBlock[] = [];
  for await (const block of reader.blocks()) blocks.push(block);
  return blocks;
}

describe('a capture', () => {
  const folder = scratch();
  const whole = recording(30_000, 1000, 3);
  const gap = { startS: 9.999, endS: 12 };
  const late: SampleBlock = { ...slice(whole, 12_000, 30_000) };
  const marks = [{ timeS: 13, kind: 'pull', label: 'F12' }] as const;

  beforeAll(async () => void (await capture(join(folder, 'plain'), { pieces: [slice(whole, 0, 10_000), gap, late], marks })));

  it('is a folder of open files: trace.json, an Arrow stream, an index, marks', async () => {
    const path = join(folder, 'plain');
    expect(readdirSync(path).sort()).toEqual(['marks.jsonl', 'samples.arrows', 'samples.index', 'trace.json']);
    const record = JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8')) as Record<string, unknown>;
    expect(record).toMatchObject({ schema: 'amptrail-trace/1', start: '2026-03-02T08:00:00.000Z', samples: 28_000, rate_hz: 1000, gaps: [{ start_s: 9.999, end_s: 12 }], end: 'ended', end_cause: 'stopped' });
    expect(record['duration_s']).toBeCloseTo(29.999, 9);
    expect(record['channels']).toHaveLength(2);
    expect(record['sha256']).toBe(createHash('sha256').update(readFileSync(join(path, 'samples.arrows'))).digest('hex'));
    const table = tableFromIPC(readFileSync(join(path, 'samples.arrows')));
    expect(table.numRows).toBe(28_000);
    expect(readFileSync(join(path, 'marks.jsonl'), 'utf8')).toBe('{"time_s":13,"kind":"pull","label":"F12"}\n');
  });

  it('is read back as it was recorded: samples, gaps, marks, any stretch of it', async () => {
    const reader = await openTrace(join(folder, 'plain'));
    expect(reader.problems).toEqual([]);
    expect(reader.gaps).toEqual([gap]);
    expect(reader.marks).toEqual(marks);
    expect(reader.hasVoltage).toBe(true);
    const blocks = await all(reader);
    expect(sameSamples(joinBlocks(blocks, []), joinBlocks([slice(whole, 0, 10_000), late], []))).toBe(true);
    expect(blocks.some((block) => block.timeS[0]! < 10 && block.timeS[block.timeS.length - 1]! > 12)).toBe(false);
    const part = await reader.load(9.5, 12.5);
    expect([part.timeS[0], part.timeS[part.timeS.length - 1], part.timeS.length]).toEqual([9.5, 12.499, 1000]);
    expect(part.gaps).toEqual([gap]);
    expect((await reader.load(10.5, 11.5)).timeS).toHaveLength(0);
    await reader.close();
  });

  it('can be read while it is being recorded, up to the last flush, and says that it is not ended', async () => {
    const path = join(folder, 'running');
    const writer = await TraceWriter.create(path, emptyTraceRecord('running', '2026-03-02T08:00:00Z', 'test'));
    writer.append(slice(whole, 0, 5000));
    await writer.flush();
    writer.append(slice(whole, 5000, 5500));
    const before = readFileSync(join(path, 'samples.index'));
    const reader = await openTrace(path);
    expect(reader.samples).toBe(5000);
    expect(reader.problems.map((problem) => problem.code)).toEqual(['cut-short']);
    expect(reader.record.rate_hz).toBe(1000);
    await reader.close();
    expect(readFileSync(join(path, 'samples.index'))).toEqual(before);
    await writer.finish();
    expect((await openTrace(path)).samples).toBe(5500);
  });

  it('can be followed while it is being recorded, sample by sample as if it were opened anew; once ended it has to be', async () => {
    const path = join(folder, 'followed');
    const writer = await TraceWriter.create(path, emptyTraceRecord('followed', '2026-03-02T08:00:00Z', 'test'));
    writer.append(slice(whole, 0, 3000));
    await writer.flush();
    const reader = await openTrace(path, { growing: true });
    writer.append(slice(whole, 3000, 5000));
    await writer.flush();
    expect([reader.samples, await reader.follow(), reader.samples]).toEqual([3000, true, 5000]);
    expect(sameSamples(await reader.load(), slice(whole, 0, 5000))).toBe(true);
    await reader.close();
    await writer.finish();
    const ended = await openTrace(path);
    expect([await ended.follow(), ended.samples]).toEqual([false, 5000]);
    await ended.close();
  });

  it('is flushed by itself at least once a second', async () => {
    const path = join(folder, 'flushed');
    let synced = (): void => undefined;
    const written = new Promise<void>((resolve) => {
      synced = resolve;
    });
    let bytes = 0;
    const openFile = async (file: string): Promise<AppendFile> => {
      const real = await openAppend(file);
      return {
        ...real,
        append: (part) => {
          if (file.endsWith('.arrows')) bytes += part.length;
          return real.append(part);
        },
        sync: async () => {
          await real.sync();
          if (bytes > 1000) synced();
        },
      };
    };
    const writer = await TraceWriter.create(path, emptyTraceRecord('flushed', '2026-03-02T08:00:00Z', 'test'), { openFile });
    const startMs = performance.now();
    writer.append(slice(whole, 0, 100));
    await written;
    // a loaded machine may be late; the timer itself is set below a second
    expect(performance.now() - startMs).toBeLessThan(5000);
    await writer.finish();
  });

  it('ends by itself at the time or the size that was set, and says so', async () => {
    for (const [limit, cause] of [[{ stopAfterS: 2 }, 'duration'], [{ stopAfterBytes: 60_000 }, 'size']] as const) {
      const ends: string[] = [];
      const path = join(folder, cause);
      const writer = await TraceWriter.create(path, emptyTraceRecord(cause, '2026-03-02T08:00:00Z', 'test'), { ...limit, onEnd: (end) => ends.push(end.cause) });
      for (let at = 0; at < 30_000; at += 500) {
        writer.append(slice(whole, at, at + 500));
        await writer.flush();
      }
      await writer.closed;
      expect(ends).toEqual([cause]);
      const reader = await openTrace(path);
      expect(reader.record.end_cause).toBe(cause);
      expect(reader.samples).toBeLessThan(6000);
      expect(reader.samples).toBeGreaterThanOrEqual(2000);
      await reader.close();
    }
  });

  it('without voltage keeps the column empty, and reads back without one', async () => {
    await capture(join(folder, 'current-only'), { pieces: [recording(2000, 1000, 4, 0, false)] });
    const reader = await openTrace(join(folder, 'current-only'));
    expect(reader.hasVoltage).toBe(false);
    expect((await reader.load()).voltageV).toBeNull();
    await reader.close();
    expect(tableFromIPC(readFileSync(join(folder, 'current-only', 'samples.arrows'))).getChild('voltage_v')!.nullCount).toBe(2000);
  });

  it('never writes over a folder', async () => {
    await expect(TraceWriter.create(join(folder, 'plain'), emptyTraceRecord('plain', '', ''))).rejects.toThrow(/something of that name exists already/);
  });
});

describe('the index', () => {
  const folder = scratch();
  const parts = [recording(4000, 1000, 8), recording(3000, 1000, 9, 6)];
  const trace = join(folder, 'trace');
  const index = join(trace, 'samples.index');

  beforeAll(async () => void (await capture(trace, { pieces: [parts[0]!, { startS: 3.999, endS: 6 }, parts[1]!], flushEvery: 700 })));

  it('is made again when it is missing, cut, stale or damaged, and is then the same', async () => {
    const good = readFileSync(index);
    const check = async (how: string): Promise<void> => {
      const reader = await openTrace(trace);
      expect(reader.samples, how).toBe(7000);
      expect(reader.gaps, how).toEqual([{ startS: 3.999, endS: 6 }]);
      expect(sameSamples(joinBlocks(await all(reader), []), joinBlocks(parts, [])), how).toBe(true);
      await reader.close();
      expect(readFileSync(index).equals(good), how).toBe(true);
    };
    await check('untouched');
    rmSync(index);
    await check('missing');
    for (let length = 0; length < good.length; length += 197) {
      writeFileSync(index, good.subarray(0, length));
      await check(`cut at ${length}`);
    }
    writeFileSync(index, Buffer.alloc(5000, 7));
    await check('rubbish');
    await capture(join(folder, 'other'), { pieces: [recording(7000, 500, 1)] });
    writeFileSync(index, readFileSync(join(folder, 'other', 'samples.index')));
    await check('of another trace');
  });

  it('that is damaged is reported by verify each time, costs no sample, and is made again when the trace is opened', async () => {
    const good = readFileSync(index);
    for (let at = 3; at < good.length; at += 401) {
      const bad = Buffer.from(good);
      bad[at]! ^= 0x10;
      writeFileSync(index, bad);
      const report = await verifyTrace(trace);
      expect(report.ok, `byte ${at}`).toBe(true);
      expect(await verifyTrace(trace), `byte ${at}`).toEqual(report);
      expect(report.problems.map((problem) => problem.code)).toContain('index-rebuilt');
      expect(report.damaged).toEqual([]);
      await mendTrace(trace);
      expect((await verifyTrace(trace)).problems).toEqual([]);
    }
  });
});

describe('converting', () => {
  const folder = scratch();
  const trace = join(folder, 'trace');

  beforeAll(async () => void (await capture(trace, { pieces: [recording(9000, 1000, 1), { startS: 8.999, endS: 11 }, recording(2000, 1000, 2, 11)], marks: [{ timeS: 1, kind: 'note', label: 'x' }] })));

  it('to CSV, Arrow, another folder and back keeps every sample and gap', async () => {
    const wanted = await (await openTrace(trace)).load();
    const shares: number[] = [];
    for (const out of ['a.csv', 'a.arrows', 'again']) {
      expect(await convertTrace(trace, join(folder, out), {}, (share) => shares.push(share))).toMatchObject({ samples: 11_000, problems: [] });
      const reader = await openTrace(join(folder, out));
      const read = await reader.load();
      expect(sameSamples(read, wanted), out).toBe(true);
      expect(read.gaps, out).toEqual(wanted.gaps);
      await reader.close();
    }
    expect(shares[shares.length - 1]).toBe(1);
    expect((await verifyTrace(join(folder, 'again'))).ok).toBe(true);
    expect((await openTrace(join(folder, 'again'))).marks).toHaveLength(1);
    expect(await convertTrace(join(folder, 'a.csv'), join(folder, 'b.arrows'))).toMatchObject({ samples: 11_000 });
    expect(sameSamples(await readAll(join(folder, 'b.arrows')), wanted)).toBe(true);
  });

  it('refuses to write over something, an unknown ending, and a file that is not there, in words', async () => {
    writeFileSync(join(folder, 'there.csv'), '');
    await expect(convertTrace(trace, join(folder, 'there.csv'))).rejects.toThrow(/exists already/);
    await expect(convertTrace(trace, join(folder, 'a.xlsx'))).rejects.toThrow(/.csv, .arrows, .parquet, .svg, .png or .zip/);
    await expect(convertTrace(join(folder, 'nothing.csv'), join(folder, 'c.csv'))).rejects.toThrow(/it is not there/);
    await expect(convertTrace(trace, join(folder, 'no', 'such', 'c.csv'))).rejects.toThrow(/Cannot write/);
    await expect(openTrace(join(folder, 'nothing.parquet'))).rejects.toThrow(/it is not there/);
  });

  it('that is cancelled, or fails on a bad row, leaves nothing that looks whole', async () => {
    const stop = new AbortController();
    await expect(convertTrace(trace, join(folder, 'd.csv'), {}, () => stop.abort(), stop.signal)).rejects.toMatchObject({ code: 'cancelled' });
    writeFileSync(join(folder, 'bad.csv'), `time_s,current_a\n0,1\n${'x,y\n'.repeat(3)}`);
    await expect(convertTrace(join(folder, 'bad.csv'), join(folder, 'e.arrows'))).rejects.toThrow(/Line 3, column 1/);
    await expect(convertTrace(join(folder, 'bad.csv'), join(folder, 'e'))).rejects.toThrow(/Line 3, column 1/);
    expect(readdirSync(folder).filter((name) => /^[de]\b|part/.test(name))).toEqual([]);
    expect(await convertTrace(join(folder, 'bad.csv'), join(folder, 'e.csv'), { skipBad: true })).toMatchObject({ samples: 1, problems: [{}, {}, {}, { code: 'skipped-rows' }] });
  });

  it('to Parquet is read by parquet-wasm (Rust) and DuckDB with every value the same', async () => {
    const out = join(folder, 'a.parquet');
    await convertTrace(trace, out);
    const wanted = await (await openTrace(trace)).load();
    const { readParquet } = await import('parquet-wasm');
    const table = tableFromIPC(readParquet(readFileSync(out)).intoIPCStream());
    const column = (name: string): unknown => table.getChild(name)!.toArray();
    expect(sameSamples({ timeS: column('time_s') as Float64Array, currentA: column('current_a') as Float32Array, voltageV: column('voltage_v') as Float32Array }, wanted)).toBe(true);
    const { DuckDBInstance } = await import('@duckdb/node-api');
    const connection = await (await DuckDBInstance.create()).connect();
    const rows = (await connection.runAndReadAll(`select count(*), sum(current_a::double), max(time_s), min(voltage_v) from '${out}'`)).getRows();
    connection.closeSync();
    expect(rows[0]).toEqual([11_000n, expect.closeTo(wanted.currentA.reduce((sum, value) => sum + value, 0), 3), 12.999, Math.min(...wanted.voltageV!)]);
  });
});

describe('a file that is no trace', () => {
  const folder = scratch();
  it('is refused with what it is and what to do', async () => {
    const cases: [name: string, bytes: string | Buffer, wanted: RegExp][] = [
      ['a.txt', 'hello\n', /There is no column current_a/],
      ['a.arrows', '', /it is empty/],
      ['b.arrows', 'time_s,current_a\n0,1\n', /looks like text.*\.csv/],
      ['c.arrows', 'ARROW1\0\0rest', /footer.*stream/],
      ['d.arrows', 'PAR1....', /Parquet/],
      ['e.arrows', Buffer.alloc(64, 0xff), /not those of one/],
      ['f.arrows', Buffer.from('fffffffff8000000', 'hex'), /ends inside its first message/],
      ['g.parquet', 'PAR1', /written but not read/],
      ['h.doc', 'x', /a folder, or a file whose name ends/],
    ];
    for (const [name, bytes, wanted] of cases) {
      writeFileSync(join(folder, name), bytes);
      await expect(openTrace(join(folder, name)), name).rejects.toThrow(wanted);
    }
    mkdirSync(join(folder, 'empty'));
    await expect(openTrace(join(folder, 'empty'))).rejects.toThrow(/samples\.arrows: it is not there/);
    expect(existsSync(join(folder, 'empty', 'samples.index'))).toBe(false);
  });
});

describe('a thinned capture', () => {
  const folder = scratch();
  it('says so in trace.json and is not full of gaps for it', async () => {
    const path = join(folder, 'thin');
    const quiet = recording(60_000, 1000, 1);
    quiet.currentA.fill(0.03);
    quiet.currentA.fill(3, 30_000, 31_000);
    await capture(path, { pieces: [quiet], options: { durable: false, thinning: { changeA: 0.5, aroundS: 1, binS: 0.1 } } });
    const reader = await openTrace(path);
    expect(reader.record.thinning).toMatchObject({ policy: expect.stringMatching(/Full rate within 1 s/), kept_full_rate: [expect.anything(), { start_s: expect.closeTo(28.9, 0), end_s: expect.closeTo(32, 0) }] });
    expect(reader.samples).toBeLessThan(8000);
    expect(reader.gaps).toEqual([]);
    await reader.close();
    rmSync(join(path, 'samples.index'));
    const again = await openTrace(path);
    expect(again.gaps).toEqual([]);
    await again.close();
    await convertTrace(path, join(folder, 'thin.csv'));
    expect((await openTrace(join(folder, 'thin.csv'))).gaps).toEqual([]);
  });
});
