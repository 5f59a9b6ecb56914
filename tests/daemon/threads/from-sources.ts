import { startWorker, type WorkerName } from '../../../src/daemon/threads/start-worker.ts';

/** Starts every thread, asks each for something it does not know, and prints the name of each that answers. */
const NAMES: readonly WorkerName[] = ['live-worker', 'long-worker', 'view-worker'];

for (const name of NAMES) {
  const worker = startWorker(name);
  worker.once('message', ({ id }: { id: number }) => {
    if (id === 1) process.stdout.write(`${name}\n`);
    void worker.terminate();
  });
  worker.postMessage({ id: 1, work: { do: 'nothing' } });
}
