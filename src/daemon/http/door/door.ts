import type { Socket } from 'node:net';
import type { Clock } from '../../clock.ts';
import { RequestError } from '../../errors.ts';
import type { Request, Response } from '../http-kit.ts';
import type { Needs } from './access.ts';
import { Connections } from './connections.ts';
import { keyOf, securityHeaders, type Gate, type Refusal, type RequestFacts } from './gate.ts';
import type { Holder, Keys } from './keys.ts';
import type { DoorLimits } from './limits.ts';
import { peerOf, type Peer } from './peer.ts';
import { Tickets } from './tickets.ts';
import { WrongKeys } from './wrong-keys.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.door;

const HOLDER = 'holder';

interface DoorParts {
  readonly gate: Gate;
  readonly keys: Keys;
  readonly clock: Clock;
  readonly limits: DoorLimits;
}

/** Everything between a stranger and the daemon, put together: what may be asked, with which key, how often, from how many connections. */
export class Door {
  readonly gate: Gate;
  readonly tickets: Tickets;
  readonly connections: Connections;
  readonly #keys: Keys;
  readonly #wrongKeys: WrongKeys;

  constructor({ gate, keys, clock, limits }: DoorParts) {
    this.gate = gate;
    this.#keys = keys;
    this.tickets = new Tickets(clock);
    this.connections = new Connections(clock, limits);
    this.#wrongKeys = new WrongKeys(clock, limits);
  }

  /** The checks of every request, whatever it asks for. Throws RequestError. */
  enter(request: Request, response: Response): void {
    const refusal = this.gate.request(factsOf(request));
    response.set(securityHeaders(refusal === null ? String(request.headers.host).toLowerCase() : ''));
    refuse(response, refusal);
  }

  /** The check of a route of the API that needs this. Throws RequestError. */
  guard(needs: Needs, request: Request, response: Response): void {
    const facts = factsOf(request);
    const shown = keyOf(facts) ?? this.tickets.ticketOf(facts.url);
    const holder = shown === null ? null : this.#look(peerOf(request.socket), shown, () => (keyOf(facts) === null ? this.tickets.redeem(facts.method, facts.url!) : this.#keys.holderOf(shown)));
    if (holder !== null && 'status' in holder) return refuse(response, holder);
    refuse(response, this.gate.api(needs, facts, holder?.access ?? null));
    response.locals[HOLDER] = holder;
    this.connections.admit(request.socket);
  }

  /** Who joins with this key, or why nobody does. */
  join(socket: Socket, key: string): Holder | Refusal {
    const holder = this.#look(peerOf(socket), key, () => this.#keys.holderOf(key));
    if (holder === null) return { status: 401, code: 'no-token', text: words.wrongKeyOpenThe };
    if ('access' in holder && !this.connections.admit(socket)) return { status: 503, code: 'too-many', text: words.tooManyPagesAreOpen };
    return holder;
  }

  close(): void {
    this.connections.close();
  }

  /**
   * A key is looked at unless too many wrong ones came from its device just before. On the computer itself the right one always opens:
   * all its programs share one address, and none of them shall lock out the page of another.
   */
  #look({ address, local }: Peer, shown: string, find: () => Holder | null): Holder | Refusal | null {
    const waitMs = this.#wrongKeys.waitMs(address);
    const holder = waitMs > 0 && !local ? null : find();
    if (holder !== null) {
      this.#wrongKeys.right(address);
      return holder;
    }
    if (waitMs > 0) return tooSoon(waitMs);
    this.#wrongKeys.wrong(address, shown);
    return null;
  }
}

/** Whose key the request came with, behind the guard of a route that needs one. */
export function holderOf(response: Response): Holder {
  const holder = response.locals[HOLDER] as Holder | null | undefined;
  if (holder == null) throw new Error(words.thisRouteNeedsNo);
  return holder;
}

function tooSoon(waitMs: number): Refusal {
  const waitS = Math.ceil(waitMs / 1000);
  return { status: 429, code: 'wrong-keys', text: words.tooManyWrongKeys(waitS), retryAfterS: waitS };
}

function factsOf({ method, originalUrl, headers }: Request): RequestFacts {
  return { method, url: originalUrl, headers };
}

function refuse(response: Response, refusal: Refusal | null): void {
  if (refusal === null) return;
  // the body, if any, is not read: the connection closes behind the answer
  response.set('Connection', 'close');
  if (refusal.retryAfterS !== undefined) response.set('Retry-After', String(refusal.retryAfterS));
  throw new RequestError(refusal.status, refusal.code, refusal.text);
}
