import { createRequire } from 'node:module';
import { pathToFileURL } from 'node:url';
import { Worker, type WorkerOptions } from 'node:worker_threads';

/** Files of this folder that run as worker threads. */
export type WorkerName = 'live-worker' | 'long-worker' | 'view-worker';

/** A thread that computes must not take the whole machine's memory with it (samples lie outside of this limit). */
const LIMITS: WorkerOptions = { resourceLimits: { maxOldGenerationSizeMb: 512 } };

/**
 * Starts a worker thread from the one file that the build makes of it (`threads.config.mjs`: `dist/threads/live-worker.js`) or straight from the sources
 * (`live-worker.ts`, when this file itself runs as TypeScript: development). In the second case the thread first registers the loader for TypeScript by hand,
 * since Node 20 does not hand `--import` hooks on to the first file of a thread.
 */
export function startWorker(name: WorkerName): Worker {
  if (!import.meta.url.endsWith('.ts')) return new Worker(new URL(`../../threads/${name}.js`, import.meta.url), LIMITS);
  const loader = JSON.stringify(pathToFileURL(createRequire(import.meta.url).resolve('tsx/esm/api').replace(/cjs$/, 'mjs')).href);
  const file = JSON.stringify(new URL(`./${name}.ts`, import.meta.url).href);
  return new Worker(`import(${loader}).then(({ register }) => { register(); return import(${file}); });`, { ...LIMITS, eval: true });
}
