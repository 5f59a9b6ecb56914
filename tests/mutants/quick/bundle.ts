import { join } from 'node:path';
import { build } from 'vite';

/** Threads of the daemon, `src/daemon/threads/NAME.ts`. */
const THREADS = ['live-worker', 'long-worker', 'view-worker'];

/** Where the file of a thread lies in a copy: as high as `src/daemon/version.ts`, which looks for package.json from there. */
export const bundleOf = (copy: string, thread: string): string => join(copy, 'src', 'daemon', `${thread}.bundle.mjs`);

/** Makes one file of each thread's sources in the copy, slips and all: from hundreds of sources a thread takes seconds to start, and most tests of a daemon start one. */
export async function bundleThreads(copy: string): Promise<void> {
  for (const thread of THREADS) {
    await build({
      configFile: false,
      root: copy,
      logLevel: 'error',
      ssr: { external: true },
      build: { ssr: join('src', 'daemon', 'threads', `${thread}.ts`), outDir: join('src', 'daemon'), emptyOutDir: false, target: 'node20', minify: false, rollupOptions: { output: { entryFileNames: `${thread}.bundle.mjs`, codeSplitting: false } } },
    });
  }
}
