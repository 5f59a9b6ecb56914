import type { IncomingMessage } from 'node:http';
import type { Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import { WebSocketServer, type WebSocket } from 'ws';
import { MAX_PAGE_MESSAGE_BYTES, WIRE_PROTOCOL, type FromPage, type ToPage } from '../../core/wire/messages.ts';
import { messageOf } from '../errors.ts';
import type { Holder } from './door/keys.ts';
import { maySend } from './door/message-needs.ts';
import { peerOf } from './door/peer.ts';
import { PageLoad, workOf, WORK_OF_A_REFUSAL, type Counted } from './page-load.ts';
import type { PageDesk, Sender, WorkMessage } from './page-types.ts';
import { parsePageMessage } from './wire-check.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.http.pages;

/** A page that has more than this waiting in memory gets nothing new until it has read it: 101 of 105 MB piled up without the bound. */
const MAX_WAITING_BYTES = 1024 * 1024;
/** Pages at once: a workshop has a few; the bound keeps a faulty one that reconnects for ever from filling memory. */
const MAX_PAGES = 32;
const HEARTBEAT_MS = 20_000;
/** A page that has not answered for a minute is gone, or stuck so long that it had better start anew. */
const MAX_MISSED_BEATS = 3;
/** Time for the closing handshake; a page that does not answer it is cut off. */
const CLOSE_WITHIN_MS = 500;

/** Close codes of this program (4000-4999 are free for applications, RFC 6455 section 7.4.2). */
const CLOSE = { badJoin: 4001, badToken: 4003, tooMany: 4008, shutdown: 1001, policy: 1008, unsupported: 1003 } as const;

const VIEW_ONLY = words.thisPageMayLook;

interface Page extends Counted {
  readonly id: number;
  readonly socket: WebSocket;
  /** what the WebSocket runs over */
  readonly wire: Socket;
  readonly local: boolean;
  readonly address: string;
  /** who has joined; null until then */
  holder: Holder | null;
  /** nothing it sends is looked at any more */
  over: boolean;
  /** heartbeats in a row without an answer */
  missedBeats: number;
  skippedFrames: number;
  /** missed a message about the state, so needs the snapshot */
  stale: boolean;
}

/** The WebSocket side of the daemon: pages come and go, each gets the same frames, and none can make memory grow by reading slowly. */
export class Pages {
  readonly #server = new WebSocketServer({
    noServer: true,
    perMessageDeflate: false,
    maxPayload: MAX_PAGE_MESSAGE_BYTES,
    // they are kept here
    clientTracking: false,
  });
  readonly #pages = new Set<Page>();
  readonly #load = new PageLoad(this.#pages);
  readonly #desk: PageDesk;
  readonly #holdNoisyMs: number;
  readonly #heartbeat: NodeJS.Timeout;
  #lastId = 0;

  /** Whoever was shut out for sending too much and comes back at once is refused and kept waiting unread for `holdNoisyMs`: it cannot send meanwhile, and comes back less often. */
  constructor(desk: PageDesk, holdNoisyMs: number) {
    this.#desk = desk;
    this.#holdNoisyMs = holdNoisyMs;
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

  /** one message for one page; nothing when it has gone */
  tell(pageId: number, message: ToPage): void {
    for (const page of this.#pages) {
      if (page.id !== pageId || page.holder === null) continue;
      if (this.#ready(page)) this.#tell(page, [message]);
      else page.stale = true;
    }
  }

  /** Ends the pages of somebody whose key is no longer good. */
  shutOut(holderId: string): void {
    for (const page of this.#pages) {
      if (page.holder?.id !== holderId) continue;
      this.#end(page, CLOSE.badToken, words.theKeyOfThis);
    }
  }

  close(): void {
    clearInterval(this.#heartbeat);
    for (const page of this.#pages) {
      page.socket.close(CLOSE.shutdown, words.theDaemonIsClosing);
      // a page that does not answer the closing handshake must not hold up the end
      setTimeout(() => page.socket.terminate(), CLOSE_WITHIN_MS).unref();
    }
    this.#server.close();
  }

  #welcome(socket: WebSocket, wire: Socket): void {
    socket.on('error', () => socket.terminate());
    const { local, address } = peerOf(wire);
    const page: Page = { id: ++this.#lastId, socket, wire, local, address, holder: null, over: false, missedBeats: 0, work: 0, noise: null, skippedFrames: 0, stale: false };
    // one that does not join in time is ended by the door, like any other stranger
    this.#pages.add(page);
    socket.on('pong', () => (page.missedBeats = 0));
    socket.on('ping', () => {
      if (!page.over) this.#counts(page, workOf(0));
    });
    socket.on('close', () => {
      this.#forget(page);
      this.#pages.delete(page);
    });
    socket.on('message', (data, binary) => {
      if (page.over) return;
      if (binary) return this.#end(page, CLOSE.unsupported, words.pagesSendText);
      // counted before it is looked at
      const bytes = data as Buffer;
      if (this.#counts(page, workOf(bytes.length))) this.#read(page, bytes.toString());
    });
  }

  #read(page: Page, text: string): void {
    const checked = parsePageMessage(text);
    if (!checked.ok && !this.#counts(page, WORK_OF_A_REFUSAL)) return;
    const { id, holder, local } = page;
    if (holder === null) return this.#join(page, checked.ok ? checked.value : null);
    if (!checked.ok) return this.#refuse(page, 'message', checked.text);
    if (checked.value.type === 'join') return this.#refuse(page, 'join', words.thisPageHasJoinedAlready);
    if (!maySend(holder.access, checked.value.type)) return this.#refuse(page, checked.value.type, VIEW_ONLY);
    void this.#pass(page, checked.value, { pageId: id, holder, local });
  }

  #join(page: Page, message: FromPage | null): void {
    if (message?.type !== 'join') return this.#end(page, CLOSE.badJoin, words.theFirstMessageMust);
    if (this.count >= MAX_PAGES) return this.#end(page, CLOSE.tooMany, words.moreThanPagesAreOpen(MAX_PAGES));
    const holder = this.#desk.join(page.wire, message.token);
    if ('status' in holder) return this.#end(page, holder.code === 'too-many' ? CLOSE.tooMany : CLOSE.badToken, holder.text);
    if (message.protocol !== WIRE_PROTOCOL) {
      this.#refuse(page, 'protocol', words.thePageIsOf);
      return this.#end(page, CLOSE.badJoin, words.otherProtocolVersion);
    }
    const noise = `${holder.id} ${page.address}`;
    if (this.#load.isNoisy(noise)) {
      this.#end(page, CLOSE.policy, words.tooManyMessagesCame, this.#holdNoisyMs);
      return page.socket.pause();
    }
    const sender = { pageId: page.id, holder, local: page.local };
    this.#desk.joined(sender, page.address);
    page.holder = holder;
    page.noise = noise;
    this.#tell(page, this.#desk.snapshot(sender));
  }

  /** Whether the page may still be listened to after so much more work; the loudest page of its sender is cut off once they have sent too much. */
  #counts(page: Page, work: number): boolean {
    const loud = this.#load.add(page, work);
    if (loud === null) return true;
    this.#load.shut(loud);
    this.#end(loud, CLOSE.policy, words.tooManyMessages);
    loud.socket.terminate();
    return loud !== page;
  }

  /** What it has sent already and not been read yet is not looked at any more. */
  #end(page: Page, code: number, reason: string, withinMs = CLOSE_WITHIN_MS): void {
    page.over = true;
    this.#forget(page);
    page.socket.close(code, reason);
    setTimeout(() => page.socket.terminate(), withinMs).unref();
  }

  #forget(page: Page): void {
    if (page.holder === null) return;
    page.holder = null;
    this.#desk.left(page.id);
  }

  async #pass(page: Page, message: WorkMessage, sender: Sender): Promise<void> {
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
      if (page.holder !== null) this.#tell(page, this.#desk.snapshot({ pageId: page.id, holder: page.holder, local: page.local }));
    }
    return true;
  }

  #beat(): void {
    this.#load.beat();
    for (const page of this.#pages) {
      if (++page.missedBeats > MAX_MISSED_BEATS) {
        page.socket.terminate();
        continue;
      }
      page.socket.ping();
      if (page.holder !== null) this.#ready(page);
    }
  }
}
