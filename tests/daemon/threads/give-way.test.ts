import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { getPriority } from 'node:os';
import { expect, it } from 'vitest';
import { giveWay } from '../../../src/daemon/threads/give-way.ts';
import { startWorker } from '../../../src/daemon/threads/start-worker.ts';

/** Nice values of all threads of this process: field 19 of /proc/PID/task/TID/stat (proc_pid_stat(5)), counted from behind the name, which may hold spaces; empty where the system has none. */
function niceValues(): number[] {
  if (!existsSync('/proc/self/task')) return [];
  return readdirSync('/proc/self/task').map((thread) => Number(readFileSync(`/proc/self/task/${thread}/stat`, 'utf8').split(') ').at(-1)!.split(' ')[16]));
}

it('is not for the thread that reads the logger itself', () => {
  const was = getPriority();
  giveWay();
  expect(getPriority()).toBe(was);
});

it.each([['long-worker', 1], ['live-worker', 0], ['view-worker', 0]] as const)('%s: those for long work stand back behind the thread that reads the logger, the others stay where it is', async (name, backwards) => {
  const was = getPriority();
  const before = niceValues().filter((nice) => nice === was + 5).length;
  const worker = startWorker(name);
  // no such order: answered by a fault, once the thread is up
  worker.postMessage({ id: 1, work: { do: 'nothing' } });
  await new Promise((resolve) => worker.once('message', resolve));
  expect(niceValues().filter((nice) => nice === was + 5).length - before).toBe(process.platform === 'linux' ? backwards : 0);
  expect(getPriority()).toBe(was);
  await worker.terminate();
});
