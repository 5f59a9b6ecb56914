import { fork, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { builtChildren } from '../built-children.ts';

const PROGRAMS = await builtChildren(join(import.meta.dirname, 'children'));

/** Clock ticks a second of /proc/PID/stat (proc(5): sysconf(_SC_CLK_TCK), 100 on every Linux that Node runs on). */
const TICKS_PER_S = 100;

export interface Usage {
  readonly cpuS: number;
  readonly memoryMb: number;
  readonly handles: number;
}

/** A daemon in a process of its own. */
export interface Victim {
  readonly port: number;
  readonly token: string;
  readonly viewToken: string;
  /** null where the system does not tell (no /proc) */
  usage(): Usage | null;
  isAlive(): boolean;
  stop(): Promise<void>;
}

export function startChild(name: string, args: readonly string[]): ChildProcess {
  return fork(PROGRAMS.get(name)!, args, { execArgv: [], stdio: ['ignore', 'ignore', 'ignore', 'ipc'] });
}

export async function startVictim(folder: string, source: string): Promise<Victim> {
  const child = startChild('daemon', [folder, source]);
  const exited = once(child, 'exit');
  const hello = await Promise.race([once(child, 'message'), exited.then(() => Promise.reject(new Error('the daemon did not start')))]);
  const { port, token, viewToken } = hello[0] as { port: number; token: string; viewToken: string };
  return {
    port,
    token,
    viewToken,
    usage: () => usageOf(child.pid!),
    isAlive: () => child.exitCode === null && child.signalCode === null,
    async stop() {
      const late = setTimeout(() => child.kill('SIGKILL'), 15_000);
      if (child.connected) child.disconnect();
      await exited;
      clearTimeout(late);
    },
  };
}

function usageOf(pid: number): Usage | null {
  try {
    // the name in brackets may hold spaces; what follows it does not
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').replace(/^.*\) /s, '').split(' ');
    const memory = /VmRSS:\s+(\d+) kB/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))![1]!;
    return { cpuS: (Number(fields[11]) + Number(fields[12])) / TICKS_PER_S, memoryMb: Number(memory) / 1024, handles: readdirSync(`/proc/${pid}/fd`).length };
  } catch {
    return null;
  }
}
