import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { convertTrace } from '../../src/daemon/store/exchange/convert.ts';
import { INDEX_FILE } from '../../src/daemon/store/files/record-file.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { join } from 'node:path';

/** Work that wants a process in which nothing else has run: `runCold` starts this file with its name, it prints one JSON line. */
const WORK = {
  /** the whole index read as it is, then the trace opened and drawn once */
  async window(path: string, columns: string): Promise<{ indexMs: number; windowMs: number }> {
    const indexStartMs = performance.now();
    const { length } = readFileSync(join(path, INDEX_FILE));
    const startMs = performance.now();
    if (length === 0) throw new Error('the index is empty');
    const reader = await openTrace(path);
    const window = await reader.window(reader.firstS, reader.lastS, Number(columns));
    if (window.timeS.length === 0) throw new Error('the window is empty');
    const endMs = performance.now();
    await reader.close();
    return { indexMs: startMs - indexStartMs, windowMs: endMs - startMs };
  },
  async convert(from: string, out: string): Promise<{ seconds: number; samples: number; mostMB: number }> {
    const startMs = performance.now();
    const { samples } = await convertTrace(from, out);
    // maxRSS is in KiB
    return { seconds: (performance.now() - startMs) / 1000, samples, mostMB: process.resourceUsage().maxRSS / 1024 };
  },
} as const;

type Work = typeof WORK;

export function runCold<Name extends keyof Work>(name: Name, ...args: Parameters<Work[Name]>): Awaited<ReturnType<Work[Name]>> {
  const said = execFileSync(process.execPath, ['--import', 'tsx', fileURLToPath(import.meta.url), name, ...args], { encoding: 'utf8' });
  return JSON.parse(said) as Awaited<ReturnType<Work[Name]>>;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const [name, ...args] = process.argv.slice(2);
  const work = WORK[name as keyof Work] as (...args: string[]) => Promise<unknown>;
  console.log(JSON.stringify(await work(...args)));
}
