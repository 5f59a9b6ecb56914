import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { LIVE_PATH } from '../../core/wire/messages.ts';
import type { Door } from './door/door.ts';
import type { Refusal } from './door/gate.ts';
import type { DoorLimits } from './door/limits.ts';
import { parseTarget } from './door/target.ts';
import { noIpv6, portError } from './port-errors.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.server;

export interface Listening {
  readonly port: number;
  /** from now on requests are answered; before, connections are dropped */
  serve(handlers: Handlers): void;
  close(): Promise<void>;
}

interface Handlers {
  readonly door: Door;
  /** asks the door itself, for each request and each route */
  readonly request: (request: IncomingMessage, response: ServerResponse) => void;
  readonly upgrade: (request: IncomingMessage, socket: Duplex, head: Buffer) => void;
}

/**
 * Opens the port. Without `lan` on the two loopback addresses alone (the IPv6 one where there is one, since `localhost` may mean
 * either); with it on all addresses. Throws DaemonError when the port cannot be had.
 */
export async function listen(port: number, lan: boolean, limits: DoorLimits): Promise<Listening> {
  const servers: Server[] = [];
  if (lan) {
    servers.push(await open(port, '::', limits).catch((error: unknown) => (noIpv6(error) ? open(port, '0.0.0.0', limits) : Promise.reject(portError(error, port)))));
  } else {
    const first = await open(port, '127.0.0.1', limits).catch((error: unknown) => Promise.reject(portError(error, port)));
    servers.push(first);
    // a machine without IPv6, or with another program on that port there, is served on 127.0.0.1 alone
    const second = await open(portOf(first), '::1', limits).catch(() => null);
    if (second !== null) servers.push(second);
  }
  const drop = (socket: Socket): unknown => socket.destroy();
  for (const server of servers) {
    server.on('connection', drop);
    server.on('clientError', (error: NodeJS.ErrnoException, socket) => {
      // a browser opens connections ahead: words on one that has asked for nothing would be taken for the answer to a request that is on its way, silence makes it ask again
      if (socket.writable && error.code !== 'ERR_HTTP_REQUEST_TIMEOUT') socket.end('HTTP/1.1 400 Bad Request\r\nConnection: close\r\n\r\n');
      else socket.destroy();
    });
    // a port that works once keeps working; what still comes (out of file handles) concerns one connection
    server.on('error', () => {});
  }
  return {
    port: portOf(servers[0]!),
    serve: (handlers) => {
      for (const server of servers) {
        server.off('connection', drop);
        answer(server, handlers);
      }
    },
    close: async () => {
      await Promise.all(
        servers.map(
          (server) =>
            new Promise<void>((resolve) => {
              server.close(() => resolve());
              server.closeAllConnections();
            }),
        ),
      );
    },
  };
}

function answer(server: Server, handlers: Handlers): void {
  server.on('connection', (socket: Socket) => handlers.door.connections.add(socket));
  server.on('request', (request, response) => {
    handlers.door.connections.asks(request, response);
    handlers.request(request, response);
  });
  server.on('upgrade', (request, socket, head) => {
    // it ends by itself; unheard it would end the daemon
    socket.on('error', () => {});
    upgrade(handlers, request, socket, head);
  });
}

function upgrade(handlers: Handlers, request: IncomingMessage, socket: Duplex, head: Buffer): void {
  const target = parseTarget(request.url);
  const refusal = target?.path === LIVE_PATH && target.query === '' ? handlers.door.gate.upgrade(request) : { status: 404, code: 'not-found', text: words.thereIsNoWebsocket(LIVE_PATH) };
  if (refusal === null) {
    handlers.door.connections.upgraded(request.socket);
    handlers.upgrade(request, socket, head);
  } else refuseUpgrade(socket, refusal);
}

function refuseUpgrade(socket: Duplex, { status, code, text }: Refusal): void {
  const body = JSON.stringify({ error: { code, text } });
  socket.end(
    `HTTP/1.1 ${status} Refused\r\nContent-Type: application/json\r\nContent-Length: ${Buffer.byteLength(body)}\r\n` +
      `X-Content-Type-Options: nosniff\r\nConnection: close\r\n\r\n${body}`,
  );
}

function open(port: number, host: string, { askWithinMs, stallMs, sweepMs }: DoorLimits): Promise<Server> {
  // a further request on an open connection is Node's to wait for; the first one is the door's
  const server = createServer({ maxHeaderSize: 16 * 1024, headersTimeout: stallMs, keepAliveTimeout: askWithinMs, connectionsCheckingInterval: sweepMs, requestTimeout: 0 });
  return new Promise((resolve, reject) => {
    server.once('error', reject);
    server.listen({ port, host, exclusive: true }, () => {
      server.off('error', reject);
      resolve(server);
    });
  });
}

function portOf(server: Server): number {
  return (server.address() as AddressInfo).port;
}
