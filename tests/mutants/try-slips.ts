import { Stryker } from '@stryker-mutator/core';
import type { Folder } from './folders.ts';
import { LEFT_OUT, type Slip } from './slips.ts';

export interface Outcome {
  readonly slip: Slip;
  /** a test failed, or ran into no end */
  readonly noticed: boolean;
  /** the test that noticed, where that is known */
  readonly by?: string | null;
  /** false where it is known that no test comes by it */
  readonly reached?: boolean;
}

/** Plenty for a slip that makes a loop endless; one that only slows a test down is no slip noticed. */
const TIMEOUT_MS = 15_000;

const keyOf = (slip: Slip): string => JSON.stringify([slip.file, slip.location.start.line, slip.location.start.column, slip.location.end.line, slip.location.end.column, slip.mutator, slip.replacement]);

/** Makes each slip in a copy of the project and runs the folder's tests that reach it. */
export async function trySlips(folder: Folder, slips: readonly Slip[], incrementalFile: string | null): Promise<Outcome[]> {
  if (slips.length === 0) return [];
  process.env['MUTANT_TESTS'] = JSON.stringify(folder.tests);
  const range = ({ file, location: { start, end } }: Slip): string => `${file}:${start.line + 1}:${start.column}-${end.line + 1}:${end.column}`;
  const results = await new Stryker({
    testRunner: 'vitest',
    plugins: ['@stryker-mutator/vitest-runner'],
    vitest: { configFile: 'tests/mutants/vitest.config.ts', related: false },
    mutate: [...new Set(slips.map(range))],
    mutator: { excludedMutations: LEFT_OUT },
    coverageAnalysis: 'perTest',
    // none: Stryker would rewrite ours with a TypeScript that has no such call any more, and the tests do not read it
    tsconfigFile: 'none',
    ignorePatterns: ['dist', 'sample-traces', 'firmware-notes', '.stryker-tmp'],
    reporters: [],
    concurrency: 2,
    timeoutMS: TIMEOUT_MS,
    incremental: incrementalFile !== null,
    ...(incrementalFile === null ? {} : { incrementalFile }),
    logLevel: 'error' as never,
    allowEmpty: true,
  }).runMutationTest();
  const wanted = new Map(slips.map((slip) => [keyOf(slip), slip]));
  const outcomes: Outcome[] = [];
  for (const result of results) {
    // a range also holds the smaller changes inside it
    const slip = wanted.get(keyOf({ file: relative(result.fileName), location: zeroBased(result.location), mutator: result.mutatorName, replacement: result.replacement ?? '' }));
    if (slip !== undefined) outcomes.push({ slip, noticed: result.status === 'Killed' || result.status === 'Timeout' });
  }
  return outcomes;
}

const relative = (path: string): string => (path.startsWith(process.cwd()) ? path.slice(process.cwd().length + 1) : path);

/** Stryker's instrumenter counts lines from 0, its results from 1. */
function zeroBased({ start, end }: Slip['location']): Slip['location'] {
  return { start: { line: start.line - 1, column: start.column - 1 }, end: { line: end.line - 1, column: end.column - 1 } };
}
