import { EventEmitter } from 'node:events';
import type { IncomingMessage } from 'node:http';
import type { Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { WebSocketServer } from 'ws';
import type { Pages } from '../../../src/daemon/http/pages.ts';

/** A page's end of the wire in the hand of the test: it says how much waits, and what came. */
export class HandPage extends EventEmitter {
  readonly OPEN = 1;
  readyState = 1;
  bufferedAmount = 0;
  paused = false;
  terminated = false;
  pings = 0;
  closedWith: number | null = null;
  readonly got: (string | Uint8Array)[] = [];

  send(message: string | Uint8Array): void {
    this.got.push(message);
  }

  ping(): void {
    this.pings++;
  }

  pause(): void {
    this.paused = true;
  }

  close(code: number): void {
    this.closedWith ??= code;
    this.readyState = 2;
  }

  terminate(): void {
    this.terminated = true;
    this.readyState = 3;
    this.emit('close');
  }

  says(message: object | string): void {
    this.emit('message', Buffer.from(typeof message === 'string' ? message : JSON.stringify(message)), false);
  }

  /** messages that came since the last call */
  news(): any[] {
    return this.got.splice(0).map((message) => (typeof message === 'string' ? (JSON.parse(message) as unknown) : message));
  }
}

/** A connection from this address to the pages, that has said nothing; `upgrade` is what takes connections over, `added` hears of it before. */
export function comeTo(upgrade: Pages['upgrade'], address = '127.0.0.1', added: (socket: Socket) => void = () => undefined): HandPage {
  const page = new HandPage();
  const socket = Object.assign(new EventEmitter(), { remoteAddress: address }) as unknown as Socket;
  added(socket);
  const kept = WebSocketServer.prototype.handleUpgrade;
  WebSocketServer.prototype.handleUpgrade = (_request, _socket, _head, done) => done(page as never, {} as IncomingMessage);
  upgrade({ socket } as IncomingMessage, {} as Duplex, Buffer.alloc(0));
  WebSocketServer.prototype.handleUpgrade = kept;
  return page;
}
