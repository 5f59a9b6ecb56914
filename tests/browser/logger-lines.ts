import { fork, spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { onTestFinished } from 'vitest';
import { holdNumber } from '../daemon/sources/pty-number.ts';
import { fileURLToPath } from 'node:url';

const PTY_END = fileURLToPath(new URL('../daemon/sources/pty-end.mjs', import.meta.url));
const CLI = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url));

/** A logger that prints lines on a real pseudo-terminal, until it is told to be silent. */
export interface LineLogger {
  readonly path: string;
  /** the same line, again and again; a function makes each anew */
  print(line: string | (() => string), everyMs: number): void;
  silence(): void;
  close(): void;
}

export async function lineLogger(): Promise<LineLogger> {
  const end: ChildProcess = fork(PTY_END, { stdio: ['ignore', 'ignore', 'ignore', 'ipc'] });
  const path = await new Promise<string>((found) => end.once('message', (message) => found((message as { path: string }).path)));
  holdNumber(path);
  let timer: NodeJS.Timeout | undefined;
  return {
    path,
    print: (line, everyMs) => {
      clearInterval(timer);
      timer = setInterval(() => end.send({ write: `${typeof line === 'string' ? line : line()}\n` }), everyMs);
    },
    silence: () => clearInterval(timer),
    close: () => {
      clearInterval(timer);
      if (end.connected) end.disconnect();
    },
  };
}

/** The daemon as a process of its own, so that it can be stopped like one that hangs. It ends with its test, also one that fails: left behind, it would wait for its pseudo-terminal and open that of a later test. */
export async function daemonProcess(source: string, dataDir: string): Promise<{ readonly url: string; hang(): void; goOn(): void; close(): Promise<void> }> {
  const daemon = spawn(process.execPath, [CLI, 'serve', '--source', source, '--data', dataDir, '--port', '0'], { stdio: ['ignore', 'pipe', 'pipe'] });
  onTestFinished(() => void daemon.kill('SIGKILL'));
  const url = await new Promise<string>((found, failed) => {
    let said = '';
    const hear = (bytes: Buffer): void => {
      said += String(bytes);
      const match = /http:\/\/\S+#\S+/.exec(said);
      if (match !== null) found(match[0]);
    };
    daemon.stdout.on('data', hear);
    daemon.stderr.on('data', hear);
    daemon.once('exit', () => failed(new Error(`the daemon ended: ${said}`)));
  });
  return {
    url,
    hang: () => daemon.kill('SIGSTOP'),
    goOn: () => daemon.kill('SIGCONT'),
    close: async () => {
      daemon.kill('SIGCONT');
      daemon.kill('SIGTERM');
      if (daemon.exitCode === null) await once(daemon, 'exit');
    },
  };
}
