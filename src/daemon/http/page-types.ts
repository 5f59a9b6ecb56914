import type { Socket } from 'node:net';
import type { FromPage, ToPage } from '../../core/wire/messages.ts';
import type { Refusal } from './door/gate.ts';
import type { Holder } from './door/keys.ts';

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
  /** everything a page needs to know at its start, and again after it was too slow to hear of a change */
  snapshot(sender: Sender): ToPage[];
  /** a message as pages on other devices get it: without paths of this computer */
  abroad(message: ToPage): ToPage;
  /** a checked message of a joined page; a refusal goes back to that page alone */
  message(message: WorkMessage, sender: Sender): Promise<string | null> | string | null;
}
