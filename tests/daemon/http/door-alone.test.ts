import { EventEmitter } from 'node:events';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import type { IncomingMessage, ServerResponse } from 'node:http';
import { createServer } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { apiRouter, checkAllDeclared, MAX_BODY_BYTES } from '../../../src/daemon/http/door/api-router.ts';
import { Connections } from '../../../src/daemon/http/door/connections.ts';
import { Devices } from '../../../src/daemon/http/door/devices.ts';
import { Door, holderOf } from '../../../src/daemon/http/door/door.ts';
import { createGate } from '../../../src/daemon/http/door/gate.ts';
import { digestOf, Keys } from '../../../src/daemon/http/door/keys.ts';
import { DOOR_LIMITS, type DoorLimits } from '../../../src/daemon/http/door/limits.ts';
import { RouteList, type Route } from '../../../src/daemon/http/door/route-list.ts';
import { express, type NextFunction, type Request, type Response } from '../../../src/daemon/http/http-kit.ts';
import type { RequestError } from '../../../src/daemon/errors.ts';
import { temporaryFolder } from '../stand.ts';

/** The parts of the door that hold connections, devices and routes, each alone. */

/** A connection in the hand of the test. */
class HandSocket extends EventEmitter {
  readonly remoteAddress: string;
  bytesRead = 0;
  bytesWritten = 0;
  writableLength = 0;
  destroyed = false;

  constructor(remoteAddress: string) {
    super();
    this.remoteAddress = remoteAddress;
  }

  destroy(): void {
    this.destroyed = true;
    this.emit('close');
  }
}

function bench(limits: Partial<DoorLimits> = {}) {
  const clock = { ms: 1000 };
  const connections = new Connections({ nowMs: () => clock.ms, date: () => new Date(0) }, { ...DOOR_LIMITS, sweepMs: 1, ...limits });
  onTestFinished(() => connections.close());
  const come = (address = '192.0.2.7'): HandSocket => {
    const socket = new HandSocket(address);
    connections.add(socket as unknown as Socket);
    return socket;
  };
  const admit = (socket: HandSocket): boolean => connections.admit(socket as unknown as Socket);
  const ask = (socket: HandSocket, complete = true) => {
    const request = { socket, complete } as unknown as IncomingMessage & { complete: boolean };
    const response = new EventEmitter();
    connections.asks(request, response as unknown as ServerResponse);
    return { request, response };
  };
  /** lets the connections be looked at: one that came long ago is ended by that look */
  const look = async (): Promise<void> => {
    const now = clock.ms;
    clock.ms = -1e9;
    const old = come('203.0.113.1');
    clock.ms = now;
    while (!old.destroyed) await new Promise((resolve) => setTimeout(resolve, 1));
  };
  return { connections, clock, come, admit, ask, look };
}

describe('connections without a key', () => {
  it('of one address push out the oldest of their own, and count those of a network of IPv6 as one', () => {
    const { connections, come } = bench({ strangersPerAddress: 2 });
    const [first, second, third] = [come(), come(), come()];
    const other = come('192.0.2.8');
    expect([first, second, third, other].map(({ destroyed }) => destroyed)).toEqual([true, false, false, false]);
    expect(connections.counts).toEqual({ strangers: 3, guests: 0 });
    const network = [come('2001:db8::1'), come('2001:db8::2'), come('2001:db8:0:1::1'), come('2001:db8::3')];
    expect(network.map(({ destroyed }) => destroyed)).toEqual([true, false, false, false]);
    second.destroy();
    expect(connections.counts.strangers).toBe(5);
  });

  it('of all addresses push out the oldest of the address that has most', () => {
    const { come } = bench({ strangers: 3 });
    const sockets = [come('192.0.2.1'), come('192.0.2.2'), come('192.0.2.2'), come('192.0.2.3')];
    expect(sockets.map(({ destroyed }) => destroyed)).toEqual([false, true, false, false]);
  });

  it('are ended when they have asked for nothing in time; asking, and a key, end the waiting', async () => {
    const { connections, clock, come, admit, ask, look } = bench({ askWithinMs: 500 });
    const [silent, asked, guest, upgraded, joined] = [come(), come(), come(), come(), come()];
    ask(asked);
    expect(admit(guest)).toBe(true);
    clock.ms += 499;
    connections.upgraded(upgraded as unknown as Socket);
    await look();
    expect(silent.destroyed).toBe(false);
    clock.ms += 1;
    await look();
    expect([silent, asked, guest, upgraded].map(({ destroyed }) => destroyed)).toEqual([true, false, false, false]);
    expect(joined.destroyed).toBe(true);
    clock.ms += 499;
    await look();
    expect(upgraded.destroyed).toBe(true);
    expect(admit(silent)).toBe(false);
    connections.upgraded(silent as unknown as Socket);
    ask(silent);
  });

  it('that move nothing are ended, while they wait for a body or somebody for them to read; a long answer that is reckoned is not', async () => {
    const { clock, come, admit, ask, look } = bench({ stallMs: 500 });
    const [sending, moving, reckoned, unread, done] = [come(), come(), come(), come(), come()];
    for (const socket of [sending, moving, reckoned, unread, done]) admit(socket);
    const half = ask(sending, false);
    ask(moving, false);
    ask(reckoned);
    ask(unread);
    ask(done, false).response.emit('close');
    unread.writableLength = 10;
    clock.ms += 499;
    moving.bytesRead = 5;
    await look();
    clock.ms += 1;
    await look();
    expect([sending, moving, reckoned, unread, done].map(({ destroyed }) => destroyed)).toEqual([true, false, false, false, false]);
    // what is taken from memory counts as moved, what is put there does not
    unread.bytesWritten = 20;
    unread.writableLength = 30;
    clock.ms += 500;
    await look();
    expect([moving.destroyed, reckoned.destroyed, unread.destroyed]).toEqual([true, false, true]);
    half.response.emit('close');
  });

  it('that sent a request behind another are not let wait because the first was answered meanwhile (RFC 9112, 9.3.2)', async () => {
    const { clock, come, admit, ask, look } = bench({ stallMs: 500 });
    const socket = come();
    admit(socket);
    const first = ask(socket);
    ask(socket, false);
    first.response.emit('close');
    clock.ms += 500;
    await look();
    expect(socket.destroyed).toBe(true);
  });
});

