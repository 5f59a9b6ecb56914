import { homedir, tmpdir } from 'node:os';
import type { Clock } from '../clock.ts';
import type { Commands } from '../live/commands.ts';
import type { Hub } from '../live/hub.ts';
import { lanHosts, loopbackHosts } from './addresses.ts';
import { apiRoutes } from './api.ts';
import type { ApiContext } from './api-context.ts';
import { builtPages, createApp } from './app.ts';
import type { Access } from './door/access.ts';
import type { Devices } from './door/devices.ts';
import { Door } from './door/door.ts';
import { createGate } from './door/gate.ts';
import { Keys, makeKey } from './door/keys.ts';
import type { DoorLimits } from './door/limits.ts';
import { SourceChoice } from './door/source-choice.ts';
import { PathFilter } from './door/without-paths.ts';
import { Pages, type Sender, type Told } from './pages.ts';
import type { Listening } from './server.ts';

export interface FrontParts {
  readonly hub: Hub;
  readonly commands: Commands;
  readonly context: ApiContext;
  readonly listening: Listening;
  readonly clock: Clock;
  readonly limits: DoorLimits;
  readonly lan: boolean;
  /** the source of the command line */
  readonly source: string;
  readonly webDir?: string | undefined;
  readonly devices: Devices;
  readonly log: (text: string) => void;
}

/** What the daemon shows to the outside: the door, the pages behind it, and the API. */
export interface Front {
  readonly pages: Pages;
  readonly keys: Readonly<Record<Access, string>>;
  /** connections that have shown no key */
  readonly strangers: number;
  /** begins to answer requests */
  serve(): void;
  close(): void;
}

export function createFront({ hub, commands, context, listening, clock, limits, lan, source, webDir = builtPages(), devices, log }: FrontParts): Front {
  const { store } = context;
  const keys = { operate: makeKey(), view: makeKey() };
  const gate = createGate(lan ? lanHosts(listening.port) : loopbackHosts(listening.port));
  const door = new Door({ gate, keys: new Keys(keys, devices), clock, limits });
  const paths = new PathFilter({ path: store.dataFolder, name: 'the data folder' }, [
    { path: homedir(), name: 'the home folder' },
    { path: tmpdir(), name: 'the temporary folder' },
    { path: webDir, name: 'the folder of the pages' },
    { path: process.cwd(), name: 'the folder amptrail was started in' },
  ]);
  const choice = new SourceChoice({ first: source, paths, pathOf: (ref) => store.path(ref) });
  const pages = new Pages({
    join: (socket, key) => door.join(socket, key),
    snapshot: ({ holder }) => hub.snapshot().map((message) => (message.type === 'hello' ? { ...message, access: holder.access } : message)),
    abroad: (message) => paths.message(message),
    message: (message, sender) => obey(commands, choice, message, sender),
  });
  const shutOut = (deviceId: string): void => {
    door.tickets.drop(deviceId);
    pages.shutOut(deviceId);
  };
  const routes = apiRoutes(context, hub, door.tickets, { devices, port: listening.port, lan, shutOut });
  const app = createApp({ door, paths, webDir, routes, log });
  return {
    pages,
    keys,
    get strangers() {
      return door.connections.counts.strangers;
    },
    serve: () => listening.serve({ door, request: app, upgrade: (request, socket, head) => pages.upgrade(request, socket, head) }),
    close: () => {
      pages.close();
      door.close();
    },
  };
}

/** Does what a page asks; which source it may choose depends on where it is open. */
async function obey(commands: Commands, choice: SourceChoice, message: Told, { local }: Sender): Promise<string | null> {
  if (message.type !== 'source' || message.do !== 'choose') return commands.do(message);
  const allowed = await choice.allow(message.spec, local);
  return 'refusal' in allowed ? allowed.refusal : commands.do({ ...message, spec: allowed.spec });
}
