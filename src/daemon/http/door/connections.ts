import type { IncomingMessage, ServerResponse } from 'node:http';
import type { Socket } from 'node:net';
import type { Clock } from '../../clock.ts';
import type { DoorLimits } from './limits.ts';
import { countedAs, peerOf } from './peer.ts';

/** One open connection. A stranger has shown no key yet, a guest has. */
interface Connection {
  readonly socket: Socket;
  readonly address: string;
  guest: boolean;
  /** since when it has been waited for: for its first request, or for the message that joins; null = for nothing */
  askedForSinceMs: number | null;
  /** the request that is being answered */
  request: IncomingMessage | null;
  /** bytes in and out, and since when none has moved */
  movedBytes: number;
  movedAtMs: number;
}

/**
 * Keeps strangers from filling the house. They are counted by address: one more than fits makes the oldest of the same address go, so
 * a flood only pushes out itself, and a page that has shown its key is never pushed out. What neither asks nor moves is ended in time.
 */
export class Connections {
  readonly #clock: Clock;
  readonly #limits: DoorLimits;
  /** oldest first */
  readonly #open = new Map<Socket, Connection>();
  readonly #sweeper: NodeJS.Timeout;

  constructor(clock: Clock, limits: DoorLimits) {
    this.#clock = clock;
    this.#limits = limits;
    // after what has come in meanwhile was read: a daemon that was held up has not been kept waiting
    this.#sweeper = setInterval(() => setImmediate(() => this.#sweep()), limits.sweepMs);
    this.#sweeper.unref();
  }

  get counts(): { readonly strangers: number; readonly guests: number } {
    const strangers = this.#strangers().length;
    return { strangers, guests: this.#open.size - strangers };
  }

  /** A new connection; it has to ask for something soon. */
  add(socket: Socket): void {
    const nowMs = this.#clock.nowMs();
    const connection: Connection = { socket, address: countedAs(peerOf(socket).address), guest: false, askedForSinceMs: nowMs, request: null, movedBytes: 0, movedAtMs: nowMs };
    this.#open.set(socket, connection);
    socket.once('close', () => this.#open.delete(socket));
    this.#makeRoom(connection.address);
  }

  /** A request has come in whole, as far as its headers go. */
  asks(request: IncomingMessage, response: ServerResponse): void {
    const connection = this.#open.get(request.socket);
    if (connection === undefined) return;
    connection.askedForSinceMs = null;
    connection.request = request;
    connection.movedAtMs = this.#clock.nowMs();
    response.once('close', () => {
      if (connection.request === request) connection.request = null;
    });
  }

  /** It has become a WebSocket: the first message has to bring a key soon. */
  upgraded(socket: Socket): void {
    const connection = this.#open.get(socket);
    if (connection !== undefined) connection.askedForSinceMs = this.#clock.nowMs();
  }

  /** It has shown a key. False when there is no room for one more of those; it stays a stranger then. */
  admit(socket: Socket): boolean {
    const connection = this.#open.get(socket);
    if (connection === undefined) return false;
    if (connection.guest) return true;
    const guests = [...this.#open.values()].filter(({ guest }) => guest);
    const same = guests.filter(({ address }) => address === connection.address);
    if (guests.length >= this.#limits.guests || same.length >= this.#limits.guestsPerAddress) return false;
    connection.guest = true;
    connection.askedForSinceMs = null;
    return true;
  }

  /** no longer looks after them; the server ends them */
  close(): void {
    clearInterval(this.#sweeper);
  }

  #strangers(): Connection[] {
    return [...this.#open.values()].filter(({ guest }) => !guest);
  }

  /** The oldest goes: a page that means well has shown its key long before it is that. */
  #makeRoom(address: string): void {
    const { strangers, strangersPerAddress } = this.#limits;
    const all = this.#strangers();
    const same = all.filter((connection) => connection.address === address);
    if (same.length > strangersPerAddress) this.#end(same[0]!);
    else if (all.length > strangers) this.#end(mostCrowded(all)[0]!);
  }

  #sweep(): void {
    const nowMs = this.#clock.nowMs();
    for (const connection of this.#open.values()) {
      const { socket, request, askedForSinceMs } = connection;
      if (askedForSinceMs !== null && nowMs - askedForSinceMs >= this.#limits.askWithinMs) this.#end(connection);
      if (request === null) continue;
      // what waits in memory has not been taken by the other end
      const movedBytes = socket.bytesRead + socket.bytesWritten - socket.writableLength;
      const waits = !request.complete || socket.writableLength > 0;
      if (movedBytes !== connection.movedBytes || !waits) {
        connection.movedBytes = movedBytes;
        connection.movedAtMs = nowMs;
      } else if (nowMs - connection.movedAtMs >= this.#limits.stallMs) this.#end(connection);
    }
  }

  #end({ socket }: Connection): void {
    this.#open.delete(socket);
    socket.destroy();
  }
}

/** Those of the address that has the most, oldest first. */
function mostCrowded(connections: readonly Connection[]): readonly Connection[] {
  const byAddress = new Map<string, Connection[]>();
  for (const connection of connections) byAddress.set(connection.address, [...(byAddress.get(connection.address) ?? []), connection]);
  return [...byAddress.values()].reduce((most, those) => (those.length > most.length ? those : most), []);
}
