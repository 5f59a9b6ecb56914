import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { builtChildren } from '../built-children.ts';

const PROGRAMS = await builtChildren(join(import.meta.dirname, 'children'));

/** Starts one of the small programs in children/ and hands on its lines. */
export function startChild(name: string, args: readonly string[], onLine: (line: string) => void): ChildProcess {
  const child = spawn(process.execPath, [PROGRAMS.get(name)!, ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  createInterface({ input: child.stdout! }).on('line', onLine);
  return child;
}

export async function kill9(child: ChildProcess): Promise<void> {
  const exit = once(child, 'exit');
  child.kill('SIGKILL');
  await exit;
}
