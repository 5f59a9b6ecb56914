import { mkdtempSync, rmSync, writeFileSync, mkdirSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, onTestFinished } from 'vitest';
import { WebSocket } from 'ws';
import type { Overload } from '../../src/core/decode/logger.ts';
import type { SampleBlock } from '../../src/core/trace.ts';
import { decodeSampleFrame, type SampleFrame } from '../../src/core/wire/sample-frame.ts';
import { WIRE_PROTOCOL, type FromPage, type ToPage } from '../../src/core/wire/messages.ts';
import { startDaemon, type DaemonOptions, type RunningDaemon } from '../../src/daemon/serve.ts';
import type { ControlAnswer, LineReport, LoggerInfo, Source, SourceCommand, SourceSink } from '../../src/daemon/sources/source.ts';

/** A source that sends what the test hands it. */
export class HandSource implements Source {
  readonly spec: string;
  sink: SourceSink | null = null;
  stopped = false;
  readonly commands: SourceCommand[] = [];
  losing: Overload | null = null;

  constructor(spec = 'hand:1') {
    this.spec = spec;
  }

  start(sink: SourceSink): void {
    this.sink = sink;
    sink.logger(LOGGER);
    sink.state({ state: 'live', text: 'Sending.' });
  }

  async stop(): Promise<void> {
    this.stopped = true;
  }

  control(command: SourceCommand): ControlAnswer {
    this.commands.push(command);
    return command.do === 'switch' ? { ok: true } : { ok: false, text: 'There is no such fuse.' };
  }

  line(): LineReport {
    return { ageS: null, overload: this.losing, share: null, heard: [] };
  }

  send(block: SampleBlock): void {
    this.sink!.samples(block);
  }
}

export const LOGGER: LoggerInfo = {
  kind: 'logger',
  name: 'hand',
  serial: 'H1',
  firmware: '1',
  rateHz: 1000,
  channels: [
    { name: 'current', unit: 'A', scale: 0.001, zero: 0, range: [-30, 30] },
    { name: 'voltage', unit: 'V', scale: 0.001, zero: 0, range: [0, 32] },
  ],
};

/** `count` samples at `rateHz` from `startS`; the value of each tells its time, so that a frame shows what is in it. */
export function blockAt(startS: number, count: number, rateHz = 1000, valueA: (timeS: number) => number = (timeS) => Math.sin(timeS)): SampleBlock {
  const timeS = Float64Array.from({ length: count }, (_, i) => startS + i / rateHz);
  return { timeS, currentA: Float32Array.from(timeS, valueA), voltageV: new Float32Array(count).fill(12.5) };
}

export interface Stand {
  readonly daemon: RunningDaemon;
  /** the source in use; another one after a page has chosen */
  readonly sources: HandSource[];
  readonly source: HandSource;
  readonly log: string[];
  readonly dataDir: string;
  page(): Promise<TestPage>;
  /** a request as the page makes it */
  api(path: string, init?: { method?: string; body?: unknown; headers?: Record<string, string>; signal?: AbortSignal }): Promise<Response>;
}

/** Takes what is to be done when the tests that use something are over. */
type AtEnd = (end: () => Promise<void> | void) => void;

