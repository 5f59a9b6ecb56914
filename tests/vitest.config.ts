import { fileURLToPath } from 'node:url';
import { defineConfig, type TestProjectInlineConfiguration } from 'vitest/config';
import { builtSources } from './built.ts';
import Order, { WORKERS } from './order.ts';

/** Tests of functions, or of a daemon that a test starts and closes itself: they leave nothing behind in their process, so one serves file after file. */
const SHARED = ['core', 'web', 'simulate', 'reference', 'score', 'score-checks', 'fuzz', 'firmware', 'cli', 'browser', 'mutants', 'daemon/{http,live,recording,store,threads}'].map((folder) => `tests/${folder}/**/*.test.{ts,tsx}`);

/** With six processes on two cores a collection of the heap that spreads over threads of its own, and starts anew every megabyte, takes a seventh of all work. */
const COLLECTING = ['--single-threaded-gc', '--min-semi-space-size=16', '--max-semi-space-size=32'];

function project(test: NonNullable<TestProjectInlineConfiguration['test']>): TestProjectInlineConfiguration {
  return {
    root: fileURLToPath(new URL('..', import.meta.url)),
    oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
    plugins: [builtSources()],
    test: {
      pool: 'forks',
      execArgv: COLLECTING,
      retry: 0,
      setupFiles: ['./tests/property-seed.ts'],
      server: { deps: { external: [/\/dist\/(core|simulate|daemon|cli)\//] } },
      // as long as a page waits for what it looks for (browser/browser.ts): a busy machine takes longer than the usual second
      expect: { poll: { timeout: 60_000 } },
      // no test is judged by its time: this ends what hangs, also where ten programs share a core
      testTimeout: 240_000,
      hookTimeout: 240_000,
      ...test,
    },
  };
}

/** One configuration for every test, no retries. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    maxWorkers: WORKERS,
    globalSetup: ['./tests/built.ts'],
    sequence: { sequencer: Order },
    reporters: ['default', './tests/closing-line.ts'],
    projects: [
      project({ name: 'shared', include: SHARED, isolate: false }),
      project({ name: 'alone', include: ['tests/**/*.test.{ts,tsx}'], exclude: SHARED }),
    ],
  },
});
