import type { Socket } from 'node:net';
import type { WebSocket } from 'ws';
import type { FromPage, ToPage } from '../../core/wire/messages.ts';
import type { Refusal } from './door/gate.ts';
import type { Holder } from './door/keys.ts';
import type { Counted } from './page-load.ts';

/** Whose message it is. */
export interface Sender {
  /** of this run; no page before or after has the same */
  readonly pageId: number;
  readonly holder: Holder;
  /** the page is open on this computer itself */
  readonly local: boolean;
}

export type WorkMessage = Exclude<FromPage, { type: 'join' }>;

export interface PageDesk {
  /** who joins with this key, or why nobody does */
  join(socket: Socket, key: string): Holder | Refusal;
  /** a page has joined, and one that had has gone */
  joined(sender: Sender, address: string): void;
  left(pageId: number): void;
  /** everything a page needs to know at its start, and again after it was too slow to be told of a change */
  snapshot(sender: Sender): ToPage[];
  /** a message as pages on other devices get it: without paths of this computer */
  abroad(message: ToPage): ToPage;
  /** a checked message of a joined page; a refusal goes back to that page alone */
  message(message: WorkMessage, sender: Sender): Promise<string | null> | string | null;
}

export interface Page extends Counted {
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
