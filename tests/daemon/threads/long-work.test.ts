import { join } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { describe, expect, it, onTestFinished } from 'vitest';
import { emptyTraceRecord } from '../../../src/core/tracefile/trace-json.ts';
import { LongWork } from '../../../src/daemon/threads/long-work.ts';
import { TraceWriter } from '../../../src/daemon/store/samples/writing/trace-writer.ts';
import { recording, scratch } from '../store/kit.ts';

describe('long work', () => {
  const folder = scratch();

  /** a stored trace, work to do on it, and the threads started for it */
  async function begun(name: string): Promise<{ work: LongWork; path: string; threads: Worker[] }> {
    const path = join(folder, name);
    const writer = await TraceWriter.create(path, emptyTraceRecord(name, '2026-03-02T08:00:00Z', 'test'), { durable: false });
    writer.append(recording(20_000, 1000, 8));
    await writer.finish('stopped');
    const work = new LongWork();
    const threads: Worker[] = [];
    const count = (thread: Worker): void => void threads.push(thread);
    process.on('worker', count);
    onTestFinished(() => {
      process.off('worker', count);
      work.close();
    });
    return { work, path, threads };
  }

  it('is done piece after piece in one thread, and a piece that found something wrong leaves it fit for the next', async () => {
    const { work, path, threads } = await begun('one-thread');
    const charge = { do: 'charge', path, fromS: 0, toS: 10 } as const;
    const [first, second] = await Promise.all([work.run(charge), work.run(charge)]);
    await expect(work.run({ do: 'charge', path: join(folder, 'nothing-here'), fromS: 0, toS: 10 })).rejects.toMatchObject({ code: 'not-found' });
    expect(second).toEqual(first);
    expect(await work.run(charge)).toEqual(first);
    expect(threads).toHaveLength(1);
  });

  it('that is cancelled takes its thread along; the next piece gets a new one', async () => {
    const { work, path, threads } = await begun('cancelled');
    const stopper = new AbortController();
    const analysed = work.run({ do: 'analyse', path, test: 'actuation' }, { signal: stopper.signal });
    stopper.abort();
    await expect(analysed).rejects.toMatchObject({ code: 'cancelled' });
    await work.run({ do: 'charge', path, fromS: 0, toS: 10 });
    expect(threads).toHaveLength(2);
  });

  it('ends its thread when it is closed, and does nothing more', async () => {
    const { work, path, threads } = await begun('closed');
    const charge = { do: 'charge', path, fromS: 0, toS: 10 } as const;
    await work.run(charge);
    const ended = new Promise((resolve) => threads[0]!.once('exit', resolve));
    work.close();
    await ended;
    await expect(work.run(charge)).rejects.toMatchObject({ code: 'cancelled' });
    expect(threads).toHaveLength(1);
  });

  it('lets its thread go when nothing more was wanted of it for 30 s, and begins another for what comes then', async () => {
    const { work, path, threads } = await begun('idle');
    const charge = { do: 'charge', path, fromS: 0, toS: 10 } as const;
    const idle: (() => void)[] = [];
    const kept = globalThis.setTimeout;
    Object.assign(globalThis, { setTimeout: (ring: () => void, ms?: number) => (ms === 30_000 ? (idle.push(ring), { unref: (): void => undefined }) : kept(ring, ms)) });
    await work.run(charge).finally(() => Object.assign(globalThis, { setTimeout: kept }));
    expect([idle.length, threads.length]).toEqual([1, 1]);
    const ended = new Promise((resolve) => threads[0]!.once('exit', resolve));
    idle[0]!();
    await ended;
    await work.run(charge);
    expect(threads).toHaveLength(2);
  });
});
