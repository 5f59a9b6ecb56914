import { connect, type Socket } from 'node:net';
import { once } from 'node:events';
import { mkdirSync, readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import type { DaemonOptions } from '../../../src/daemon/serve.ts';
import { Connections } from '../../../src/daemon/http/door/connections.ts';
import { DOOR_LIMITS } from '../../../src/daemon/http/door/limits.ts';
import { countedAs, peerOf } from '../../../src/daemon/http/door/peer.ts';
import { WrongKeys } from '../../../src/daemon/http/door/wrong-keys.ts';
import { makeKey } from '../../../src/daemon/http/door/keys.ts';
import { blockAt, joinPage, openSocket, startStand, temporaryFolder, type Stand } from '../stand.ts';
import { rawRequest, statusOf } from './raw-request.ts';

/** The real waits, on a clock that the test puts forward, looked at often. */
function fastForward(): { options: Partial<DaemonOptions>; pass: (ms: number) => void } {
  let aheadMs = 0;
  return { options: { limits: { sweepMs: 20 }, clock: { nowMs: () => performance.now() + aheadMs, date: () => new Date() } }, pass: (ms) => (aheadMs += ms) };
}

async function openConnection(port: number, text = ''): Promise<Socket> {
  const socket = connect(port, '127.0.0.1');
  socket.on('error', () => undefined);
  onTestFinished(() => void socket.destroy());
  await once(socket, 'connect');
  if (text !== '') socket.write(text);
  return socket;
}

/** resolves when the other end has closed */
async function closed(socket: Socket): Promise<void> {
  socket.resume();
  if (!socket.closed) await once(socket, 'close');
}

async function unjoined(stand: Stand): Promise<ReturnType<typeof openSocket>> {
  const page = openSocket(stand.daemon);
  await new Promise((resolve) => page.socket.once('open', resolve));
  return page;
}

function uploadHead(stand: Stand, key: string, bytes: number): string {
  const host = `127.0.0.1:${stand.daemon.port}`;
  return `POST /api/import?name=a.csv HTTP/1.1\r\nHost: ${host}\r\nOrigin: http://${host}\r\nAuthorization: Bearer ${key}\r\nContent-Type: application/octet-stream\r\nContent-Length: ${bytes}\r\n\r\n`;
}

describe('connections that do nothing', () => {
  it('are ended: without a request, with half of one, and with a WebSocket that does not join', async () => {
    const { options, pass } = fastForward();
    const stand = await startStand(options);
    const { port } = stand.daemon;
    const silent = await openConnection(port);
    const half = await openConnection(port, `GET / HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nX-Slow: `);
    const page = await unjoined(stand);
    expect(stand.daemon.connections()).toMatchObject({ strangers: 3 });
    pass(5000);
    await Promise.all([closed(silent), closed(half), page.whenClosed()]);
    expect(stand.daemon.connections()).toMatchObject({ strangers: 0 });
  });

  it('stay open when they ask: a page that has joined', async () => {
    const { options, pass } = fastForward();
    const stand = await startStand(options);
    const page = await stand.page();
    const silent = await openConnection(stand.daemon.port);
    pass(60_000);
    await closed(silent);
    stand.source.send(blockAt(0, 100));
    await page.until(() => page.frames.length > 0);
    expect(page.closed).toBeNull();
  });

  it('end an upload of which no more comes, and leave nothing of it behind', async () => {
    const { options, pass } = fastForward();
    const stand = await startStand(options);
    const upload = await openConnection(stand.daemon.port, `${uploadHead(stand, stand.daemon.token, 1000)}time_s,current_a\n0,1\n`);
    await expect.poll(() => readdirSync(join(stand.dataDir, '.scratch'))).toHaveLength(1);
    const later = setInterval(() => pass(31_000), 100);
    await closed(upload);
    clearInterval(later);
    const scratch = join(stand.dataDir, '.scratch');
    await expect.poll(() => readdirSync(scratch)).toEqual([]);
    expect(await (await stand.api('/api/traces')).json()).toEqual([]);
    expect(stand.log.join('\n')).not.toContain('failed');
  });
});

describe('crowds', () => {
  it('of silent connections and unjoined pages push out only themselves: a page still opens, joins and records', async () => {
    const stand = await startStand();
    const { port } = stand.daemon;
    const page = await stand.page();
    for (let i = 0; i < 300; i++) await openConnection(port, i % 2 === 0 ? '' : 'GET / HTTP/1.1\r\nHost: ');
    for (let i = 0; i < 64; i++) await unjoined(stand);
    expect(stand.daemon.connections().strangers).toBeLessThanOrEqual(DOOR_LIMITS.strangersPerAddress + 1);
    expect((await fetch(`http://127.0.0.1:${port}/`)).status).toBe(200);
    expect((await stand.api('/api/traces')).status).toBe(200);
    const late = await joinPage(stand.daemon);
    stand.source.send(blockAt(0, 100));
    await Promise.all([page, late].map((one) => one.until(() => one.frames.length > 0)));
  });

  it('are counted by address, the fullest one first, and a guest is never in the way', () => {
    const clock = { nowMs: () => 0, date: () => new Date(0) };
    const connections = new Connections(clock, { ...DOOR_LIMITS, strangersPerAddress: 4, strangers: 8, guestsPerAddress: 2 });
    onTestFinished(() => connections.close());
    const ended: string[] = [];
    const arrive = (address: string, name: string): Socket => {
      const socket = Object.assign(new (class extends EventTarget {})(), { remoteAddress: address, once: () => undefined, destroy: () => ended.push(name) }) as unknown as Socket;
      connections.add(socket);
      return socket;
    };
    const tablet = arrive('192.0.2.7', 'tablet');
    expect(connections.admit(tablet)).toBe(true);
    for (let i = 0; i < 6; i++) arrive('192.0.2.66', `flood-${i}`);
    expect(ended).toEqual(['flood-0', 'flood-1']);
    // many addresses: the whole is bounded too, and the address with the most gives way
    for (let i = 0; i < 5; i++) arrive(`198.51.100.${i}`, `other-${i}`);
    expect(ended).toEqual(['flood-0', 'flood-1', 'flood-2']);
    expect(connections.counts).toEqual({ strangers: 8, guests: 1 });
    expect(connections.admit(arrive('192.0.2.7', 'second'))).toBe(true);
    expect(connections.admit(arrive('192.0.2.7', 'third'))).toBe(false);
  });

  it('know one device by its address, in whatever way it is written', () => {
    expect(peerOf({ remoteAddress: '::ffff:192.0.2.7' })).toEqual({ address: '192.0.2.7', local: false });
    for (const address of ['127.0.0.1', '127.8.8.8', '::1', '::ffff:127.0.0.1']) expect(peerOf({ remoteAddress: address }).local, address).toBe(true);
    for (const address of ['192.168.1.5', 'fe80::1%eth0', '2001:db8::1', '::ffff:10.0.0.1', undefined]) expect(peerOf({ remoteAddress: address }).local, String(address)).toBe(false);
    expect(countedAs('2001:db8:1:2::99')).toBe(countedAs('2001:db8:1:2:aaaa:bbbb:cccc:dddd'));
    expect(countedAs('2001:db8:1:2::99')).not.toBe(countedAs('2001:db8:1:3::99'));
    expect(countedAs('192.0.2.7')).toBe('192.0.2.7');
  });
});

describe('a page that sends without end', () => {
  it('is shut out for a while, also when it comes back at once; others are not', async () => {
    const stand = await startStand({ limits: { holdNoisyMs: 50 } });
    const loud = await joinPage(stand.daemon, stand.daemon.viewToken);
    for (let i = 0; i < 1500; i++) loud.socket.send('{"type":"test"}');
    await loud.whenClosed();
    const again = await unjoined(stand);
    again.send({ type: 'join', protocol: 1, token: stand.daemon.viewToken });
    expect(await again.whenClosed()).toMatchObject({ code: 1008 });
    await joinPage(stand.daemon);
  });

  it('cannot send more by opening more pages: they count together, the loudest goes, and a quiet one of the same key stays', async () => {
    const stand = await startStand();
    const person = await stand.page();
    const quiet = await joinPage(stand.daemon, stand.daemon.viewToken);
    const loud = await Promise.all(Array.from({ length: 8 }, () => joinPage(stand.daemon, stand.daemon.viewToken)));
    // each alone stays far below the bound of one page
    for (const page of loud) for (let i = 0; i < 100; i++) page.socket.send('{"type":"test"}');
    await Promise.race(loud.map((page) => page.whenClosed()));
    quiet.send({ type: 'record', do: 'start' });
    person.send({ type: 'mark', kind: 'note', label: 'still here' });
    await person.next('mark', ({ mark }) => mark.label === 'still here', 0);
    await quiet.next('refused', ({ what }) => what === 'record', 0);
    expect(loud.filter(({ closed }) => closed === null).length).toBeLessThan(8);
    expect([person.closed, quiet.closed]).toEqual([null, null]);
  });

  it('is not read any more once it has been told to go', async () => {
    const stand = await startStand();
    const page = await unjoined(stand);
    page.send({ type: 'mark', kind: 'note', label: 'no join' });
    page.send({ type: 'join', protocol: 1, token: stand.daemon.token });
    expect(await page.whenClosed()).toMatchObject({ code: 4001 });
    expect(page.messages).toEqual([]);
  });
});

/** Outlasts a test on the slowest machine. */
const LONG_WAIT = { firstWaitMs: DOOR_LIMITS.longestWaitMs };

describe('wrong keys', () => {
  let nowMs = 0;
  const clock = { nowMs: () => nowMs, date: () => new Date(0) };

  it('make their address wait, twice as long each time, up to a minute; the same one again does not', () => {
    const wrong = new WrongKeys(clock, DOOR_LIMITS);
    for (let i = 0; i < 50; i++) wrong.wrong('192.0.2.7', 'the key of yesterday');
    expect(wrong.waitMs('192.0.2.7')).toBe(0);
    const waits = Array.from({ length: 14 }, (_, i) => {
      wrong.wrong('192.0.2.66', `guess ${i}`);
      return wrong.waitMs('192.0.2.66') / 1000;
    });
    expect(waits).toEqual([0, 0, 0, 0, 0, 1, 2, 4, 8, 16, 32, 60, 60, 60]);
    expect(wrong.waitMs('192.0.2.7')).toBe(0);
    nowMs += 60_000;
    expect(wrong.waitMs('192.0.2.66')).toBe(0);
    nowMs += 11 * 60_000;
    wrong.wrong('192.0.2.66', 'another');
    expect(wrong.waitMs('192.0.2.66')).toBe(0);
    for (let i = 0; i < 9; i++) wrong.wrong('192.0.2.66', `more ${i}`);
    wrong.right('192.0.2.66');
    expect(wrong.waitMs('192.0.2.66')).toBe(0);
  });

  it('are answered with 429 after a few, over HTTP and WebSocket, while the right key still opens on this computer', async () => {
    const stand = await startStand({ limits: LONG_WAIT });
    const { port } = stand.daemon;
    const ask = async (key: string): Promise<string> => rawRequest(port, `GET /api/traces HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nAuthorization: Bearer ${key}\r\nConnection: close\r\n\r\n`);
    const statuses: number[] = [];
    for (let i = 0; i < 20; i++) statuses.push(statusOf(await ask(makeKey())));
    expect(statuses.slice(0, 5)).toEqual([401, 401, 401, 401, 401]);
    expect(statuses.slice(6)).toEqual(Array.from({ length: 14 }, () => 429));
    expect(await ask(makeKey())).toMatch(/Retry-After: \d+/);
    const guess = await unjoined(stand);
    guess.send({ type: 'join', protocol: 1, token: makeKey() });
    expect(await guess.whenClosed()).toMatchObject({ code: 4003, reason: expect.stringContaining('wait') });
    expect(statusOf(await ask(stand.daemon.token))).toBe(200);
  });

  it('in tickets count as well', async () => {
    const stand = await startStand({ limits: LONG_WAIT });
    const statuses = [];
    for (let i = 0; i < 10; i++) statuses.push((await fetch(`http://127.0.0.1:${stand.daemon.port}/api/traces?ticket=${makeKey()}`)).status);
    expect(statuses).toContain(429);
  });
});

describe('files', () => {
  it('of the data folder are closed to other users of this computer, also in a folder that was open before', async () => {
    const dataDir = join(temporaryFolder(), 'data');
    mkdirSync(dataDir, { mode: 0o777 });
    const stand = await startStand({ dataDir });
    const job = (await (await stand.api('/api/jobs', { method: 'POST', body: { depot: '', vehicle: 'Van 2', complaint: '', circuit: 'door', fuse_rating_a: null, technician: '', note: '' } })).json()) as { id: string };
    const csv = `time_s,current_a\n${Array.from({ length: 50 }, (_, i) => `${i / 100},${i % 7}`).join('\n')}\n`;
    expect((await stand.api(`/api/import?name=a.csv&job=${job.id}`, { method: 'POST', body: csv, headers: { 'Content-Type': 'application/octet-stream' } })).status).toBe(200);
    const page = await stand.page();
    stand.source.send(blockAt(0, 500));
    page.send({ type: 'record', do: 'start' });
    await page.next('recording', ({ recording }) => recording !== null);
    const found = readdirSync(dataDir, { recursive: true, withFileTypes: true });
    expect(found.length).toBeGreaterThan(8);
    expect(statSync(dataDir).mode & 0o777).toBe(0o700);
    for (const entry of found) {
      const path = join(entry.parentPath, entry.name);
      expect((statSync(path).mode & 0o777).toString(8), path).toBe(entry.isDirectory() ? '700' : '600');
    }
  });
});
