import { homedir, tmpdir } from 'node:os';
import type { Clock } from '../clock.ts';
import { language } from '../../core/present/language.ts';
import type { Commands } from '../live/commands.ts';
import { Controls } from '../live/controls.ts';
import type { Hub } from '../live/hub.ts';
import { lanHosts, loopbackHosts } from './addresses.ts';
import { apiRoutes } from './routes/api.ts';
import type { ApiContext } from './routes/api-context.ts';
import { builtPages, createApp } from './app.ts';
import type { Access } from './door/access.ts';
import type { Devices } from './door/devices.ts';
import { Door } from './door/door.ts';
import { NEEDS_CONTROLS } from './door/message-needs.ts';
import { createGate } from './door/gate.ts';
import { Keys, makeKey } from './door/keys.ts';
import type { DoorLimits } from './door/limits.ts';
import { SourceChoice } from './door/source-choice.ts';
import { PathFilter } from './door/without-paths.ts';
import type { Sender, WorkMessage } from './page-types.ts';
import { Pages } from './pages.ts';
import type { Listening } from './server.ts';

const words = language.daemon.http.front;

interface FrontParts {
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
  const paths = new PathFilter({ path: store.dataFolder, name: words.theDataFolder }, [
    { path: homedir(), name: words.theHomeFolder },
    { path: tmpdir(), name: words.theTemporaryFolder },
    { path: webDir, name: words.theFolderOfThePages },
    { path: process.cwd(), name: words.theFolderAmptrailWas },
  ]);
  const choice = new SourceChoice({ first: source, paths, pathOf: (ref) => store.path(ref) });
  const controls = new Controls({ tell: (pageId, view) => pages.tell(pageId, view), answerWithinMs: limits.answerWithinMs });
  const pages: Pages = new Pages(
    {
      join: (socket, key) => door.join(socket, key),
      joined: ({ pageId, holder, local }, address) => {
        hub.joined();
        if (holder.access === 'operate') controls.join(pageId, nameOf(holder.device, local, address));
      },
      left: (pageId) => controls.leave(pageId),
      snapshot: ({ pageId, holder, local }) => [
        ...hub.snapshot().map((message) => (message.type === 'hello' ? { ...message, access: holder.access, device: holder.device, local, lan } : message)),
        ...(holder.access === 'operate' ? [controls.view(pageId)] : []),
      ],
      abroad: (message) => paths.message(message),
      message: (message, sender) => carryOut({ commands, choice, controls }, message, sender),
    },
    limits.holdNoisyMs,
  );
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
      controls.close();
      pages.close();
      door.close();
    },
  };
}

/** How other pages learn of this one. */
function nameOf(device: string | null, local: boolean, address: string): string {
  if (device !== null) return language.together.tablet(device);
  return local ? language.together.here : language.together.elsewhere(address);
}

interface Desk {
  readonly commands: Commands;
  readonly choice: SourceChoice;
  readonly controls: Controls;
}

/** Does what a page asks, if it holds the controls; which source it may choose depends on where it is open. */
async function carryOut({ commands, choice, controls }: Desk, message: WorkMessage, { pageId, local }: Sender): Promise<string | null> {
  if (message.type === 'controls') {
    controls.do(pageId, message.do);
    return null;
  }
  if (NEEDS_CONTROLS[message.type] && !controls.mayAct(pageId)) return language.together.notYours(controls.holderName);
  if (message.type !== 'source' || message.do !== 'choose') return commands.do(message);
  const allowed = await choice.allow(message.spec, local);
  return 'refusal' in allowed ? allowed.refusal : commands.do({ ...message, spec: allowed.spec });
}
