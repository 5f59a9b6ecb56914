import type { IncomingHttpHeaders } from 'node:http';
import { suffices, type Access, type Needs } from './access.ts';
import { parseTarget } from './target.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.http.gate;

/**
 * Who may talk to the daemon. Any web page a person visits can send requests to 127.0.0.1, so the loopback address alone protects
 * nothing. Five checks do, each against something another one lets through:
 * - one spelling of every address: a target that could be read in two ways (http/target.ts);
 * - exact Host: a foreign name that was made to point at this machine (DNS rebinding);
 * - exact Origin: pages of other origins, among them other ports of this machine, which browsers count as the same site;
 * - Sec-Fetch-Site: requests that carry no Origin, such as a `<script src>` of a foreign page;
 * - the key: other programs and other people's accounts on this machine, and everybody on the network with `lan`.
 */
export interface Gate {
  /** what is wrong with an HTTP request, whatever it asks for; null = let it in */
  request(request: RequestFacts): Refusal | null;
  /** what is wrong with a request of the API that needs this, from somebody who may do so much (null = has shown no key) */
  api(needs: Needs, request: RequestFacts, access: Access | null): Refusal | null;
  /** what is wrong with a WebSocket upgrade (the key follows in its first message) */
  upgrade(request: RequestFacts): Refusal | null;
}

export interface RequestFacts {
  readonly method?: string | undefined;
  readonly url?: string | undefined;
  readonly headers: IncomingHttpHeaders;
}

export interface Refusal {
  readonly status: number;
  readonly code: string;
  readonly text: string;
  /** when to try again */
  readonly retryAfterS?: number;
}

/** `hosts` are the exact values the Host header may have, port included; lower case. */
export function createGate(hosts: readonly string[]): Gate {
  const allowedHosts = new Set(hosts);

  function hostRefusal(headers: IncomingHttpHeaders): Refusal | null {
    if (headers.host !== undefined && allowedHosts.has(headers.host.toLowerCase())) return null;
    return { status: 403, code: 'wrong-host', text: words.thisAddressIsNot };
  }

  function originRefusal(headers: IncomingHttpHeaders, needed: boolean): Refusal | null {
    if (headers.origin === undefined && !needed) return null;
    if (headers.origin === `http://${String(headers.host).toLowerCase()}`) return null;
    return { status: 403, code: 'wrong-origin', text: words.thisRequestComesFrom };
  }

  return {
    request({ method, url, headers }) {
      const reading = method === 'GET' || method === 'HEAD';
      if (!reading && method !== 'POST' && method !== 'PUT') return { status: 405, code: 'method', text: words.isNotAMethod(String(method)) };
      return hostRefusal(headers) ?? targetRefusal(url) ?? originRefusal(headers, !reading) ?? siteRefusal(headers, reading);
    },
    api: (needs, { headers }, access) => siteRefusal(headers, false) ?? accessRefusal(access, needs),
    upgrade({ method, url, headers }) {
      if (method !== 'GET') return { status: 405, code: 'method', text: words.aWebsocketStartsWithGet };
      return hostRefusal(headers) ?? targetRefusal(url) ?? originRefusal(headers, true) ?? siteRefusal(headers, false);
    },
  };
}

/** The key a request shows, null when it shows none. */
export function keyOf({ headers }: RequestFacts): string | null {
  return /^Bearer ([\w-]+)$/.exec(headers.authorization ?? '')?.[1] ?? null;
}

function targetRefusal(url: string | undefined): Refusal | null {
  return parseTarget(url) === null ? { status: 400, code: 'bad-address', text: words.thisAddressIsNotWritten } : null;
}

function accessRefusal(access: Access | null, needs: Needs): Refusal | null {
  if (suffices(access, needs)) return null;
  if (access === null) return { status: 401, code: 'no-token', text: words.theKeyIsMissing };
  return { status: 403, code: 'view-only', text: words.thisKeyShowsEverything };
}

/** A link on another page may open our page at the top of a tab: it carries nothing and reads nothing. Every other use of ours by others is refused. */
function siteRefusal(headers: IncomingHttpHeaders, mayNavigate: boolean): Refusal | null {
  const site = headers['sec-fetch-site'];
  if (site === undefined || site === 'same-origin' || site === 'none') return null;
  if (mayNavigate && headers['sec-fetch-mode'] === 'navigate' && headers['sec-fetch-dest'] === 'document') return null;
  return { status: 403, code: 'cross-site', text: words.thisRequestWasStarted };
}

/** Headers of every answer. `host` is already checked; naming its WebSocket address serves browsers whose 'self' leaves ws: out. */
export function securityHeaders(host: string): Readonly<Record<string, string>> {
  return {
    'Content-Security-Policy':
      `default-src 'self'; connect-src 'self' ws://${host}; img-src 'self' data: blob:; object-src 'none'; ` +
      `base-uri 'none'; form-action 'none'; frame-ancestors 'none'`,
    'Cross-Origin-Resource-Policy': 'same-origin',
    'Cross-Origin-Opener-Policy': 'same-origin',
    'X-Content-Type-Options': 'nosniff',
    'X-Frame-Options': 'DENY',
    'Referrer-Policy': 'no-referrer',
    'Permissions-Policy': 'camera=(), microphone=(), geolocation=(), usb=(), serial=()',
  };
}
