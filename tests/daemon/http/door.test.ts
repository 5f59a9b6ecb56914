import { readFileSync } from 'node:fs';
import { describe, expect, it, onTestFinished } from 'vitest';
import { WIRE_PROTOCOL, type FromPage } from '../../../src/core/wire/messages.ts';
import type { ApiContext } from '../../../src/daemon/http/routes/api-context.ts';
import { createApp } from '../../../src/daemon/http/app.ts';
import { loopbackHosts } from '../../../src/daemon/http/addresses.ts';
import type { Needs } from '../../../src/daemon/http/door/access.ts';
import { apiRoutes } from '../../../src/daemon/http/routes/api.ts';
import { checkAllDeclared } from '../../../src/daemon/http/door/api-router.ts';
import { Keys, makeKey } from '../../../src/daemon/http/door/keys.ts';
import { MESSAGE_NEEDS, maySend } from '../../../src/daemon/http/door/message-needs.ts';
import { RouteList, type Route } from '../../../src/daemon/http/door/route-list.ts';
import { express } from '../../../src/daemon/http/http-kit.ts';
import type { DeviceParts } from '../../../src/daemon/http/routes/devices.ts';
import type { Hub } from '../../../src/daemon/live/hub.ts';
import { createGate } from '../../../src/daemon/http/door/gate.ts';
import { listen } from '../../../src/daemon/http/server.ts';
import { SYSTEM_CLOCK } from '../../../src/daemon/clock.ts';
import type { Tickets } from '../../../src/daemon/http/door/tickets.ts';
import { Door } from '../../../src/daemon/http/door/door.ts';
import { DOOR_LIMITS } from '../../../src/daemon/http/door/limits.ts';
import { PathFilter } from '../../../src/daemon/http/door/without-paths.ts';
import { rawRequest, statusOf } from './raw-request.ts';
import { addressOf, nameOf, requestText, spellings } from './spellings.ts';
import { blockAt, joinPage, openSocket, pagesFolder, startStand } from '../stand.ts';

const KEYS = { operate: makeKey(), view: makeKey() };
/** a key that was good before the daemon was started anew */
const OLD_KEY = makeKey();

const NO_PATHS = new PathFilter({ path: '/nowhere', name: 'nowhere' }, []);

/** Many old keys come from one address here; what that leads to has tests of its own. */
function makeDoor(hosts: readonly string[]): Door {
  const door = new Door({ gate: createGate(hosts), keys: new Keys(KEYS, { holderOf: () => null }), clock: SYSTEM_CLOCK, limits: { ...DOOR_LIMITS, freeTries: Infinity, strangersPerAddress: 1000, strangers: 1000 } });
  onTestFinished(() => door.close());
  return door;
}

/** The door as the daemon builds it, with the daemon's own routes; only the handler behind each is replaced by a note that it was reached. */
async function openDoor(): Promise<{ port: number; routes: readonly Route[]; tickets: Tickets; reached: string[] }> {
  const reached: string[] = [];
  const listening = await listen(0, false, DOOR_LIMITS);
  onTestFinished(() => listening.close());
  const door = makeDoor(loopbackHosts(listening.port));
  const { tickets } = door;
  const routes = apiRoutes({ store: { dataFolder: '/nowhere' } } as ApiContext, {} as Hub, tickets, {} as DeviceParts);
  const noting = routes.map((route): Route => ({ ...route, handler: (_request, response) => response.json({ reached: reached.push(nameOf(route)) }) }));
  const app = createApp({ door, paths: NO_PATHS, webDir: pagesFolder(), routes: noting, log: () => undefined });
  listening.serve({ door, request: app, upgrade: (_request, socket) => socket.destroy() });
  return { port: listening.port, routes, tickets, reached };
}

const STRANGERS: readonly [name: string, key: string | null][] = [['without a key', null], ['with an old key', OLD_KEY]];

