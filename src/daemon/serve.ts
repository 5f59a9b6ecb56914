import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { thinningFor } from '../core/tracefile/thinning.ts';
import type { ChargeView } from '../core/wire/api.ts';
import { SCENARIOS } from '../simulate/scenarios.ts';
import { lanAddresses, lanHosts, loopbackHosts, qrForTerminal } from './http/addresses.ts';
import type { ApiContext } from './http/api-context.ts';
import { builtPages, checkPages, createApp } from './http/app.ts';
import { captureRecord } from './recording/capture-record.ts';
import { SYSTEM_CLOCK, type Clock } from './clock.ts';
import { DaemonError, messageOf, RequestError } from './errors.ts';
import { apiRoutes } from './http/api.ts';
import { Keys, makeKey } from './http/door/keys.ts';
import type { Access } from './http/door/access.ts';
import { Hub } from './live/hub.ts';
import { LiveAnalysisRunner } from './live/analysis.ts';
import { LongWork } from './threads/long-work.ts';
import { Pages } from './http/pages.ts';
import { Recorder } from './recording/recorder.ts';
import { keepResult } from './threads/result-cache.ts';
import { createGate } from './http/door/gate.ts';
import { listen, type Listening } from './http/server.ts';
import { openSource } from './sources/open-source.ts';
import type { Source } from './sources/source.ts';
import { defaultDataFolder, Store } from './store/store.ts';
import { StoreError } from './store/store-error.ts';
import { Tickets } from './http/door/tickets.ts';
import { TraceViews } from './threads/trace-views.ts';
import { VERSION } from './version.ts';

/** Any port does; this one is registered for nothing (IANA service names, from memory). */
export const DEFAULT_PORT = 4680;

export interface DaemonOptions {
  /** SPEC of the command line: `auto`, `serial:…`, `sim:…`, `replay:…` */
  readonly source: string;
  /** where jobs and traces are kept; default: the platform's data directory */
  readonly dataDir?: string;
  /** 0 takes any free one */
  readonly port?: number;
  /** answer other devices of the network too */
  readonly lan?: boolean;
  /** lines for the person at the terminal */
  readonly log: (text: string) => void;
  readonly clock?: Clock;
  /** stand-ins for tests and for programs that embed the daemon */
  readonly openSource?: (spec: string) => Source;
  readonly startLiveWorker?: () => Worker;
  readonly webDir?: string;
}

export interface RunningDaemon {
  /** what to open, with the token in the fragment, which browsers never send anywhere */
  readonly url: string;
  readonly port: number;
  /** the key that may look and change */
  readonly token: string;
  /** the key that may look */
  readonly viewToken: string;
  readonly dataDir: string;
  /** pages that have joined, and the most bytes that wait in memory for one of them */
  connections(): { readonly pages: number; readonly waitingBytes: number };
  /** ends the source, closes a running recording cleanly, closes the port; resolves when all is on disk */
  close(): Promise<void>;
}

/** Starts the daemon. Throws DaemonError with a text that names the fix when it cannot. */
export async function startDaemon(options: DaemonOptions): Promise<RunningDaemon> {
  const clock = options.clock ?? SYSTEM_CLOCK;
  const port = options.port ?? DEFAULT_PORT;
  if (!Number.isInteger(port) || port < 0 || port > 65_535) throw new DaemonError('bad-port', `The port must be a whole number from 0 to 65535, not ${port}.`);
  checkPages(options.webDir ?? builtPages());
  // undone in reverse order, whether the start fails half way or the daemon is closed
  const undo: (() => Promise<void> | void)[] = [];
  const close = async (): Promise<void> => {
    for (let step = undo.pop(); step !== undefined; step = undo.pop()) await step();
  };
  try {
    let endRecording: (text: string) => void = options.log;
    const store = await openStore(options.dataDir ?? defaultDataFolder(), (text) => endRecording(text));
    undo.push(() => store.close());
    for (const { jobId, traceId } of store.recovered) options.log(`A recording that was cut short has been closed and is whole up to its last second: ${jobId}/${traceId}`);
    const scratchDir = join(store.dataFolder, '.scratch');
    const emptyScratch = (): Promise<void> => rm(scratchDir, { recursive: true, force: true }).catch(() => undefined);
    await emptyScratch();
    await mkdir(scratchDir, { recursive: true });
    undo.push(emptyScratch);
    const listening = await listen(port, options.lan === true);
    undo.push(() => listening.close());
    const daemon = assemble(options, clock, store, listening, scratchDir);
    undo.push(daemon.close);
    endRecording = (text) => void daemon.recorder.stop('disk-error', text);
    await daemon.hub.start(options.source).catch((error: unknown) => Promise.reject(new DaemonError('bad-source', messageOf(error))));
    daemon.serve();
    const { pages, keys } = daemon;
    announce(options, listening.port, keys.operate);
    return {
      url: `http://127.0.0.1:${listening.port}/#${keys.operate}`,
      port: listening.port,
      token: keys.operate,
      viewToken: keys.view,
      dataDir: store.dataFolder,
      connections: () => ({ pages: pages.count, waitingBytes: pages.waitingBytes }),
      close,
    };
  } catch (error) {
    await close();
    throw error;
  }
}

