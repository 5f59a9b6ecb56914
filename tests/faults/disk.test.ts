import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, vi } from 'vitest';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import { openAppend, type AppendFile } from '../../src/daemon/store/files/append-file.ts';
import { Store } from '../../src/daemon/store/store.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import type { CaptureEnd } from '../../src/daemon/store/samples/writing/capture-end.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { readAll, recording, sameSamples, scratch, slice, smallDisk } from '../daemon/store/kit.ts';

const whole = recording(20_000, 1000, 31);

describe('a disk that fills up or fails while recording', () => {
  const folder = scratch();

  it.each([
    ['ENOSPC', 'disk-full', /the disk is full\. Free some space/],
    ['EDQUOT', 'disk-full', /the disk is full/],
    ['EIO', 'disk-error', /does not answer properly \(EIO\)/],
  ])('with %s ends the capture cleanly: it says so, and all that was written opens and is sound', async (code, cause, text) => {
    for (const bytes of [3000, 20_000, 77_777, 100_001]) {
      const path = join(folder, `${code}-${bytes}`);
      const ends: CaptureEnd[] = [];
      const writer = await TraceWriter.create(path, emptyTraceRecord(`${code}-${bytes}`, '2026-03-02T08:00:00Z', 'test'), { openFile: smallDisk(bytes, code), onEnd: (end) => ends.push(end) });
      for (let at = 0; at < 20_000; at += 400) {
        writer.append(slice(whole, at, at + 400));
        await writer.flush();
      }
      await writer.closed;
      expect(ends).toHaveLength(1);
      expect(ends[0]!.cause).toBe(cause);
      expect(ends[0]!.text).toMatch(text);
      const reader = await openTrace(path);
      expect(reader.record).toMatchObject({ end: 'ended', end_cause: cause, samples: reader.samples });
      if (reader.samples > 0) expect(sameSamples(await reader.load(), slice(whole, 0, reader.samples))).toBe(true);
      await reader.close();
      // what fits in the room that is left is room for samples, half of it at least
      expect(reader.samples * 16).toBeGreaterThan(bytes / 2 - 8000);
      expect((await verifyTrace(path)).ok).toBe(true);
      expect(readdirSync(path).filter((name) => name.startsWith('.'))).toEqual([]);
    }
  });

  it('with the kernel itself saying ENOSPC (/dev/full) ends the same way', async () => {
    const path = join(folder, 'dev-full');
    const ends: CaptureEnd[] = [];
    let creating = true;
    const openFile = async (file: string): Promise<AppendFile> => {
      const real = await openAppend(file);
      if (!file.endsWith('.arrows')) return real;
      const full = await openAppend('/dev/full');
      const close = async (): Promise<void> => {
        await full.close();
        await real.close();
      };
      return { ...real, append: (part) => (creating ? real.append(part) : full.append(part)), close };
    };
    const writer = await TraceWriter.create(path, emptyTraceRecord('dev-full', '2026-03-02T08:00:00Z', 'test'), { openFile, onEnd: (end) => ends.push(end) });
    creating = false;
    writer.append(slice(whole, 0, 100));
    await writer.flush();
    await writer.closed;
    expect(ends.map((end) => end.cause)).toEqual(['disk-full']);
    expect((await readAll(path)).timeS).toHaveLength(0);
  });

  it('only for the index is no reason to stop: the index is made again at the end', async () => {
    const path = join(folder, 'index-only');
    const openFile = async (file: string): Promise<AppendFile> => (file.endsWith('.index') ? smallDisk(500, 'ENOSPC')(file) : openAppend(file));
    const writer = await TraceWriter.create(path, emptyTraceRecord('index-only', '2026-03-02T08:00:00Z', 'test'), { openFile });
    for (let at = 0; at < 20_000; at += 400) {
      writer.append(slice(whole, at, at + 400));
      await writer.flush();
    }
    await writer.finish();
    expect(await verifyTrace(path)).toMatchObject({ ok: true, samples: 20_000 });
  });

  it('that takes nothing for a while keeps a bounded amount and tells the rest as a gap', async () => {
    const path = join(folder, 'stuck');
    let open = (): void => undefined;
    let stuck = false;
    const opened = new Promise<void>((resolve) => {
      open = resolve;
    });
    const openFile = async (file: string): Promise<AppendFile> => {
      const real = await openAppend(file);
      return {
        ...real,
        append: async (part) => {
          if (stuck) await opened;
          await real.append(part);
        },
      };
    };
    const writer = await TraceWriter.create(path, emptyTraceRecord('stuck', '2026-03-02T08:00:00Z', 'test'), { openFile, durable: false });
    stuck = true;
    const block = { timeS: new Float64Array(10_000), currentA: new Float32Array(10_000), voltageV: null };
    for (let k = 0; k < 300; k++) {
      for (let i = 0; i < 10_000; i++) block.timeS[i] = (k * 10_000 + i) / 50_000;
      writer.append(block);
    }
    // 3 M samples offered, 2^20 kept waiting, a batch or two on their way
    expect(writer.samples).toBeLessThan(1.1e6);
    stuck = false;
    open();
    await writer.flush();
    block.timeS.forEach((_, i) => (block.timeS[i] = 100 + i / 50_000));
    writer.append(block);
    await writer.finish();
    const reader = await openTrace(path);
    expect(reader.gaps).toHaveLength(1);
    expect(reader.gaps[0]!.endS).toBe(100);
    await reader.close();
  });
});

