import { execFile } from 'node:child_process';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { expect, it } from 'vitest';

it('every thread starts straight from the sources too, as a command run without a build needs', async () => {
  const { stdout } = await promisify(execFile)(process.execPath, ['--import', 'tsx', join(import.meta.dirname, 'from-sources.ts')]);
  expect(stdout.trim().split('\n').sort()).toEqual(['live-worker', 'long-worker', 'view-worker']);
});
