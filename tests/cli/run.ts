import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll } from 'vitest';
import { runCli } from '../../src/cli/run.ts';

export interface CliRun {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs one call of the command line in this process. */
export async function cli(args: readonly string[], signal: AbortSignal = new AbortController().signal): Promise<CliRun> {
  let out = '';
  let err = '';
  const code = await runCli(args, { out: (text) => (out += text), err: (text) => (err += text), signal, progress: false });
  return { code, out, err };
}

/** A folder of the test file's own, removed after its last test. */
export function scratchFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-cli-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}