describe('connections with a key', () => {
  it('are let in as many as there is room for, of one address and of all, and are never pushed out', () => {
    const { connections, come, admit } = bench({ guests: 3, guestsPerAddress: 2, strangersPerAddress: 1 });
    const [a, b, c] = [come(), come('192.0.2.8'), come('192.0.2.9')];
    expect([admit(a), admit(a)]).toEqual([true, true]);
    const more = come();
    expect(admit(more)).toBe(true);
    const third = come();
    expect(admit(third)).toBe(false);
    expect([admit(b), admit(c)]).toEqual([true, false]);
    come();
    expect([a, more, third].map(({ destroyed }) => destroyed)).toEqual([false, false, true]);
    expect(connections.counts).toEqual({ strangers: 2, guests: 3 });
  });
});

describe('the list of tablets', () => {
  const NOW = { ms: Date.parse('2026-03-02T08:00:00Z') };
  const open = (folder: string, log: string[] = []) => Devices.open(folder, () => new Date(NOW.ms), (text) => log.push(text));
  const listIn = (folder: string): { devices: Record<string, unknown>[] } => JSON.parse(readFileSync(join(folder, 'devices.json'), 'utf8')) as { devices: Record<string, unknown>[] };

  it('notes that one was there once an hour, and knows each by its key alone', async () => {
    const folder = temporaryFolder();
    const devices = await open(folder);
    const { key, device } = await devices.add('Bay 2', 'view');
    await devices.add('Office', 'operate');
    await expect(devices.add('Bay 2', 'view')).rejects.toMatchObject({ code: 'exists' });
    expect(devices.holderOf(digestOf('another'))).toBeNull();
    expect(devices.list()[0]!.last_seen).toBeNull();
    expect(devices.holderOf(digestOf(key))).toEqual({ id: device.id, access: 'view', device: 'Bay 2' });
    expect(devices.list().map(({ last_seen: seen }) => seen)).toEqual(['2026-03-02T08:00:00.000Z', null]);
    NOW.ms += 3_599_999;
    devices.holderOf(digestOf(key));
    expect(devices.list()[0]!.last_seen).toBe('2026-03-02T08:00:00.000Z');
    NOW.ms += 1;
    devices.holderOf(digestOf(key));
    expect(devices.list()[0]!.last_seen).toBe('2026-03-02T09:00:00.000Z');
    await devices.close();
    expect(listIn(folder).devices.map(({ name, last_seen: seen }) => [name, seen])).toEqual([['Bay 2', '2026-03-02T09:00:00.000Z'], ['Office', null]]);
    expect((await open(folder)).holderOf(digestOf(key))).toMatchObject({ device: 'Bay 2' });
    await expect(devices.remove('none')).rejects.toMatchObject({ code: 'not-found' });
    await devices.remove(device.id);
    expect([devices.holderOf(digestOf(key)), listIn(folder).devices.length]).toEqual([null, 1]);
  });

  it('holds fifty, and one that is no such list lets nobody in and is put aside', async () => {
    const folder = temporaryFolder();
    const good = { id: 'a', name: 'n', access: 'view', created: 'c', last_seen: null, sha256: digestOf('k').toString('hex') };
    const opened = async (devices: unknown, schema = 'amptrail-devices/1'): Promise<number> => {
      writeFileSync(join(folder, 'devices.json'), JSON.stringify({ schema, devices }));
      const log: string[] = [];
      const list = (await open(folder, log)).list();
      expect(log.length).toBe(existsSync(join(folder, 'devices.json')) ? 0 : 1);
      return log.length === 0 ? list.length : -1;
    };
    expect(await opened([good])).toBe(1);
    expect(await opened([{ ...good, access: 'operate', name: 'x'.repeat(200), last_seen: '2026-03-02T08:00:00Z' }])).toBe(1);
    expect(await opened(Array.from({ length: 50 }, () => good))).toBe(50);
    for (const bad of [{ ...good, access: 'all' }, { ...good, name: 'x'.repeat(201) }, { ...good, id: 7 }, { ...good, created: undefined }, { ...good, last_seen: 'soon' }, { ...good, last_seen: 7 }, { ...good, sha256: 'abc' }, { ...good, sha256: `${good.sha256}0` }, { ...good, sha256: 7 }, null]) expect(await opened([good, bad]), JSON.stringify(bad)).toBe(-1);
    expect([await opened(Array.from({ length: 51 }, () => good)), await opened({}), await opened([good], 'amptrail-devices/2')]).toEqual([-1, -1, -1]);
    expect(existsSync(join(folder, 'devices-damaged.json'))).toBe(true);
  });

  it('takes one of fifty more, and no fifty-first', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'devices.json'), JSON.stringify({ schema: 'amptrail-devices/1', devices: Array.from({ length: 49 }, (_, i) => ({ id: String(i), name: `t${i}`, access: 'view', created: '', last_seen: null, sha256: digestOf(String(i)).toString('hex') })) }));
    const devices = await open(folder);
    await devices.add('last', 'view');
    await expect(devices.add('more', 'view')).rejects.toMatchObject({ code: 'exists' });
    const broken = await open(join(folder, 'nowhere'));
    await expect(broken.add('x', 'view')).rejects.toMatchObject({ code: 'not-found' });
    mkdirSync(join(folder, 'nowhere'));
    await broken.add('y', 'view');
    expect(listIn(join(folder, 'nowhere')).devices.map(({ name }) => name)).toEqual(['x', 'y']);
  });
});