async function openStore(dataDir: string, onLost: (text: string) => void): Promise<Store> {
  try {
    return await Store.open(dataDir, { software: `amptrail ${VERSION}`, onLost });
  } catch (error) {
    if (!(error instanceof StoreError)) throw error;
    throw new DaemonError(error.code === 'in-use' ? 'data-folder-in-use' : 'data-folder', error.message);
  }
}

interface Assembled {
  readonly hub: Hub;
  readonly pages: Pages;
  readonly recorder: Recorder;
  readonly keys: Readonly<Record<Access, string>>;
  /** begins to answer requests */
  serve(): void;
  close(): Promise<void>;
}

/** Puts the parts together; nothing runs yet. */
function assemble(options: DaemonOptions, clock: Clock, store: Store, listening: Listening, scratchDir: string): Assembled {
  const keys = { operate: makeKey(), view: makeKey() };
  const gate = createGate(options.lan === true ? lanHosts(listening.port) : loopbackHosts(listening.port), new Keys(keys));
  const tickets = new Tickets(clock);
  const work = new LongWork();
  const views = new TraceViews();
  const recorder = new Recorder({
    clock,
    create: async (facts, startS, limits) => {
      const start = new Date(clock.date().getTime() - (facts.nowS - startS) * 1000);
      const about = captureRecord('', { ...facts, start });
      const { thinA } = facts.settings;
      const { ref, writer } = await store.startTrace(facts.settings.jobId, about, { ...limits, start, thinning: thinA == null ? null : thinningFor(thinA) });
      return { ...ref, writer };
    },
    send: (message) => pages.send(message),
    onStart: () => hub.recordingStarted(),
    onEnding: (capture) => {
      // asked at the moment the recording ends, so it is of exactly the samples that were recorded
      void analysis.resultNow().then((result) => (result === null ? undefined : keepResult(capture.writer.folder, result)));
    },
    onEnd: () => undefined,
  });
  const analysis = new LiveAnalysisRunner({
    clock,
    onResult: (message) => {
      pages.send(message, true);
      recorder.result(message.result);
    },
    onFault: (text) => pages.send({ type: 'notice', atS: hub.nowS, code: 'analysis', text }),
    ...(options.startLiveWorker === undefined ? {} : { startWorker: options.startLiveWorker }),
  });
  const hub: Hub = new Hub({
    openSource: options.openSource ?? ((spec) => openSource(spec)),
    recorder,
    analysis,
    clock,
    hello: { version: VERSION, dataFolder: store.dataFolder, scenarios: SCENARIOS.map(({ name, title, test }) => ({ name, title, test })) },
    send: (message, droppable) => pages.send(message, droppable),
    sendFrame: (bytes) => pages.sendFrame(bytes),
    recordedWindow: async (fromS, toS, columns) => {
      const { view } = recorder;
      if (view === null) return null;
      return store.path(view).then((path) => views.window(path, fromS, toS, columns)).catch(() => null);
    },
    recordedCharge: async (fromS, toS) => {
      const { view } = recorder;
      if (view === null) throw new RequestError(409, 'bad-request', 'The recording has just ended: measure the stretch in it.');
      return work.run<ChargeView>({ do: 'charge', path: await store.path(view), fromS, toS });
    },
  });
  const pages: Pages = new Pages({ accessOf: gate.accessOf, snapshot: () => hub.snapshot(), message: (message) => hub.message(message) });
  const context: ApiContext = { store, work, views, clock, scratchDir, send: (message, droppable) => pages.send(message, droppable) };
  const app = createApp({ gate, tickets, webDir: options.webDir ?? builtPages(), routes: apiRoutes(context, hub, tickets), log: options.log });
  return {
    hub,
    pages,
    recorder,
    keys,
    serve: () => listening.serve({ gate, request: app, upgrade: (request, socket, head) => pages.upgrade(request, socket, head) }),
    close: async () => {
      work.close();
      await hub.stop();
      pages.close();
      await views.close();
    },
  };
}

/** What the person at the terminal must know of the network. */
function announce({ lan, log }: DaemonOptions, port: number, token: string): void {
  if (lan !== true) return;
  const [host] = lanAddresses();
  if (host === undefined) return log('This machine has no network address, so only pages on this machine can be served.');
  const url = `http://${host}:${port}/#${token}`;
  log(`Open on a device of this network: ${url}\n\n${qrForTerminal(url)}`);
  log('Everybody who has this address can see and change all recordings. It is sent unencrypted: use a network you trust.');
}
