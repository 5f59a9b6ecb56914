import { mkdirSync, writeFileSync } from 'node:fs';
import { createServer, request, type IncomingHttpHeaders } from 'node:http';
import { join } from 'node:path';
import { duplexPair, type Duplex } from 'node:stream';
import { onTestFinished } from 'vitest';
import type { ToPage } from '../../../src/core/wire/messages.ts';
import { createApp } from '../../../src/daemon/http/app.ts';
import { Door } from '../../../src/daemon/http/door/door.ts';
import { Devices } from '../../../src/daemon/http/door/devices.ts';
import { createGate } from '../../../src/daemon/http/door/gate.ts';
import { Keys } from '../../../src/daemon/http/door/keys.ts';
import { DOOR_LIMITS } from '../../../src/daemon/http/door/limits.ts';
import { PathFilter } from '../../../src/daemon/http/door/without-paths.ts';
import type { Route } from '../../../src/daemon/http/door/route-list.ts';
import type { ApiContext } from '../../../src/daemon/http/routes/api-context.ts';
import { apiRoutes } from '../../../src/daemon/http/routes/api.ts';
import type { Hub } from '../../../src/daemon/live/hub.ts';
import type { LongWork } from '../../../src/daemon/threads/long-work.ts';
import type { LongOrder } from '../../../src/daemon/threads/long-worker.ts';
import type { TraceViews } from '../../../src/daemon/threads/trace-views.ts';
import { openTrace } from '../../../src/daemon/store/samples/reading/trace-reader.ts';
import { Store } from '../../../src/daemon/store/store.ts';
import type { TraceRecord } from '../../../src/core/tracefile/record.ts';
import type { TraceRef } from '../../../src/core/wire/api.ts';
import { DeskPorts } from '../sources/kit.ts';
import { temporaryFolder } from '../stand.ts';

const HOST = '127.0.0.1:8080';

interface Options {
  readonly progress?: (share: number) => void;
  readonly signal?: AbortSignal;
}

export interface Answered {
  readonly status: number;
  readonly headers: IncomingHttpHeaders;
  readonly bytes: Buffer;
  /** of a JSON answer */
  readonly body: any;
}

export interface Asked {
  /** undefined leaves one out */
  readonly headers?: Readonly<Record<string, string | undefined>>;
  /** where the request comes from; this computer unless told */
  readonly from?: string;
  readonly key?: string;
  /** aborts the request */
  readonly signal?: AbortSignal;
  /** called with the first half of the body on its way; the second goes when it resolves */
  readonly halfway?: () => Promise<void>;
}

/** An app that answers on a wire in memory, with routes of the test's own. */
export async function appBench({ routes, log = () => undefined, dataFolder = temporaryFolder() }: { readonly routes: (door: Door, devices: Devices) => readonly Route[]; readonly log?: (text: string) => void; readonly dataFolder?: string }) {
  const clock = { nowMs: () => 0, date: () => new Date('2026-11-25T08:00:00Z') };
  const devices = await Devices.open(dataFolder, clock.date, log);
  const door = new Door({ gate: createGate([HOST]), keys: new Keys({ operate: 'operate-key', view: 'view-key' }, devices), clock, limits: DOOR_LIMITS });
  const webDir = join(dataFolder, 'web');
  mkdirSync(join(webDir, 'assets'), { recursive: true });
  writeFileSync(join(webDir, 'index.html'), 'page');
  writeFileSync(join(webDir, 'assets', 'page-1.js'), 'script');
  const server = createServer(createApp({ door, paths: new PathFilter({ path: dataFolder, name: 'THE DATA FOLDER' }, []), webDir, routes: routes(door, devices), log }));
  onTestFinished(async () => {
    server.closeAllConnections();
    door.close();
    await devices.close();
  });
  const ask = (method: string, path: string, body?: unknown, { headers = {}, from = '127.0.0.1', key = 'operate-key', signal, halfway }: Asked = {}): Promise<Answered> =>
    new Promise((resolve, reject) => {
      const [near, far] = duplexPair();
      // a wire that breaks, breaks at both ends
      near.on('close', () => far.destroy());
      far.on('close', () => near.destroy());
      server.emit('connection', Object.assign(far, { remoteAddress: from }));
      const sent = body === undefined ? null : body instanceof Uint8Array ? body : Buffer.from(typeof body === 'string' ? body : JSON.stringify(body));
      const asked = request({
        createConnection: () => near as Duplex as never, method, path,
        headers: Object.fromEntries(Object.entries({
          Host: HOST, Connection: 'close', Authorization: `Bearer ${key}`,
          ...(method === 'GET' ? {} : { Origin: `http://${HOST}`, 'Content-Type': body instanceof Uint8Array ? 'application/octet-stream' : 'application/json', 'Content-Length': String(sent?.length ?? 0) }),
          ...headers,
        }).filter(([, value]) => value !== undefined)) as Record<string, string>,
      });
      asked.on('error', reject);
      signal?.addEventListener('abort', () => {
        far.destroy();
        reject(new Error('given up'));
      });
      asked.on('response', (response) => {
        const parts: Buffer[] = [];
        response.on('data', (part: Buffer) => parts.push(part));
        response.on('error', reject);
        response.on('end', () => {
          const bytes = Buffer.concat(parts);
          const isJson = String(response.headers['content-type']).includes('json');
          resolve({ status: response.statusCode ?? 0, headers: response.headers, bytes, body: isJson ? JSON.parse(bytes.toString()) : null });
        });
      });
      if (halfway === undefined || sent === null) return void asked.end(sent);
      asked.write(sent.subarray(0, sent.length / 2), () => void halfway().then(() => asked.end(sent.subarray(sent.length / 2))));
      return undefined;
    });
  return { ask, door, devices, clock, dataFolder };
}

