import { fork } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FromPage, ToPage } from '../../src/core/wire/messages.ts';
import { startDaemon, type RunningDaemon } from '../../src/daemon/serve.ts';
import type { FarOrder, SendReport } from './far-end-types.ts';

/** A daemon in this process, a logger on a real pseudo-terminal and pages on the socket in another: what this process spends is the daemon's. */
export interface PtyStand {
  readonly path: string;
  readonly daemon: RunningDaemon;
  /** newest of each kind that a page has heard */
  readonly heard: Map<ToPage['type'], ToPage>;
  send(rateHz: number, blockSamples: number, seconds: number): Promise<SendReport>;
  /** ms from the write to the terminal to the message that shows it, of the last sending */
  latencies(): Promise<number[]>;
  pages(count: number): Promise<void>;
  say(message: FromPage): Promise<void>;
  close(): Promise<void>;
}

/** The far end alone, for what is read without a daemon. */
export interface FarEnd {
  readonly path: string;
  ask(order: FarOrder): Promise<unknown>;
  onHeard(listener: (message: ToPage) => void): void;
  close(): void;
}

export async function farEnd(): Promise<FarEnd> {
  const child = fork(fileURLToPath(new URL('far-end.ts', import.meta.url)), { execArgv: ['--import', 'tsx'] });
  const waiting = new Map<number, (answer: unknown) => void>();
  const listeners: ((message: ToPage) => void)[] = [];
  let next = 1;
  child.on('message', (message: { id: number; answer: unknown } | { heard: ToPage }) => {
    if ('heard' in message) for (const listener of listeners) listener(message.heard);
    else waiting.get(message.id)?.(message.answer);
  });
  const ended = new Promise<never>((_resolve, reject) => child.once('exit', () => reject(new Error('the far end has ended'))));
  ended.catch(() => undefined);
  const ask = (order: FarOrder): Promise<unknown> => {
    const id = next++;
    const answer = new Promise<unknown>((resolve) => waiting.set(id, resolve));
    child.send({ id, order });
    return Promise.race([answer, ended]);
  };
  const path = (await ask({ do: 'path' })) as string;
  return { path, ask, onHeard: (listener) => void listeners.push(listener), close: () => void (child.connected && child.disconnect()) };
}

export async function ptyStand(): Promise<PtyStand> {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-bench-'));
  const webDir = join(folder, 'pages');
  mkdirSync(webDir);
  writeFileSync(join(webDir, 'index.html'), '<!doctype html><title>amptrail</title>');
  const far = await farEnd();
  const heard = new Map<ToPage['type'], ToPage>();
  far.onHeard((message) => void heard.set(message.type, message));
  const daemon = await startDaemon({ source: `serial:${far.path}?baud=1000000`, port: 0, dataDir: join(folder, 'data'), webDir, log: () => undefined });
  return {
    path: far.path,
    daemon,
    heard,
    send: (rateHz, blockSamples, seconds) => far.ask({ do: 'send', rateHz, blockSamples, seconds }) as Promise<SendReport>,
    latencies: () => far.ask({ do: 'latencies' }) as Promise<number[]>,
    pages: (count) => far.ask({ do: 'pages', port: daemon.port, token: daemon.token, count }) as Promise<void>,
    say: (message) => far.ask({ do: 'say', message }) as Promise<void>,
    async close() {
      await daemon.close();
      far.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}
