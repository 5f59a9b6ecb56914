import { spawnSync } from 'node:child_process';
import { appendFileSync, cpSync, existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { MAX_MARKS, markLine } from '../../src/core/tracefile/marks.ts';
import type { SampleBlock } from '../../src/core/trace.ts';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import { recordTrace } from '../../src/daemon/recording/record.ts';
import { copyTrace } from '../../src/daemon/store/exchange/copy-trace.ts';
import { convertTrace } from '../../src/daemon/store/exchange/convert.ts';
import { recoverTrace } from '../../src/daemon/store/samples/mending/recover.ts';
import { Store } from '../../src/daemon/store/store.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import type { CaptureEnd } from '../../src/daemon/store/samples/writing/capture-end.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { capture, recording, scratch, slice, smallDisk } from '../daemon/store/kit.ts';
import { blockAt, HandSource } from '../daemon/stand.ts';

const whole = recording(4000, 1000, 77);
const folder = scratch();
const fresh = (): string => mkdtempSync(join(folder, 'data-'));
const open = (data: string): Promise<Store> => Store.open(data, { software: 'test' });

/** A logger with a bad plug: two samples, then a hole, again and again. */
function* broken(pieces: number): Generator<SampleBlock | { startS: number; endS: number }> {
  for (let i = 0; i < pieces; i++) {
    const atS = i * 0.01;
    if (i > 0) yield { startS: atS - 0.009, endS: atS };
    yield { timeS: Float64Array.of(atS, atS + 0.001), currentA: Float32Array.of(1, 2), voltageV: null };
  }
}

describe('a trace of very many gaps', () => {
  it('keeps trace.json small, lists all of them in a file of their own, and gives them all back', async () => {
    const path = join(fresh(), 'gaps');
    const pieces = 5000;
    await capture(path, { pieces: [...broken(pieces)], flushEvery: 0 });
    expect(statSync(join(path, 'trace.json')).size).toBeLessThan(120_000);
    const rows = readFileSync(join(path, 'gaps.csv'), 'utf8').trim().split('\n');
    expect(rows[0]).toBe('start_s,end_s');
    expect(rows).toHaveLength(pieces);
    const reader = await openTrace(path);
    expect(reader.record).toMatchObject({ gap_count: pieces - 1 });
    expect(reader.gaps).toHaveLength(pieces - 1);
    expect(reader.problems).toEqual([]);
    await reader.close();
  });
});

describe('marks', () => {
  const ended = async (): Promise<{ store: Store; ref: { jobId: string; traceId: string }; path: string }> => {
    const store = await open(fresh());
    const { ref, writer } = await store.startTrace(null, {}, { durable: false });
    writer.append(slice(whole, 0, 1000));
    await writer.mark({ timeS: 0.1, kind: 'note', label: 'first' });
    await writer.finish();
    return { store, ref, path: join(await store.path(ref), 'marks.jsonl') };
  };

  it('after a line that a crash has torn stand in a line of their own', async () => {
    const { store, ref, path } = await ended();
    appendFileSync(path, '{"time_s":0.2,"kind":"no');
    const marks = await store.addMark(ref, { timeS: 0.3, kind: 'pull', label: 'F12' });
    expect(marks.map((mark) => mark.label)).toEqual(['first', 'F12']);
    await store.close();
  });

  it('past the most a trace can have are refused in words, not taken and hidden', async () => {
    const { store, ref, path } = await ended();
    writeFileSync(path, Array.from({ length: MAX_MARKS }, (_, i) => markLine({ timeS: i / 1e4, kind: 'note', label: 'x' })).join(''));
    await expect(store.addMark(ref, { timeS: 0.5, kind: 'note', label: 'one more' })).rejects.toMatchObject({ code: 'too-large', message: expect.stringContaining('10000 marks') });
    await store.close();
  });
});

describe('a file taken in', () => {
  it('that was cut short says so for as long as the trace is kept', async () => {
    const data = fresh();
    await capture(join(data, 'source'), { pieces: [whole], flushEvery: 500 });
    const file = join(data, 'copied.arrows');
    await convertTrace(join(data, 'source'), file);
    truncateSync(file, statSync(file).size - 700);
    const store = await open(data);
    const [ref] = await store.importFile(file, 'copied.arrows');
    const reader = await store.openTrace(ref!);
    expect(reader.samples).toBeLessThan(4000);
    expect(reader.problems.map((problem) => problem.code)).toEqual(['cut-short']);
    await reader.close();
    await store.close();
  });

  it.each(['csv', 'zip'])('as %s is listed whole or not at all, whenever the import is broken off', async (kind) => {
    const data = fresh();
    await capture(join(data, 'source'), { pieces: [recording(150_000, 1000, 3)], flushEvery: 50_000 });
    const file = join(folder, `big-${kind}.${kind}`);
    await convertTrace(join(data, 'source'), file);
    rmSync(join(data, 'source'), { recursive: true });
    const store = await open(data);
    let snapshots = 0;
    // what lies on the disk at this moment is what a power cut would leave
    const progress = (): void => void (snapshots < 12 && cpSync(data, join(folder, `${kind}-cut-${snapshots++}`), { recursive: true, filter: (path) => !/\.(lock|owner\.json)$/.test(path) }));
    await store.importFile(file, `big.${kind}`, { progress });
    expect(await store.traces()).toHaveLength(1);
    await store.close();
    expect(snapshots).toBeGreaterThan(2);
    for (let i = 0; i < snapshots; i++) {
      const after = await open(join(folder, `${kind}-cut-${i}`));
      expect(await after.traces()).toEqual([]);
      expect(readdirSync(after.dataFolder).filter((name) => name.startsWith('.import'))).toEqual([]);
      await after.close();
    }
  });
});

describe('a full disk', () => {
  it('makes no copy that looks whole: taking in a file onto it fails in words', async () => {
    const data = fresh();
    await capture(join(data, 'source'), { pieces: [recording(150_000, 1000, 3)], flushEvery: 50_000 });
    const reader = await openTrace(join(data, 'source'));
    const writer = await TraceWriter.create(join(data, 'copy'), emptyTraceRecord('copy', '2026-03-02T08:00:00Z', 'test'), { openFile: smallDisk(300_000), durable: false });
    await expect(copyTrace(reader, writer, {})).rejects.toMatchObject({ code: 'disk-full', message: expect.stringContaining('the disk is full') });
    await reader.close();
  });

  it('ends a recording without a browser with a sentence, which the command answers by exit code 1', async () => {
    class Flood extends HandSource {
      override start(sink: Parameters<HandSource['start']>[0]): void {
        super.start(sink);
        for (let i = 0; i < 20; i++) this.send(blockAt(i, 1000));
      }
    }
    const summary = await recordTrace({ source: 'hand:1', out: join(fresh(), 'full'), signal: new AbortController().signal, log: () => undefined, openSource: () => new Flood(), openFile: smallDisk(40_000) });
    expect(summary).toMatchObject({ endCause: 'disk-full', trouble: expect.stringContaining('the disk is full') });
  });
});

describe('a shell that allows small files only', () => {
  // the kernel refuses what makes a file larger than 256 kB (EFBIG), as it does beyond a quota
  const simulate = (out: string): { status: number | null; stderr: string } =>
    spawnSync('sh', ['-c', `ulimit -f 512; exec "$0" --import 'data:text/javascript,process.on("SIGXFSZ",()=>undefined)' dist/cli/main.js simulate winch-healthy --out "$1"`, process.execPath, out], { encoding: 'utf8' });

  it.each(['trace', 'trace.csv', 'trace.arrows'])('gets no %s of the virtual vehicle that was cut and looks whole, and hears why', (name) => {
    const out = join(fresh(), name);
    const { status, stderr } = simulate(out);
    expect({ status, stderr }).toEqual({ status: 1, stderr: expect.stringContaining('the disk is full') });
    expect(existsSync(out)).toBe(false);
  });
});

describe('a data folder that is no longer this process’s', () => {
  it('is not made again, without a lock, by the next recording', async () => {
    const data = fresh();
    const store = await open(data);
    rmSync(data, { recursive: true });
    await expect(store.startTrace(null, {})).rejects.toMatchObject({ code: 'lock-lost' });
    await expect(store.jobs.create({ depot: '', vehicle: 'van 3', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '' }, new Date(0))).rejects.toMatchObject({ code: 'lock-lost' });
    expect(existsSync(data)).toBe(false);
    await store.close();
  });

  it('ends the recording with a message, and what the other has mended stays as it is to the last byte', async () => {
    const data = fresh();
    const store = await open(data);
    const ends: CaptureEnd[] = [];
    const { ref, writer } = await store.startTrace(null, {}, { onEnd: (end) => ends.push(end) });
    writer.append(slice(whole, 0, 1000));
    await writer.flush();
    // while this process was stopped another took the folder and closed the trace
    const path = await store.path(ref);
    writeFileSync(join(data, '.owner.json'), JSON.stringify({ pid: 1, host: 'another', since: '2026-03-02T08:00:00Z', key: 'theirs' }));
    await recoverTrace(path);
    const mended = readdirSync(path).map((name) => [name, readFileSync(join(path, name))] as const);
    writer.append(slice(whole, 1000, 2000));
    await writer.flush();
    await writer.closed;
    expect(ends).toMatchObject([{ cause: 'lock-lost', text: expect.stringMatching(/another amptrail uses it now/) }]);
    await expect(store.addMark(ref, { timeS: 0.5, kind: 'note', label: 'late' })).rejects.toMatchObject({ code: 'lock-lost' });
    await store.close();
    for (const [name, bytes] of mended) expect(readFileSync(join(path, name)).equals(bytes), name).toBe(true);
    expect(JSON.parse(readFileSync(join(data, '.owner.json'), 'utf8'))).toMatchObject({ key: 'theirs' });
  });

  it('is left alone also where only the trace shows that another program was there', async () => {
    const store = await open(fresh());
    const ends: CaptureEnd[] = [];
    const { ref, writer } = await store.startTrace(null, {}, { onEnd: (end) => ends.push(end) });
    writer.append(slice(whole, 0, 1000));
    await writer.flush();
    const path = await store.path(ref);
    await recoverTrace(path);
    const samples = readFileSync(join(path, 'samples.arrows'));
    writer.append(slice(whole, 1000, 2000));
    await writer.flush();
    await writer.closed;
    expect(ends.map((end) => end.cause)).toEqual(['lock-lost']);
    expect(readFileSync(join(path, 'samples.arrows')).equals(samples)).toBe(true);
    await store.close();
  });
});

describe('a copy of the running trace', () => {
  it('in another job is another trace: it takes its own name and can be moved', async () => {
    const store = await open(fresh());
    const { ref, writer } = await store.startTrace(null, { title: 'running' }, { durable: false });
    writer.append(slice(whole, 0, 1000));
    await writer.flush();
    const job = await store.jobs.create({ depot: '', vehicle: 'van 3', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '' }, new Date(0));
    cpSync(await store.path(ref), join(store.jobs.path(job.id), ref.traceId), { recursive: true });
    await recoverTrace(join(store.jobs.path(job.id), ref.traceId));
    const copy = { jobId: job.id, traceId: ref.traceId };
    await store.updateTrace(copy, { title: 'the copy' });
    expect((await store.record(copy)).title).toBe('the copy');
    expect(writer.record.title).toBe('running');
    expect((await store.traces()).map(({ record }) => record.title).sort()).toEqual(['running', 'the copy']);
    await store.moveTrace(copy, null);
    await store.close();
  });
});

describe('the identity of a recording', () => {
  it('is of its start and its samples: the same in another file, in other blocks and after a crash; another when one reading differs', async () => {
    const data = fresh();
    const uidOf = async (path: string): Promise<string | null> => {
      const reader = await openTrace(path);
      await reader.close();
      return reader.record.trace_uid;
    };
    await capture(join(data, 'a'), { pieces: [whole], flushEvery: 500 });
    await capture(join(data, 'b'), { pieces: [whole], flushEvery: 333 });
    await convertTrace(join(data, 'a'), join(data, 'c'));
    const other = { ...whole, currentA: whole.currentA.slice() };
    other.currentA[1234]! += 0.001;
    await capture(join(data, 'd'), { pieces: [other] });
    cpSync(join(data, 'a'), join(data, 'e'), { recursive: true });
    const record = JSON.parse(readFileSync(join(data, 'e', 'trace.json'), 'utf8')) as object;
    writeFileSync(join(data, 'e', 'trace.json'), JSON.stringify({ ...record, end: 'running', trace_uid: null }));
    await recoverTrace(join(data, 'e'));
    const uid = await uidOf(join(data, 'a'));
    expect(uid).toMatch(/^[0-9a-f]{64}$/);
    for (const same of ['b', 'c', 'e']) expect(await uidOf(join(data, same)), same).toBe(uid);
    expect(await uidOf(join(data, 'd'))).not.toBe(uid);
  });
});
