import { mkdir, rm } from 'node:fs/promises';
import { join } from 'node:path';
import type { Worker } from 'node:worker_threads';
import { thinningFor } from '../core/tracefile/thinning.ts';
import type { ChargeView } from '../core/wire/api.ts';
import { SCENARIOS } from '../simulate/scenarios.ts';
import { announceLan } from './http/announce-lan.ts';
import type { ApiContext } from './http/routes/api-context.ts';
import { builtPages, checkPages } from './http/app.ts';
import { Devices } from './http/door/devices.ts';
import { DOOR_LIMITS, type DoorLimits } from './http/door/limits.ts';
import { createFront, type Front } from './http/front.ts';
import { captureRecord } from './recording/capture-record.ts';
import { SYSTEM_CLOCK, type Clock } from './clock.ts';
import { DaemonError, messageOf, RequestError } from './errors.ts';
import { Commands } from './live/commands.ts';
import { Hub } from './live/hub.ts';
import { LiveAnalysisRunner } from './live/analysis.ts';
import { LongWork } from './threads/long-work.ts';
import { Recorder } from './recording/recorder.ts';
import { keepResult } from './store/records/result-cache.ts';
import { listen, type Listening } from './http/server.ts';
import { openSource } from './sources/open-source.ts';
import { serialPorts, type PortAccess } from './sources/serial/serial-port.ts';
import type { Source } from './sources/source.ts';
import { closeToOthers, makeFilesPrivate } from './store/files/private-files.ts';
import { defaultDataFolder } from './store/data-folder.ts';
import { Store } from './store/store.ts';
import { keepActiveJob, readActiveJob } from './store/active-job.ts';
import { findCalibrations } from './store/records/logger-calibrations.ts';
import { StoreError } from './store/files/store-error.ts';
import { TraceViews } from './threads/trace-views.ts';
import { VERSION } from './version.ts';
import { language } from '../core/present/language.ts';

const words = language.daemon.running.serve;

/** Any port does; this one is registered for nothing (IANA service names, from memory). */
const DEFAULT_PORT = 4680;

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
  readonly ports?: PortAccess;
  readonly startLiveWorker?: () => Worker;
  readonly webDir?: string;
  /** shorter waits and smaller counts, for tests */
  readonly limits?: Partial<DoorLimits>;
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
  /** pages that have joined, the most bytes that wait in memory for one of them, and connections that have shown no key */
  connections(): { readonly pages: number; readonly waitingBytes: number; readonly strangers: number };
  /** ends the source, closes a running recording cleanly, closes the port; resolves when all is on disk */
  close(): Promise<void>;
}

