import { randomBytes } from 'node:crypto';
import type { Clock } from '../../clock.ts';
import type { Holder } from './keys.ts';

const VALID_MS = 60_000;
const MAX_OPEN = 100;
const TICKET = /^(.*)[?&]ticket=([\w-]+)$/;

/**
 * A browser saves a file of any length to disk by itself, but then sends no Authorization header. So a page asks for a ticket (with
 * its key) and opens the address it gets: good for one GET of exactly that path, within a minute, once. A ticket lets its holder look,
 * whatever the key it was asked with allows.
 */
export class Tickets {
  readonly #clock: Clock;
  readonly #open = new Map<string, { readonly path: string; readonly untilMs: number; readonly holderId: string }>();

  constructor(clock: Clock) {
    this.#clock = clock;
  }

  /** The path with its ticket, for the address bar or a link; `holderId` is whose key it was asked with. */
  issue(path: string, holderId: string): string {
    const nowMs = this.#clock.nowMs();
    for (const [ticket, { untilMs }] of this.#open) if (untilMs <= nowMs) this.#open.delete(ticket);
    // the oldest goes first: a page that asks without end only hurts itself
    if (this.#open.size >= MAX_OPEN) this.#open.delete(this.#open.keys().next().value!);
    const ticket = randomBytes(24).toString('base64url');
    this.#open.set(ticket, { path, untilMs: nowMs + VALID_MS, holderId });
    return `${path}${path.includes('?') ? '&' : '?'}ticket=${ticket}`;
  }

  /** Whose key is no longer good has no tickets either. */
  drop(holderId: string): void {
    for (const [ticket, entry] of this.#open) if (entry.holderId === holderId) this.#open.delete(ticket);
  }

  /** The ticket an address carries, good or not; null when it carries none. */
  ticketOf(url: string | undefined): string | null {
    return TICKET.exec(url ?? '')?.[2] ?? null;
  }

  /** Who the ticket in the address lets in, if it is a good one; it is used up by this. */
  redeem(method: string | undefined, url: string): Holder | null {
    const match = TICKET.exec(url);
    if (match === null || method !== 'GET') return null;
    const entry = this.#open.get(match[2]!);
    if (entry === undefined || entry.path !== match[1] || entry.untilMs <= this.#clock.nowMs()) return null;
    this.#open.delete(match[2]!);
    return { id: entry.holderId, access: 'view', device: null };
  }
}