describe('the data folder', () => {
  const folder = scratch();

  it('that is taken away while recording ends the recording with a sentence, not with silence', async () => {
    const data = mkdtempSync(join(folder, 'gone-'));
    const store = await Store.open(data, { software: 'test' });
    const ends: CaptureEnd[] = [];
    const { writer } = await store.startTrace(null, {}, { onEnd: (end) => ends.push(end) });
    writer.append(slice(whole, 0, 100));
    await writer.flush();
    rmSync(data, { recursive: true });
    writer.append(slice(whole, 100, 200));
    await writer.flush();
    await writer.closed;
    expect(ends.map((end) => end.cause)).toEqual(['lock-lost']);
    expect(ends[0]!.text).toMatch(/is gone: it was removed/);
    await expect(store.traces()).rejects.toThrow(/it is not there/);
    await store.close();
  });

  it('that cannot be made or written is explained with the fix', async () => {
    writeFileSync(join(folder, 'file'), '');
    await expect(Store.open(join(folder, 'file', 'data'), { software: 'test' })).rejects.toThrow(/part of its path is a file/);
    // the kernel's own file systems refuse new folders from everybody, root included
    await expect(Store.open('/sys/amptrail', { software: 'test' })).rejects.toThrow(/--data DIR/);
    await expect(Store.open('/proc/amptrail', { software: 'test' })).rejects.toThrow(/Cannot use the data folder/);
  });
});

describe('the wall clock', () => {
  const folder = scratch();

  it('stepped by an hour either way does not move trace time', async () => {
    vi.useFakeTimers({ toFake: ['Date'] });
    try {
      vi.setSystemTime('2026-03-02T08:00:00Z');
      const store = await Store.open(join(folder, 'data'), { software: 'test' });
      const { ref, writer } = await store.startTrace(null, { title: 'clock' });
      for (const [k, time] of ['2026-03-02T08:00:01Z', '2026-03-02T09:00:02Z', '2026-03-02T07:00:03Z', '2025-01-01T00:00:00Z'].entries()) {
        writer.append(slice(whole, k * 1000, k * 1000 + 1000));
        await writer.flush();
        vi.setSystemTime(time);
      }
      await writer.finish();
      const path = await store.path(ref);
      expect(sameSamples(await readAll(path), slice(whole, 0, 4000))).toBe(true);
      expect(JSON.parse(readFileSync(join(path, 'trace.json'), 'utf8'))).toMatchObject({ start: '2026-03-02T08:00:00.000Z', duration_s: 3.999, gaps: [] });
      await store.close();
    } finally {
      vi.useRealTimers();
    }
  });
});