/** Every route of the API over a store on disk; long work and the live side are in the hand of the test. */
export async function routeBench({ lan = false }: { readonly lan?: boolean } = {}) {
  const dataFolder = temporaryFolder();
  const scratchDir = join(dataFolder, '.scratch');
  mkdirSync(scratchDir);
  const sent: { message: ToPage; droppable: boolean }[] = [];
  const logged: string[] = [];
  const shut: string[] = [];
  const live = { port: null as string | null, looked: 0, forgotten: [] as string[] };
  const work = { orders: [] as LongOrder[], does: async (_order: any, _options: Options): Promise<unknown> => ({}) };
  const views = { forgotten: [] as string[] };
  const ports = new DeskPorts();
  const store = await Store.open(dataFolder, { software: 'bench', now: () => new Date('2026-11-25T08:00:00Z') });
  onTestFinished(() => store.close());
  const context: ApiContext = {
    store, ports, scratchDir,
    clock: { nowMs: () => 0, date: () => new Date('2026-11-25T08:00:00Z') },
    work: { run: (order: LongOrder, options: Options = {}) => (work.orders.push(order), work.does(order, options)) } as unknown as LongWork,
    views: {
      forget: async (path: string) => void views.forgotten.push(path),
      outline: async (path: string) => {
        const reader = await openTrace(path);
        const { record, marks, problems } = reader;
        await reader.close();
        return { record, marks, problems };
      },
    } as unknown as TraceViews,
    send: (message, droppable = false) => void sent.push({ message, droppable }),
  };
  const hub = {
    feed: { port: () => live.port },
    calibrations: { lookAgain: () => live.looked++ },
    test: { forgetJob: (jobId: string) => live.forgotten.push(jobId) },
  } as unknown as Hub;
  const app = await appBench({ dataFolder, log: (text) => logged.push(text), routes: (door, devices) => apiRoutes(context, hub, door.tickets, { devices, port: 8080, lan, shutOut: (id) => shut.push(id) }) });
  return { ...app, store, scratchDir, sent, logged, shut, live, work, views, ports };
}

/** A trace of five samples among the unfiled ones: a triangle of two ampere up and down. */
export async function bringTrace(store: Store, about: Partial<Pick<TraceRecord, 'title' | 'test'>> = {}): Promise<TraceRef> {
  const folder = temporaryFolder();
  const path = join(folder, 'bench.csv');
  writeFileSync(path, 'time_s,current_a\n0,0\n1,2\n2,0\n3,-2\n4,0\n');
  const [ref] = await store.importFile(path, 'bench.csv');
  if (Object.keys(about).length > 0) await store.updateTrace(ref!, about);
  return ref!;
}

/** Waits until it is so, or has had many turns to become so: what follows looks whether it is. */
export async function settle(isSo: () => boolean): Promise<void> {
  for (let turn = 0; turn < 1000 && !isSo(); turn++) await new Promise((resolve) => setTimeout(resolve, 1));
}