describe('a device that shows wrong keys', () => {
  const clock = { ms: 0 };
  const door = () => {
    clock.ms = 0;
    const made = new Door({ gate: createGate(['127.0.0.1:80']), keys: new Keys({ operate: 'o-key', view: 'v-key' }, { holderOf: () => null }), clock: { nowMs: () => clock.ms, date: () => new Date(0) }, limits: { ...DOOR_LIMITS, freeTries: 1, firstWaitMs: 1500, guestsPerAddress: 1 } });
    onTestFinished(() => made.close());
    return made;
  };
  const socketOf = (made: Door, address: string): Socket => {
    const socket = new HandSocket(address) as unknown as Socket;
    made.connections.add(socket);
    return socket;
  };

  it('is asked nothing yet of a request whose address is refused, and the answer names no address but ours', () => {
    const made = door();
    const enter = (host: string) => {
      const headers: Record<string, string> = {};
      const set = (given: string | Record<string, string>, value = ''): unknown => Object.assign(headers, typeof given === 'string' ? { [given]: value } : given);
      let code = '';
      try {
        made.enter({ method: 'GET', originalUrl: '/', headers: { host } } as Request, { set } as unknown as Response);
      } catch (error) {
        code = (error as RequestError).code;
      }
      return [code, /ws:\/\/([^;]*);/.exec(headers['Content-Security-Policy']!)![1], headers['Connection'] ?? 'open'];
    };
    expect(enter('127.0.0.1:80')).toEqual(['', '127.0.0.1:80', 'open']);
    expect(enter('evil.example')).toEqual(['wrong-host', '', 'close']);
  });

  it('waits, also with the right one; on this computer the right one always opens', () => {
    for (const [address, opens] of [['192.0.2.7', false], ['127.0.0.1', true]] as const) {
      const made = door();
      const socket = socketOf(made, address);
      expect(made.join(socket, 'wrong-1')).toMatchObject({ status: 401, code: 'no-token' });
      expect(made.join(socket, 'wrong-2')).toMatchObject({ status: 401 });
      expect(made.join(socket, 'wrong-3')).toMatchObject({ status: 429, code: 'wrong-keys', retryAfterS: 2 });
      const answer = made.join(socket, 'o-key');
      expect('access' in answer, address).toBe(opens);
      clock.ms = 1500;
      expect(made.join(socket, 'o-key')).toEqual({ id: 'operate', access: 'operate', device: null });
      // the right one forgives those before
      expect(made.join(socket, 'wrong-4')).toMatchObject({ status: 401 });
    }
  });

  it('finds no room where others of its address have it', () => {
    const made = door();
    expect(made.join(socketOf(made, '192.0.2.7'), 'v-key')).toMatchObject({ access: 'view' });
    expect(made.join(socketOf(made, '192.0.2.7'), 'v-key')).toMatchObject({ status: 503, code: 'too-many' });
    expect(made.join(socketOf(made, '192.0.2.8'), 'v-key')).toMatchObject({ access: 'view' });
  });

  it('is asked for nobody where a route needs no key', () => {
    expect(() => holderOf({ locals: {} } as unknown as Response)).toThrow();
    expect(holderOf({ locals: { holder: { id: 'a' } } } as unknown as Response)).toEqual({ id: 'a' });
  });
});

