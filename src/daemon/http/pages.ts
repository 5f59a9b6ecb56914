import type { IncomingMessage } from 'node:http';
import type { Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { WebSocketServer, type WebSocket } from 'ws';
import { MAX_PAGE_MESSAGE_BYTES, WIRE_PROTOCOL, type FromPage, type ToPage } from '../../core/wire/messages.ts';
import { messageOf } from '../errors.ts';
import type { Refusal } from './door/gate.ts';
import type { Holder } from './door/keys.ts';
import { maySend } from './door/message-needs.ts';
import { peerOf } from './door/peer.ts';
import { parsePageMessage } from './wire-check.ts';

/** A page that has more than this waiting in memory gets nothing new until it has read it: 101 of 105 MB piled up without the bound. */
const MAX_WAITING_BYTES = 1024 * 1024;
/** Pages at once: a workshop has a few; the bound keeps a faulty one that reconnects for ever from filling memory. */
const MAX_PAGES = 32;
const HEARTBEAT_MS = 20_000;
/** A page that has not answered for a minute is gone, or stuck so long that it had better start anew. */
const MAX_MISSED_BEATS = 3;
/** 50 messages a second: a person's hand and a page's own stay far below this. Long ones and ones that are not understood count for more, for they cost more. */
const MOST_WORK_PER_HEARTBEAT = 1000;
const BYTES_PER_WORK = 2000;
const WORK_OF_A_REFUSAL = 2;

/** Time for the closing handshake; a page that does not answer it is cut off. */
const CLOSE_WITHIN_MS = 500;

/** Close codes of this program (4000-4999 are free for applications, RFC 6455 section 7.4.2). */
export const CLOSE = { badJoin: 4001, badToken: 4003, tooMany: 4008, shutdown: 1001, policy: 1008, unsupported: 1003 } as const;

const VIEW_ONLY = 'This page may look and not change anything. Open the address with the key of the workshop.';

/** Whose message it is. */
export interface Sender {
  readonly holder: Holder;
  /** the page is open on this computer itself */
  readonly local: boolean;
}

export type Told = Exclude<FromPage, { type: 'join' }>;

export interface PageDesk {
  /** who joins with this key, or why nobody does */
  join(socket: Socket, key: string): Holder | Refusal;
  /** everything a page needs to know at its start, and again after it was too slow to be told of a change */
  snapshot(sender: Sender): ToPage[];
  /** a message as pages on other devices get it: without paths of this computer */
  abroad(message: ToPage): ToPage;
  /** a checked message of a joined page; a refusal goes back to that page alone */
  message(message: Told, sender: Sender): Promise<string | null> | string | null;
}

interface Page {
  readonly socket: WebSocket;
  /** what the WebSocket runs over */
  readonly wire: Socket;
  readonly local: boolean;
  /** who has joined; null until then */
  holder: Holder | null;
  /** heartbeats in a row without an answer */
  missedBeats: number;
  /** what its messages have cost since the last heartbeat; a short one that is understood is 1 */
  work: number;
  skippedFrames: number;
  /** missed a message about the state, so needs the snapshot */
  stale: boolean;
}

/** The WebSocket side of the daemon: pages come and go, each gets the same frames, and none can make memory grow by reading slowly. */
export class Pages {
  readonly #server = new WebSocketServer({ noServer: true, perMessageDeflate: false, maxPayload: MAX_PAGE_MESSAGE_BYTES, clientTracking: false });
  readonly #pages = new Set<Page>();
  /** who has sent too many messages since the last heartbeat, by key and address: joining again at once would start the count anew */
  readonly #noisy = new Set<string>();
  readonly #desk: PageDesk;
  readonly #heartbeat: NodeJS.Timeout;

  constructor(desk: PageDesk) {
    this.#desk = desk;
    this.#heartbeat = setInterval(() => this.#beat(), HEARTBEAT_MS);
    this.#heartbeat.unref();
  }

  /** joined pages */
  get count(): number {
    let count = 0;
    for (const page of this.#pages) if (page.holder !== null) count++;
    return count;
  }

  /** most bytes that wait in memory for any one page */
  get waitingBytes(): number {
    let most = 0;
    for (const page of this.#pages) most = Math.max(most, page.socket.bufferedAmount);
    return most;
  }

  /** Takes over a connection whose request was let in by the gate. */
  upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    this.#server.handleUpgrade(request, socket, head, (webSocket) => this.#welcome(webSocket, request.socket));
  }

  /** `droppable` messages are those that the next one of their kind replaces; the others make a page that missed them stale. */
  send(message: ToPage, droppable = false): void {
    const here = JSON.stringify(message);
    let abroad: string | null = null;
    for (const page of this.#pages) {
      if (page.holder === null) continue;
      if (this.#ready(page)) page.socket.send(page.local ? here : (abroad ??= JSON.stringify(this.#desk.abroad(message))));
      else if (!droppable) page.stale = true;
    }
  }

  sendFrame(bytes: Uint8Array): void {
    for (const page of this.#pages) {
      if (page.holder === null) continue;
      if (this.#ready(page)) page.socket.send(bytes);
      else page.skippedFrames++;
    }
  }

  /** Ends the pages of somebody whose key is no longer good. */
  shutOut(holderId: string): void {
    for (const page of this.#pages) {
      if (page.holder?.id !== holderId) continue;
      // what it still sends comes from a stranger
      page.holder = null;
      page.socket.close(CLOSE.badToken, 'the key of this device has been taken back');
      setTimeout(() => page.socket.terminate(), CLOSE_WITHIN_MS).unref();
    }
  }

  close(): void {
    clearInterval(this.#heartbeat);
    for (const page of this.#pages) {
      page.socket.close(CLOSE.shutdown, 'the daemon is closing');
      // a page that does not answer the closing handshake must not hold up the end
      setTimeout(() => page.socket.terminate(), CLOSE_WITHIN_MS).unref();
    }
    this.#server.close();
  }

  #welcome(socket: WebSocket, wire: Socket): void {
    socket.on('error', () => socket.terminate());
    const page: Page = { socket, wire, local: peerOf(wire).local, holder: null, missedBeats: 0, work: 0, skippedFrames: 0, stale: false };
    // one that does not join in time is ended by the door, like any other stranger
    this.#pages.add(page);
    socket.on('pong', () => (page.missedBeats = 0));
    socket.on('close', () => this.#pages.delete(page));
    socket.on('message', (data, binary) => {
      if (binary) return socket.close(CLOSE.unsupported, 'pages send text');
      const text = String(data);
      page.work += 1 + text.length / BYTES_PER_WORK;
      if (page.work > MOST_WORK_PER_HEARTBEAT) return this.#silence(page);
      const checked = parsePageMessage(text);
      if (!checked.ok) page.work += WORK_OF_A_REFUSAL;
      const { holder } = page;
      if (holder === null) return this.#join(page, checked.ok ? checked.value : null);
      if (!checked.ok) return this.#refuse(page, 'message', checked.text);
      if (checked.value.type === 'join') return this.#refuse(page, 'join', 'This page has joined already.');
      if (!maySend(holder.access, checked.value.type)) return this.#refuse(page, checked.value.type, VIEW_ONLY);
      void this.#pass(page, checked.value, { holder, local: page.local });
    });
  }

  #join(page: Page, message: FromPage | null): void {
    if (message?.type !== 'join') return page.socket.close(CLOSE.badJoin, 'the first message must be join');
    if (this.count >= MAX_PAGES) return page.socket.close(CLOSE.tooMany, `more than ${MAX_PAGES} pages are open`);
    const holder = this.#desk.join(page.wire, message.token);
    if ('status' in holder) return page.socket.close(holder.code === 'too-many' ? CLOSE.tooMany : CLOSE.badToken, holder.text);
    if (message.protocol !== WIRE_PROTOCOL) {
      this.#refuse(page, 'protocol', 'The page is of another version than the daemon. Reload it.');
      return page.socket.close(CLOSE.badJoin, 'other protocol version');
    }
    if (this.#noisy.has(noiseOf(page, holder))) return page.socket.close(CLOSE.policy, 'too many messages came from this device: wait 20 s');
    page.holder = holder;
    this.#tell(page, this.#desk.snapshot({ holder, local: page.local }));
  }

  /** What it has sent already and not been read yet is not looked at any more. */
  #silence(page: Page): void {
    if (page.holder !== null) this.#noisy.add(noiseOf(page, page.holder));
    page.holder = null;
    page.socket.close(CLOSE.policy, 'too many messages');
    page.socket.terminate();
  }

  async #pass(page: Page, message: Told, sender: Sender): Promise<void> {
    try {
      const refusal = await this.#desk.message(message, sender);
      if (refusal !== null) this.#refuse(page, message.type, refusal);
    } catch (error) {
      this.#refuse(page, message.type, messageOf(error));
    }
  }

  #refuse(page: Page, what: string, text: string): void {
    if (page.socket.bufferedAmount <= MAX_WAITING_BYTES) this.#tell(page, [{ type: 'refused', what, text }]);
  }

  #tell(page: Page, messages: readonly ToPage[]): void {
    for (const message of messages) page.socket.send(JSON.stringify(page.local ? message : this.#desk.abroad(message)));
  }

  /** Whether a page may be sent to; when it has caught up, tells it first what it missed. */
  #ready(page: Page): boolean {
    if (page.socket.readyState !== page.socket.OPEN || page.socket.bufferedAmount > MAX_WAITING_BYTES) return false;
    if (page.skippedFrames > 0) {
      this.#tell(page, [{ type: 'skipped', frames: page.skippedFrames }]);
      page.skippedFrames = 0;
    }
    if (page.stale) {
      page.stale = false;
      if (page.holder !== null) this.#tell(page, this.#desk.snapshot({ holder: page.holder, local: page.local }));
    }
    return true;
  }

  #beat(): void {
    this.#noisy.clear();
    for (const page of this.#pages) {
      page.work = 0;
      if (++page.missedBeats > MAX_MISSED_BEATS) {
        page.socket.terminate();
        continue;
      }
      page.socket.ping();
      if (page.holder !== null) this.#ready(page);
    }
  }
}

function noiseOf({ wire }: Page, { id }: Holder): string {
  return `${id} ${peerOf(wire).address}`;
}