/** Starts the daemon. Throws DaemonError with a text that names the fix when it cannot. */
export async function startDaemon(options: DaemonOptions): Promise<RunningDaemon> {
  const clock = options.clock ?? SYSTEM_CLOCK;
  const port = options.port ?? DEFAULT_PORT;
  if (!Number.isInteger(port) || port < 0 || port > 65_535) throw new DaemonError('bad-port', words.thePortMustBe(port));
  checkPages(options.webDir ?? builtPages());
  // undone in reverse order, whether the start fails half way or the daemon is closed
  const undo: (() => Promise<void> | void)[] = [];
  const close = async (): Promise<void> => {
    for (let step = undo.pop(); step !== undefined; step = undo.pop()) await step();
  };
  try {
    let endRecording: (text: string) => void = options.log;
    makeFilesPrivate();
    const store = await openStore(options.dataDir ?? defaultDataFolder(), (text) => endRecording(text));
    undo.push(() => store.close());
    if (!(await closeToOthers(store.dataFolder))) options.log(words.otherUsersOfThis(store.dataFolder));
    for (const { jobId, traceId } of store.recovered) options.log(words.aRecordingThatWas(jobId, traceId));
    const scratchDir = join(store.dataFolder, '.scratch');
    const emptyScratch = (): Promise<void> => rm(scratchDir, { recursive: true, force: true }).catch(() => undefined);
    await emptyScratch();
    await mkdir(scratchDir, { recursive: true });
    undo.push(emptyScratch);
    const limits = { ...DOOR_LIMITS, ...options.limits };
    const devices = await Devices.open(store.dataFolder, () => clock.date(), options.log);
    undo.push(() => devices.close());
    const listening = await listen(port, options.lan === true, limits);
    undo.push(() => listening.close());
    const jobId = await readActiveJob(store);
    const daemon = assemble({ jobId, options, clock, limits, store, devices, listening, scratchDir });
    undo.push(daemon.close);
    endRecording = (text) => void daemon.recorder.stop('disk-error', text);
    await daemon.hub.start(options.source).catch((error: unknown) => Promise.reject(new DaemonError('bad-source', messageOf(error))));
    const { pages, keys, serve } = daemon.front;
    serve();
    if (options.lan === true) announceLan(options.log, listening.port, keys);
    return {
      url: `http://127.0.0.1:${listening.port}/#${keys.operate}`,
      port: listening.port,
      token: keys.operate,
      viewToken: keys.view,
      dataDir: store.dataFolder,
      connections: () => ({ pages: pages.count, waitingBytes: pages.waitingBytes, strangers: daemon.front.strangers }),
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
  readonly front: Front;
  readonly recorder: Recorder;
  close(): Promise<void>;
}

interface Ground {
  /** the job that recordings go to */
  readonly jobId: string | null;
  readonly options: DaemonOptions;
  readonly clock: Clock;
  readonly limits: DoorLimits;
  readonly store: Store;
  readonly devices: Devices;
  readonly listening: Listening;
  readonly scratchDir: string;
}

/** Puts the parts together; nothing runs yet. */
function assemble({ jobId, options, clock, limits, store, devices, listening, scratchDir }: Ground): Assembled {
  const ports = options.ports ?? serialPorts();
  const work = new LongWork();
  const views = new TraceViews();
  const recorder = new Recorder({
    clock,
    create: async (facts, startS, limits) => {
      const start = new Date(clock.date().getTime() - (facts.nowS - startS) * 1000);
      const about = captureRecord('', { ...facts, start });
      const { thinA = null, jobId: into = null } = facts.settings ?? {};
      const { ref, writer } = await store.startTrace(into, about, { ...limits, start, thinning: thinA === null ? null : thinningFor(thinA) });
      return { ...ref, writer };
    },
    send: (message) => front.pages.send(message),
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
      front.pages.send(message, true);
      recorder.result(message.result);
    },
    onFault: (text) => front.pages.send({ type: 'notice', atS: hub.nowS, code: 'analysis', text }),
    // a recording may be waiting for a result to end by
    isWatched: () => front.pages.count > 0 || recorder.busy,
    ...(options.startLiveWorker === undefined ? {} : { startWorker: options.startLiveWorker }),
  });
  let keeping: Promise<void> = Promise.resolve();
  const hub: Hub = new Hub({
    openSource: options.openSource ?? ((spec) => openSource(spec, { ports })),
    recorder,
    analysis,
    clock,
    jobId,
    onJob: (next) => {
      // one after the other: the last choice is the one that is kept
      keeping = keeping.then(() => keepActiveJob(store, next)).catch((error: unknown) => options.log(words.theChoiceOfJob(messageOf(error))));
    },
    hello: { version: VERSION, dataFolder: store.dataFolder, scenarios: SCENARIOS.map(({ name, title, test }) => ({ name, title, test })) },
    send: (message, droppable) => front.pages.send(message, droppable),
    sendFrame: (bytes) => front.pages.sendFrame(bytes),
    recordedWindow: async (fromS, toS, columns) => {
      const { view } = recorder;
      if (view === null) return null;
      return store.path(view).then((path) => views.window(path, fromS, toS, columns)).catch(() => null);
    },
    calibrations: async (names) => {
      const found = await findCalibrations(store.dataFolder, names).catch((error: unknown) => options.log(messageOf(error)));
      return found?.calibrations ?? [];
    },
    recordedCharge: async (fromS, toS) => {
      const { view } = recorder;
      if (view === null) throw new RequestError(409, 'bad-request', words.theRecordingHasJust);
      return work.run<ChargeView>({ do: 'charge', path: await store.path(view), fromS, toS });
    },
  });
  const commands = new Commands(hub, recorder);
  const context: ApiContext = { store, work, views, clock, ports, scratchDir, send: (message, droppable) => front.pages.send(message, droppable) };
  const { source, lan, webDir, log } = options;
  const front: Front = createFront({ hub, commands, context, listening, clock, limits, lan: lan === true, source, webDir, devices, log });
  return {
    hub,
    front,
    recorder,
    close: async () => {
      work.close();
      await hub.stop();
      front.close();
      await views.close();
      await keeping;
    },
  };
}
