import type { Worker } from 'node:worker_threads';
import { builtPages, checkPages, createApp } from './app.ts';
import { lanAddresses, lanHosts, loopbackHosts, qrForTerminal } from './addresses.ts';
import { SYSTEM_CLOCK, type Clock } from './clock.ts';
import { DaemonError, messageOf } from './errors.ts';
import { Hub } from './hub.ts';
import { LiveAnalysisRunner } from './live-analysis.ts';
import { Pages } from './pages.ts';
import { Recorder } from './recorder.ts';
import { liveRoutes } from './routes-live.ts';
import { createGate, makeToken } from './security.ts';
import { listen } from './server.ts';
import { openSource } from './sources/open-source.ts';
import type { Source } from './sources/source.ts';
import { SCENARIOS } from '../simulate/scenarios.ts';
import { Tickets } from './tickets.ts';
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
  readonly token: string;
  readonly dataDir: string;
  /** pages that have joined, and the most bytes that wait in memory for one of them */
  connections(): { readonly pages: number; readonly waitingBytes: number };
  /** ends the source, closes a running recording cleanly, closes the port; resolves when all is on disk */
  close(): Promise<void>;
}

/** Starts the daemon. Throws DaemonError with a text that names the fix when it cannot. */
export async function startDaemon(options: DaemonOptions): Promise<RunningDaemon> {
  const clock = options.clock ?? SYSTEM_CLOCK;
  const lan = options.lan === true;
  const port = options.port ?? DEFAULT_PORT;
  if (!Number.isInteger(port) || port < 0 || port > 65_535) throw new DaemonError('bad-port', `The port must be a whole number from 0 to 65535, not ${port}.`);
  const webDir = options.webDir ?? builtPages();
  checkPages(webDir);
  const listening = await listen(port, lan);
  const gate = createGate(lan ? lanHosts(listening.port) : loopbackHosts(listening.port), makeToken());
  const tickets = new Tickets(clock);

  const recorder = new Recorder({
    create: () => Promise.reject(new Error('no store yet')),
    send: (message) => pages.send(message),
    onStart: () => hub.recordingStarted(),
    onEnding: () => {},
    onEnd: () => {},
  });
  const analysis = new LiveAnalysisRunner({
    clock,
    onResult: (message) => pages.send(message, true),
    onFault: (text) => pages.send({ type: 'notice', atS: hub.nowS, code: 'analysis', text }),
    ...(options.startLiveWorker === undefined ? {} : { startWorker: options.startLiveWorker }),
  });
  const hub: Hub = new Hub({
    openSource: options.openSource ?? ((spec) => openSource(spec)),
    recorder,
    analysis,
    clock,
    hello: { version: VERSION, dataFolder: options.dataDir ?? '', scenarios: SCENARIOS.map(({ name, title, test }) => ({ name, title, test })) },
    send: (message, droppable) => pages.send(message, droppable),
    sendFrame: (bytes) => pages.sendFrame(bytes),
  });
  const pages: Pages = new Pages({ tokenFits: gate.tokenFits, snapshot: () => hub.snapshot(), message: (message) => hub.message(message) });

  const close = async (): Promise<void> => {
    await hub.stop();
    pages.close();
    await listening.close();
  };
  try {
    await hub.start(options.source);
  } catch (error) {
    await close();
    throw new DaemonError('bad-source', messageOf(error));
  }
  const app = createApp({ gate, tickets, webDir, routes: [liveRoutes(hub, tickets)], log: options.log });
  listening.serve({ gate, request: app, upgrade: (request, socket, head) => pages.upgrade(request, socket, head) });

  const address = (host: string): string => `http://${host}:${listening.port}/#${gate.token}`;
  const lanHost = lan ? lanAddresses()[0] : undefined;
  if (lanHost !== undefined) {
    options.log(`Open on a device of this network: ${address(lanHost)}\n\n${qrForTerminal(address(lanHost))}`);
    options.log('Everybody who has this address can see and change all recordings. It is sent unencrypted: use a network you trust.');
  } else if (lan) options.log('This machine has no network address, so only pages on this machine can be served.');
  return { url: address('127.0.0.1'), port: listening.port, token: gate.token, dataDir: options.dataDir ?? '', connections: () => ({ pages: pages.count, waitingBytes: pages.waitingBytes }), close };
}
