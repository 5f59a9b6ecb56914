import { once } from 'node:events';
import type { IncomingMessage } from 'node:http';
import { connect, createServer, type AddressInfo } from 'node:net';
import { describe, expect, it, onTestFinished } from 'vitest';
import { Connections } from '../../../src/daemon/http/door/connections.ts';
import type { Door } from '../../../src/daemon/http/door/door.ts';
import { DOOR_LIMITS } from '../../../src/daemon/http/door/limits.ts';
import { listen } from '../../../src/daemon/http/server.ts';
import { rawRequest, statusOf } from './raw-request.ts';

/** A port whose door notes who comes and lets everybody in. */
async function open(lan = false, port = 0, limits = DOOR_LIMITS) {
  const listening = await listen(port, lan, limits);
  onTestFinished(() => listening.close());
  const seen = { added: 0, asked: 0, upgraded: 0 };
  const upgrades: IncomingMessage[] = [];
  const door = {
    gate: { upgrade: () => null },
    connections: { add: () => seen.added++, asks: () => seen.asked++, upgraded: () => seen.upgraded++ },
  } as unknown as Door;
  const serve = (): void => listening.serve({
    door,
    request: (_request, response) => response.end('answered'),
    upgrade: (request, socket) => (upgrades.push(request), socket.end('HTTP/1.1 101 Switching\r\n\r\n')),
  });
  const get = (path = '/', more = ''): Promise<string> => rawRequest(listening.port, `GET ${path} HTTP/1.1\r\nHost: x\r\nConnection: close\r\n${more}\r\n`).catch(() => '');
  const upgrade = (path: string): Promise<string> => rawRequest(listening.port, `GET ${path} HTTP/1.1\r\nHost: x\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n`).catch(() => '');
  return { listening, seen, upgrades, serve, get, upgrade };
}

describe('the port', () => {
  it('answers nobody before the daemon is there, and then everybody, each known to the door first', async () => {
    const { seen, serve, get, upgrade, upgrades } = await open();
    expect([await get(), await upgrade('/live'), seen]).toEqual(['', '', { added: 0, asked: 0, upgraded: 0 }]);
    serve();
    expect(await get()).toContain('answered');
    expect([statusOf(await upgrade('/live')), upgrades.length, seen]).toEqual([101, 1, { added: 2, asked: 1, upgraded: 1 }]);
  });

  it('has one WebSocket, at one spelling of its address', async () => {
    const { serve, upgrade, upgrades } = await open();
    serve();
    for (const path of ['/', '/live/', '/live?x', '/LIVE', '//live', '/live%00']) {
      const answer = await upgrade(path);
      expect([statusOf(answer), answer.includes('"not-found"'), upgrades.length], path).toEqual([404, true, 0]);
    }
  });

  it('takes a head of 16 kB and no longer one', async () => {
    const { serve, get } = await open();
    serve();
    const head = (bytes: number): Promise<string> => get('/', `X: ${'x'.repeat(bytes)}\r\n`);
    expect([statusOf(await head(15_000)), statusOf(await head(17_000))]).toEqual([200, 400]);
  });

  it('ends what asks for nothing, or half, without a word: it would be taken for the answer to a request that is on its way', async () => {
    const { listening, serve } = await open(false, 0, { ...DOOR_LIMITS, stallMs: 100, sweepMs: 20 });
    serve();
    for (const asked of ['', 'GET / HTTP/1.1\r\nHost:']) {
      const socket = connect(listening.port, '127.0.0.1').on('error', () => undefined);
      let heard = '';
      socket.on('data', (bytes) => (heard += String(bytes)));
      socket.write(asked);
      await once(socket, 'close');
      expect(heard, asked).toBe('');
    }
  });

  it('reads what has come in before it ends what has asked for nothing: it was held up itself', async () => {
    const { listening } = await open();
    const limits = { ...DOOR_LIMITS, askWithinMs: 50, sweepMs: 10 };
    let nowMs = 0;
    const connections = new Connections({ nowMs: () => nowMs, date: () => new Date() }, limits);
    onTestFinished(() => connections.close());
    listening.serve({ door: { connections } as unknown as Door, request: (_request, response) => response.end('answered'), upgrade: () => undefined });
    const socket = connect(listening.port, '127.0.0.1').on('error', () => undefined);
    let heard = '';
    socket.on('data', (bytes) => (heard += String(bytes)));
    await once(socket, 'connect');
    while (connections.counts.strangers === 0) await new Promise((resolve) => setImmediate(resolve));
    // on to the turn's beginning: no look at the connections is left over from this one
    await new Promise((resolve) => setTimeout(resolve, 0));
    socket.write('GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n');
    // only from here on, however busy the machine: before, there is nothing to read
    nowMs = 2 * limits.askWithinMs;
    Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 2 * limits.sweepMs);
    await once(socket, 'close');
    expect(heard).toContain('answered');
  });

  it('is the same on both loopback addresses, and on one where another program has the other', async () => {
    const other = createServer((socket) => socket.destroy());
    onTestFinished(() => void other.close());
    // a machine without IPv6 has nothing to test here
    const hasIpv6 = await new Promise<boolean>((resolve) => other.once('error', () => resolve(false)).listen(0, '::1', () => resolve(true)));
    if (!hasIpv6) return;
    const { listening } = await open(false, (other.address() as AddressInfo).port);
    expect(listening.port).toBe((other.address() as AddressInfo).port);
    const both = await open();
    for (const host of ['127.0.0.1', '::1']) {
      const socket = connect(both.listening.port, host);
      await once(socket, 'close');
    }
  });

  it('that is taken is refused with the reason, alone and open to the network', async () => {
    const { listening } = await open(false);
    for (const lan of [false, true]) await expect(listen(listening.port, lan, DOOR_LIMITS)).rejects.toMatchObject({ name: 'DaemonError', code: 'port-in-use' });
  });

  it('is free again when it is closed, whoever is still connected', async () => {
    const { listening, serve } = await open();
    serve();
    const socket = connect(listening.port, '127.0.0.1').on('error', () => undefined);
    await once(socket, 'connect');
    await Promise.all([once(socket, 'close'), listening.close()]);
    await (await listen(listening.port, false, DOOR_LIMITS)).close();
  });
});