export function temporaryFolder(atEnd: AtEnd = onTestFinished): string {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-daemon-'));
  atEnd(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A page lies in the folder, so that no build is needed. */
export function pagesFolder(atEnd: AtEnd = onTestFinished): string {
  const folder = temporaryFolder(atEnd);
  mkdirSync(join(folder, 'assets'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>amptrail</title>');
  writeFileSync(join(folder, 'assets/page-1234.js'), 'export {};');
  return folder;
}

/** One stand for the tests around the call, which only look at what is in its folder: its threads start once. */
export function withStand(options: () => Partial<DaemonOptions>): { readonly stand: Stand } {
  let stand: Stand | null = null;
  const ends: (() => Promise<void> | void)[] = [];
  beforeAll(async () => {
    stand = await startStand(options(), (end) => ends.unshift(end));
  });
  afterAll(async () => {
    for (const end of ends) await end();
  });
  return {
    get stand() {
      if (stand === null) throw new Error('asked for before the tests began');
      return stand;
    },
  };
}

export async function startStand(options: Partial<DaemonOptions> = {}, atEnd: AtEnd = onTestFinished): Promise<Stand> {
  const log: string[] = [];
  const sources: HandSource[] = [];
  const dataDir = options.dataDir ?? join(temporaryFolder(atEnd), 'data');
  const daemon = await startDaemon({
    source: 'hand:1',
    port: 0,
    webDir: pagesFolder(atEnd),
    log: (text) => log.push(text),
    openSource: (spec) => {
      if (!spec.startsWith('hand:')) throw new Error(`"${spec}" is no source here.`);
      sources.push(new HandSource(spec));
      return sources.at(-1)!;
    },
    ...options,
    dataDir,
  });
  atEnd(() => daemon.close());
  const origin = `http://127.0.0.1:${daemon.port}`;
  return {
    daemon,
    sources,
    get source() {
      return sources.at(-1)!;
    },
    log,
    dataDir,
    page: () => joinPage(daemon),
    api: (path, { method = 'GET', body, headers = {}, signal } = {}) =>
      fetch(`${origin}${path}`, {
        method,
        // the daemon is in this process: while a test keeps it from its timers, a kept connection may be closed under the next request
        headers: { Connection: 'close', Authorization: `Bearer ${daemon.token}`, ...(method === 'GET' ? {} : { Origin: origin, 'Content-Type': 'application/json' }), ...headers },
        ...(body === undefined ? {} : { body: typeof body === 'string' || body instanceof Uint8Array ? (body as string) : JSON.stringify(body) }),
        ...(signal === undefined ? {} : { signal }),
      }),
  };
}

type Of<Type extends ToPage['type']> = Extract<ToPage, { type: Type }>;

/** A page without a browser: keeps what came and lets a test wait for what is to come. */
export class TestPage {
  readonly socket: WebSocket;
  readonly messages: ToPage[] = [];
  readonly frames: SampleFrame[] = [];
  readonly rawFrames: Uint8Array[] = [];
  closed: { code: number; reason: string } | null = null;
  #wakers = new Set<() => void>();

  constructor(socket: WebSocket) {
    this.socket = socket;
    socket.binaryType = 'arraybuffer';
    socket.on('message', (data, binary) => {
      if (binary) {
        const frame = decodeSampleFrame(data as ArrayBuffer);
        if (typeof frame === 'string') throw new Error(frame);
        this.frames.push(frame);
        this.rawFrames.push(new Uint8Array(data as ArrayBuffer));
      } else this.messages.push(JSON.parse(String(data)) as ToPage);
      this.#wake();
    });
    socket.on('close', (code, reason) => {
      this.closed = { code, reason: String(reason) };
      this.#wake();
    });
    socket.on('error', () => this.#wake());
  }

  send(message: FromPage | Record<string, unknown>): void {
    this.socket.send(JSON.stringify(message));
  }

  /** resolves as soon as `seen` is true, looked at after everything that arrives */
  until<T>(seen: () => T | null | undefined | false): Promise<T> {
    return new Promise((resolve, reject) => {
      const look = (): void => {
        const value = seen();
        if (value) {
          this.#wakers.delete(look);
          resolve(value);
        } else if (this.closed !== null) {
          this.#wakers.delete(look);
          reject(new Error(`the page was closed: ${this.closed.code} ${this.closed.reason}`));
        }
      };
      this.#wakers.add(look);
      look();
    });
  }

  /** the next message of a type from now on (or from message number `after`) that fits */
  next<Type extends ToPage['type']>(type: Type, fits: (message: Of<Type>) => boolean = () => true, after = this.messages.length): Promise<Of<Type>> {
    return this.until(() => this.messages.slice(after).find((message): message is Of<Type> => message.type === type && fits(message as Of<Type>)));
  }

  /** the newest message of a type */
  last<Type extends ToPage['type']>(type: Type): Of<Type> | undefined {
    return this.messages.findLast((message): message is Of<Type> => message.type === type);
  }

  async whenClosed(): Promise<{ code: number; reason: string }> {
    if (this.closed === null) await new Promise<void>((resolve) => this.socket.once('close', () => resolve()));
    return this.closed!;
  }

  async close(): Promise<void> {
    this.socket.close();
    await this.whenClosed();
  }

  #wake(): void {
    for (const waker of this.#wakers) waker();
  }
}

export function openSocket(daemon: RunningDaemon): TestPage {
  const socket = new WebSocket(`ws://127.0.0.1:${daemon.port}/live`, { origin: `http://127.0.0.1:${daemon.port}` });
  return new TestPage(socket);
}

export async function joinPage(daemon: RunningDaemon, token = daemon.token): Promise<TestPage> {
  const page = openSocket(daemon);
  await new Promise<void>((resolve, reject) => {
    page.socket.once('open', () => resolve());
    page.socket.once('error', reject);
  });
  page.send({ type: 'join', protocol: WIRE_PROTOCOL, token });
  await page.until(() => page.last('marks'));
  onTestFinished(() => page.socket.terminate());
  return page;
}

/** An answer of the API as JSON, with the sentence of a refusal. */
export async function askJson<Answer>(on: Stand, method: string, path: string, body?: unknown): Promise<{ status: number; answer: Answer; text: string }> {
  const headers = body instanceof Uint8Array ? { headers: { 'Content-Type': 'application/octet-stream' } } : {};
  const response = await on.api(path, { method, ...(body === undefined ? {} : { body }), ...headers });
  const answer = (await response.json()) as Answer & { error?: { text: string } };
  return { status: response.status, answer, text: answer.error?.text ?? '' };
}