describe('the door', () => {
  it('lets each route be reached by its one spelling and a key that is enough, and by nothing less', async () => {
    const { port, routes, reached } = await openDoor();
    expect(routes.length).toBeGreaterThan(20);
    for (const route of routes) {
      const send = async (key: string | null): Promise<number> => statusOf(await rawRequest(port, requestText(route.method.toUpperCase(), addressOf(route), port, key, route.body)));
      for (const [name, key] of STRANGERS) expect(await send(key), `${nameOf(route)} ${name}`).toBe(route.needs === 'nothing' ? 200 : 401);
      expect(reached, nameOf(route)).toEqual(route.needs === 'nothing' ? [nameOf(route), nameOf(route)] : []);
      reached.length = 0;
      expect(await send(KEYS.view), `${nameOf(route)} with a key that may look`).toBe(route.needs === 'operate' ? 403 : 200);
      expect(reached).toEqual(route.needs === 'operate' ? [] : [nameOf(route)]);
      reached.length = 0;
      expect(await send(KEYS.operate), nameOf(route)).toBe(200);
      expect(reached).toEqual([nameOf(route)]);
      reached.length = 0;
    }
  });

  it.each([
    ['no key', null],
    ['an old key', OLD_KEY],
    ['a key that may look', KEYS.view],
    ['a key that may change', KEYS.operate],
  ])('opens to no other spelling of any route, with %s', async (_holder, key) => {
    const { port, routes, reached } = await openDoor();
    for (const route of routes) {
      const tries = spellings(addressOf(route), port).map(async (target) => {
        const answer = await rawRequest(port, requestText(route.method.toUpperCase(), target, port, key, route.body));
        // 0: the parser of HTTP hung up
        expect([0, 400, 401, 403, 404, 405], `${route.method} ${target}: ${answer.slice(0, 200)}`).toContain(statusOf(answer));
      });
      await Promise.all(tries);
      expect(reached, nameOf(route)).toEqual([]);
    }
  });

  it('opens to no other method: HEAD needs what GET needs, OPTIONS and the others are refused', async () => {
    const { port, routes, reached } = await openDoor();
    for (const address of new Set(routes.map(addressOf))) {
      const those = routes.filter((route) => addressOf(route) === address);
      for (const method of ['HEAD', 'OPTIONS', 'GET', 'POST', 'PUT', 'DELETE', 'PATCH', 'TRACE', 'PROPFIND', 'QUERY']) {
        if (those.some((route) => route.method.toUpperCase() === method)) continue;
        for (const key of [null, OLD_KEY, KEYS.view]) {
          const status = statusOf(await rawRequest(port, requestText(method, address, port, key, 'json')));
          const looks = method === 'HEAD' && key === KEYS.view && those.some((route) => route.method === 'get' && route.needs !== 'operate');
          if (looks) expect(status).toBe(200);
          else expect([0, 400, 401, 403, 404, 405], `${method} ${address}`).toContain(status);
          if (!looks) expect(reached, `${method} ${address}`).toEqual([]);
          reached.length = 0;
        }
      }
    }
    // CONNECT names an authority, not a path
    expect([0, 400, 405]).toContain(statusOf(await rawRequest(port, `CONNECT 127.0.0.1:${port} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\n\r\n`)));
  });

  it('gives a ticket the right to look at one address in its one spelling, and never to change anything', async () => {
    const { port, routes, tickets, reached } = await openDoor();
    for (const route of routes) {
      const address = addressOf(route);
      const ticket = tickets.issue(address, 'operate').slice(address.length);
      await Promise.all(spellings(address, port).map((target) => rawRequest(port, requestText(route.method.toUpperCase(), `${target}${ticket}`, port, null, route.body))));
      expect(reached, nameOf(route)).toEqual([]);
      const once = tickets.issue(address, 'operate');
      const status = statusOf(await rawRequest(port, requestText(route.method.toUpperCase(), once, port, null, route.body)));
      expect(status, nameOf(route)).toBe(route.method !== 'get' ? 401 : route.needs === 'operate' ? 403 : 200);
      reached.length = 0;
    }
  });

  it('does not start with a route that does not say what it needs, nor with one that is in no list', () => {
    const list = new RouteList();
    expect(() => list.get('/open', undefined as unknown as Needs, () => undefined)).toThrow(/GET \/open/);
    expect(() => list.post('/open', 'everything' as Needs, () => undefined)).toThrow(/POST \/open/);
    const parts = { door: makeDoor([]), paths: NO_PATHS, webDir: pagesFolder(), log: () => undefined };
    const undeclared = { method: 'get', path: '/open', body: 'none', handler: () => undefined } as unknown as Route;
    expect(() => createApp({ ...parts, routes: [undeclared] })).toThrow(/does not declare/);
    const beside = createApp({ ...parts, routes: [] });
    const router = express.Router();
    router.get('/beside', () => undefined);
    beside.use('/api', router);
    expect(() => checkAllDeclared(beside, [])).toThrow(/GET \/beside/);
  });
});

