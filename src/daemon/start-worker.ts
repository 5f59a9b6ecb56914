import { Worker } from 'node:worker_threads';

/** Files of this folder that run as worker threads. */
export type WorkerName = 'live-worker' | 'long-worker';

/**
 * Starts a worker thread from the built program (`live-worker.js`) or straight from the sources (`live-worker.ts`, when this file
 * itself runs as TypeScript: tests and development), in which case the thread needs the same loader.
 */
export function startWorker(name: WorkerName, workerData?: unknown): Worker {
  const fromSources = import.meta.url.endsWith('.ts');
  return new Worker(new URL(`./${name}.${fromSources ? 'ts' : 'js'}`, import.meta.url), {
    workerData,
    execArgv: fromSources ? ['--import', 'tsx'] : [],
    // a thread that computes must not take the whole machine's memory with it
    resourceLimits: { maxOldGenerationSizeMb: 512 },
  });
}
