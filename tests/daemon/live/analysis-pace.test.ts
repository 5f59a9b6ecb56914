import { EventEmitter } from 'node:events';
import type { Worker } from 'node:worker_threads';
import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { LiveAnalysisRunner } from '../../../src/daemon/live/analysis.ts';
import type { Order } from '../../../src/daemon/threads/protocol.ts';

/** A thread that answers every question at once, and says that the answer took it `costMs`. */
function threadOf(costMs: number): Worker {
  const thread = new EventEmitter() as EventEmitter & { postMessage: (order: Order<unknown>) => void; unref: () => void; terminate: () => Promise<number> };
  thread.postMessage = ({ id }) => void (id !== 0 && setTimeout(() => thread.emit('message', { id, value: { result: { test: 'actuation' }, costMs } }), 0));
  thread.unref = () => undefined;
  thread.terminate = () => Promise.resolve(0);
  return thread as unknown as Worker;
}

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

// a result costs 100 ms: one a second is a tenth of a core. It costs 2 s: a tenth would be one in 20 s, and nobody holds a switch for so long.
it.each([[100, 10], [2000, 6]])('asks again after a rest that goes with what the last result cost, and never after more than 1.5 s (%i ms)', async (costMs, results) => {
  let seen = 0;
  const runner = new LiveAnalysisRunner({ clock: { nowMs: () => Date.now() } as never, onResult: () => void seen++, onFault: (text) => { throw new Error(text); }, startWorker: () => threadOf(costMs) });
  for (let i = 0; i < 900; i += 1) {
    runner.samples({ timeS: Float64Array.of(i / 100), currentA: Float32Array.of(1), voltageV: null });
    await vi.advanceTimersByTimeAsync(10);
  }
  expect(seen).toBeGreaterThanOrEqual(results - 1);
  expect(seen).toBeLessThanOrEqual(results + 1);
  await runner.close();
});

it('costs nothing while nobody watches, keeps no old result for who comes next, and answers with all samples as soon as somebody does', async () => {
  let seen = 0;
  let watched = false;
  const runner = new LiveAnalysisRunner({
    clock: { nowMs: () => Date.now() } as never, onResult: () => void seen++, isWatched: () => watched,
    onFault: (text) => { throw new Error(text); }, startWorker: () => threadOf(100),
  });
  const readings = async (count: number): Promise<void> => {
    for (let i = 0; i < count; i += 1) {
      runner.samples({ timeS: Float64Array.of(Date.now() / 1000), currentA: Float32Array.of(1), voltageV: null });
      await vi.advanceTimersByTimeAsync(10);
    }
  };
  await readings(500);
  expect(seen).toBe(0);
  watched = true;
  // no reading comes any more: what is here already is asked about all the same
  runner.look();
  await vi.advanceTimersByTimeAsync(1000);
  expect(seen).toBe(1);
  expect(runner.latest).not.toBeNull();
  watched = false;
  await readings(200);
  expect(seen).toBe(1);
  expect(runner.latest).toBeNull();
  await runner.close();
});