describe('messages of a page', () => {
  /** one that is right in every field, for each type */
  const MESSAGES: Readonly<Record<FromPage['type'], FromPage>> = {
    join: { type: 'join', protocol: WIRE_PROTOCOL, token: '' },
    test: { type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: 'changed' } },
    job: { type: 'job', jobId: null },
    controls: { type: 'controls', do: 'take' },
    record: { type: 'record', do: 'start' },
    arm: { type: 'arm', arm: { startOn: { kind: 'mark' }, beforeS: 1, stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false } },
    mark: { type: 'mark', kind: 'note', label: 'changed' },
    zero: { type: 'zero', do: 'take' },
    source: { type: 'source', do: 'choose', spec: 'hand:2' },
  };

  it('of every type are declared, and what is not is refused to everybody', () => {
    const text = readFileSync(new URL('../../../src/daemon/http/wire-check.ts', import.meta.url), 'utf8');
    const known = new Set([...text.matchAll(/type: type\('(\w+)'\)/g)].map((match) => match[1]!));
    expect(known.size).toBeGreaterThan(5);
    expect(new Set(Object.keys(MESSAGE_NEEDS))).toEqual(known);
    for (const type of ['', 'constructor', '__proto__', 'toString', 'Record', 'record ']) expect(maySend('operate', type), type).toBe(false);
  });

  it('are answered with the end of the connection before a page has joined, whatever they ask', async () => {
    const stand = await startStand();
    for (const token of ['', OLD_KEY, stand.daemon.token.toUpperCase(), stand.daemon.viewToken.toLowerCase()]) {
      for (const message of Object.values(MESSAGES)) {
        const page = openSocket(stand.daemon);
        await new Promise((resolve) => page.socket.once('open', resolve));
        page.send(message.type === 'join' ? { ...message, token } : { ...message, token });
        expect([4001, 4003], message.type).toContain((await page.whenClosed()).code);
        expect(page.messages).toEqual([]);
      }
    }
    expect(stand.sources.length).toBe(1);
  });

  it('of a page that may look are refused with a sentence when they would change something, and change nothing', async () => {
    const stand = await startStand();
    const page = await joinPage(stand.daemon, stand.daemon.viewToken);
    stand.source.send(blockAt(0, 100));
    await page.until(() => page.frames.length > 0);
    const before = JSON.stringify([page.last('test'), page.last('recording'), page.last('zero'), page.last('source'), page.last('marks')]);
    for (const message of Object.values(MESSAGES)) {
      page.send(message);
      const refused = await page.next('refused', ({ what }) => what === message.type);
      if (MESSAGE_NEEDS[message.type] === 'operate') expect(refused.text).toMatch(/look/);
    }
    expect(JSON.stringify([page.last('test'), page.last('recording'), page.last('zero'), page.last('source'), page.last('marks')])).toBe(before);
    expect(stand.sources.length).toBe(1);
    const operator = await joinPage(stand.daemon);
    operator.send(MESSAGES.mark);
    expect((await page.next('mark')).mark.label).toBe('changed');
  });
});