describe('routes', () => {
  const handler = (): void => undefined;

  it('are written down with what they need, and none without', () => {
    const list = new RouteList();
    list.get('/a', 'view', handler);
    list.post('/b', 'operate', handler);
    list.post('/c', 'operate', handler, 'file');
    list.put('/d', 'nothing', handler);
    expect(list.all).toEqual([['get', '/a', 'view', 'none'], ['post', '/b', 'operate', 'json'], ['post', '/c', 'operate', 'file'], ['put', '/d', 'nothing', 'json']].map(([method, path, needs, body]) => ({ method, path, needs, body, handler })));
    expect(() => list.get('/e', 'all' as never, handler)).toThrow('/e');
  });

  it('beside the list keep the application from being made', () => {
    const route: Route = { method: 'get', path: '/a', needs: 'view', body: 'none', handler };
    const app = express();
    app.use('/api', apiRouter([route], () => undefined));
    expect(() => checkAllDeclared(app, [route])).not.toThrow();
    expect(() => checkAllDeclared(app, [{ ...route, method: 'post' }])).toThrow('/a');
    app.get('/b', handler);
    expect(() => checkAllDeclared(app, [route])).toThrow('/b');
    expect(() => apiRouter([{ ...route, needs: undefined as never }], () => undefined)).toThrow('/a');
  });

  it('are guarded before a body is read, take the one type of body they carry, and no more than 64 KiB of JSON', async () => {
    const seen: string[] = [];
    const routes: Route[] = [
      { method: 'post', path: '/json', needs: 'operate', body: 'json', handler: (request, response) => response.json({ got: JSON.stringify(request.body).length }) },
      { method: 'post', path: '/file', needs: 'view', body: 'file', handler: (_request, response) => response.json({}) },
      { method: 'get', path: '/Look', needs: 'nothing', body: 'none', handler: (_request, response) => response.json({}) },
    ];
    const app = express();
    app.use('/api', apiRouter(routes, (needs) => void seen.push(needs)));
    app.use((error: RequestError & { type?: string }, _request: Request, response: Response, _next: NextFunction) => void response.status(error.status).end());
    const server = createServer(app).listen(0, '127.0.0.1');
    onTestFinished(() => void server.close());
    await new Promise((resolve) => server.once('listening', resolve));
    const ask = async (method: string, path: string, type = '', body = ''): Promise<number> => {
      const response = await fetch(`http://127.0.0.1:${(server.address() as AddressInfo).port}/api${path}`, { method, headers: { Connection: 'close', ...(type === '' ? {} : { 'Content-Type': type }) }, ...(method === 'POST' ? { body } : {}) });
      expect(response.headers.get('cache-control')).toBe('no-store');
      return response.status;
    };
    const text = (bytes: number): string => JSON.stringify({ a: 'x'.repeat(bytes - 8) });
    expect(await ask('POST', '/json', 'application/json', text(MAX_BODY_BYTES))).toBe(200);
    expect([await ask('POST', '/json', 'Application/JSON; charset=utf-8', '{}'), await ask('POST', '/json', 'application/json ; charset=utf-8', '{}')]).toEqual([200, 200]);
    expect(await ask('POST', '/json', 'application/json', text(MAX_BODY_BYTES + 1))).toBe(413);
    expect([await ask('POST', '/json', 'text/plain', '{}'), await ask('POST', '/json', '', '{}'), await ask('POST', '/file', 'application/json', '{}'), await ask('POST', '/json', 'application/json', '"a"')]).toEqual([415, 415, 415, 400]);
    expect(await ask('POST', '/file', 'application/octet-stream', 'anything')).toBe(200);
    expect([await ask('GET', '/Look'), await ask('GET', '/look'), await ask('GET', '/Look/'), await ask('GET', '/none')]).toEqual([200, 404, 404, 404]);
    expect(seen).toEqual(['operate', 'operate', 'operate', 'operate', 'operate', 'operate', 'view', 'operate', 'view', 'nothing', 'view', 'view', 'view']);
  });
});
