import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** One configuration for every test: two workers (the smallest machine the suite must fit), no retries. */
export default defineConfig({
  root: fileURLToPath(new URL('..', import.meta.url)),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: ['tests/**/*.test.{ts,tsx}'],
    pool: 'forks',
    maxWorkers: 2,
    retry: 0,
    setupFiles: ['./tests/property-seed.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    reporters: ['default', './tests/closing-line.ts'],
  },
});
