import { createRequire, syncBuiltinESMExports } from 'node:module';
import { pathToFileURL } from 'node:url';
import type { Worker, WorkerOptions } from 'node:worker_threads';
import { bundleOf } from './bundle.ts';
import type { Switches } from './child.ts';

/** Slips that a copy can hold. */
const MOST_SLIPS = 1 << 16;
const hits = new Int32Array(new SharedArrayBuffer(4 * MOST_SLIPS));

/** Run in a thread before anything is loaded there: the slip that is made in the process is made in the thread too, and what comes by slips is counted where the process sees it. */
const BEGIN = `{
  const { hits, active, limit } = require('node:worker_threads').workerData;
  const counted = new Int32Array(hits);
  const whileTested = new Proxy({}, { get: (_, id) => counted[Number(id)], set: (_, id, times) => ((counted[Number(id)] = times), true) });
  globalThis.__stryker__ = { activeMutant: active, hitCount: 0, hitLimit: limit, mutantCoverage: { static: active === undefined ? whileTested : {}, perTest: {} } };
}
`;

/** The threads that `daemon/threads/start-worker.ts` starts from sources get the switches of the process, and are started from the one file that was made of each. */
export function watchThreads(switches: Switches): void {
  const threads = createRequire(import.meta.url)('node:worker_threads') as { Worker: typeof Worker };
  threads.Worker = class extends threads.Worker {
    constructor(source: string | URL, options: WorkerOptions = {}) {
      const thread = options.eval === true ? /threads\/([a-z]+-worker)\.ts/.exec(String(source))?.[1] : undefined;
      if (thread === undefined) super(source, options);
      else super(`${BEGIN}import(${JSON.stringify(pathToFileURL(bundleOf(process.cwd(), thread)).href)});`, { ...options, workerData: { hits: hits.buffer, active: switches.activeMutant, limit: switches.hitLimit } });
    }
  };
  syncBuiltinESMExports();
}

/** How often threads came by each slip since the last call. */
export function threadHits(): [slip: string, times: number][] {
  const found: [string, number][] = [];
  for (const [slip, times] of hits.entries()) if (times > 0) found.push([String(slip), times]);
  hits.fill(0);
  return found;
}
