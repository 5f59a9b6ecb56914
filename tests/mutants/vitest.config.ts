import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

/** The tests that MUTANT_TESTS names, a JSON list of globs: without reporters of their own, from the root of whatever copy this file lies in. */
export default defineConfig({
  root: fileURLToPath(new URL('../..', import.meta.url)),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  test: {
    include: JSON.parse(process.env['MUTANT_TESTS'] ?? '[]') as string[],
    retry: 0,
    setupFiles: ['./tests/property-seed.ts'],
    testTimeout: 60_000,
    hookTimeout: 60_000,
  },
});
