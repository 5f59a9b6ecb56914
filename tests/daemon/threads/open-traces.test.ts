import { cpSync, readdirSync, readFileSync, readlinkSync, renameSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import { OpenTraces } from '../../../src/daemon/threads/open-traces.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { capture, recording, sameSamples, scratch, slice } from '../store/kit.ts';

/** File descriptors of this process that lead into a folder (Linux). */
function heldOpen(folder: string): number {
  return readdirSync('/proc/self/fd').filter((fd) => {
    try {
      return readlinkSync(`/proc/self/fd/${fd}`).startsWith(folder);
    } catch {
      return false;
    }
  }).length;
}

describe('traces kept open for pictures', () => {
  const folder = scratch();

  it('follow a capture while it is written, with every sample that is on the disk, over gaps', async () => {
    const traces = new OpenTraces();
    const path = join(folder, 'growing');
    const writer = await TraceWriter.create(path, emptyTraceRecord('growing', '2026-03-02T08:00:00Z', 'test'), { durable: false });
    const all = recording(60_000, 1000, 8);
    let reader = await traces.reader(path);
    expect(reader.samples).toBe(0);
    for (let at = 0; at < 60_000; at += 2000) {
      writer.append(slice(all, at, at + 2000));
      if (at === 30_000) writer.gap({ startS: 31.999, endS: 32 });
      await writer.flush();
      const next = await traces.reader(path);
      expect(next, 'not opened anew').toBe(reader);
      expect(next.samples).toBe(at + 2000);
      expect(next.lastS).toBe(all.timeS[at + 1999]);
      if (at % 20_000 !== 0) continue;
      expect(sameSamples(await next.load(), slice(all, 0, at + 2000))).toBe(true);
      const window = await next.window(0, next.lastS + 0.001, 40);
      expect(Math.max(...window.currentA)).toBe(Math.max(...all.currentA.subarray(0, at + 2000)));
    }
    expect(reader.gaps).toEqual([{ startS: all.timeS[31_999], endS: all.timeS[32_000] }]);
    await writer.finish('stopped');
    const ended = await traces.reader(path);
    expect(ended).not.toBe(reader);
    expect(ended.record).toMatchObject({ end: 'ended', samples: 60_000 });
    reader = ended;
    expect(await traces.reader(path)).toBe(reader);
    await traces.forget(path);
  });

  it('show of a capture what its index tells, when they are opened between a batch and its entry, and that batch once', async () => {
    const traces = new OpenTraces();
    const [live, seen] = [join(folder, 'live'), join(folder, 'seen')];
    const writer = await TraceWriter.create(live, emptyTraceRecord('live', '2026-03-02T08:00:00Z', 'test'), { durable: false });
    const all = recording(4000, 1000, 8);
    writer.append(slice(all, 0, 2000));
    await writer.flush();
    const index = readFileSync(join(live, 'samples.index'));
    writer.append(slice(all, 2000, 4000));
    await writer.flush();
    cpSync(live, seen, { recursive: true });
    writeFileSync(join(seen, 'samples.index'), index);
    const reader = await traces.reader(seen);
    expect(reader.samples).toBe(2000);
    writeFileSync(join(seen, 'samples.index'), readFileSync(join(live, 'samples.index')));
    utimesSync(join(seen, 'samples.arrows'), 0, 0);
    expect([await traces.reader(seen) === reader, reader.samples]).toEqual([true, 4000]);
    expect(sameSamples(await reader.load(), all)).toBe(true);
    await traces.forgetAll();
    await writer.finish('stopped');
  });

  it('are opened anew when somebody changes them, and three are held at most', async () => {
    const traces = new OpenTraces();
    for (const name of ['a', 'b', 'c', 'd']) await capture(join(folder, name), { pieces: [recording(2000, 1000, name.length)] });
    const first = await traces.reader(join(folder, 'a'));
    await capture(join(folder, 'other'), { pieces: [recording(500, 1000, 9)] });
    rmSync(join(folder, 'a'), { recursive: true });
    renameSync(join(folder, 'other'), join(folder, 'a'));
    const second = await traces.reader(join(folder, 'a'));
    expect(second).not.toBe(first);
    expect(second.samples).toBe(500);
    for (const name of ['b', 'c', 'd']) expect((await traces.reader(join(folder, name))).samples).toBe(2000);
    // samples and index of each
    if (process.platform === 'linux') expect(heldOpen(folder)).toBe(6);
    await traces.forgetAll();
    if (process.platform === 'linux') expect(heldOpen(folder)).toBe(0);
  });

  it('are each known by its own path: going from one to the other and back opens none anew', async () => {
    const traces = new OpenTraces();
    for (const name of ['left', 'right']) await capture(join(folder, name), { pieces: [recording(500, 1000, name.length)] });
    const [left, right] = [await traces.reader(join(folder, 'left')), await traces.reader(join(folder, 'right'))];
    expect(await traces.reader(join(folder, 'left'))).toBe(left);
    expect(await traces.reader(join(folder, 'right'))).toBe(right);
    await traces.forgetAll();
  });

  it('say in words when a trace has gone', async () => {
    const traces = new OpenTraces();
    await capture(join(folder, 'gone'), { pieces: [recording(500, 1000, 9)] });
    await traces.reader(join(folder, 'gone'));
    rmSync(join(folder, 'gone'), { recursive: true });
    await expect(traces.reader(join(folder, 'gone'))).rejects.toThrow(/it is not there/);
  });
});
