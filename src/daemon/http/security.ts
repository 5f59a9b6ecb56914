import { createHash, randomBytes, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';

/**
 * Who may talk to the daemon. Any web page a person visits can send requests to 127.0.0.1, so the loopback address alone protects
 * nothing. Four checks do, each against something another one lets through:
 * - exact Host: a foreign name that was made to point at this machine (DNS rebinding);
 * - exact Origin: pages of other origins, among them other ports of this machine, which browsers count as the same site;
 * - Sec-Fetch-Site: requests that carry no Origin, such as a `<script src>` of a foreign page;
 * - the token: other programs and other people's accounts on this machine, and everybody on the network with `lan`.
 */
export interface Gate {
  readonly token: string;
  /** what is wrong with an HTTP request; null = let it in. Requests below /api need the token too, unless `ticket` stands for it */
  request(request: RequestFacts, ticket?: boolean): Refusal | null;
  /** what is wrong with a WebSocket upgrade (the token follows in its first message) */
  upgrade(request: RequestFacts): Refusal | null;
  tokenFits(token: string): boolean;
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
}

/** 192 random bits in 32 characters that need no escaping in a URL fragment. */
export function makeToken(): string {
  return randomBytes(24).toString('base64url');
}

/** `hosts` are the exact values the Host header may have, port included; lower case. */
export function createGate(hosts: readonly string[], token: string): Gate {
  const allowedHosts = new Set(hosts);
  const tokenDigest = digest(token);

  const tokenFits = (candidate: string): boolean => timingSafeEqual(digest(candidate), tokenDigest);

  function hostRefusal(headers: IncomingHttpHeaders): Refusal | null {
    if (headers.host !== undefined && allowedHosts.has(headers.host.toLowerCase())) return null;
    return { status: 403, code: 'wrong-host', text: 'This address is not one the daemon answers to. Open the address it printed at its start.' };
  }

  function originRefusal(headers: IncomingHttpHeaders, needed: boolean): Refusal | null {
    if (headers.origin === undefined && !needed) return null;
    if (headers.origin === `http://${String(headers.host).toLowerCase()}`) return null;
    return { status: 403, code: 'wrong-origin', text: 'This request comes from another site and is refused.' };
  }

  return {
    token,
    tokenFits,
    request(facts, ticket = false) {
      const { method, url = '/', headers } = facts;
      const reading = method === 'GET' || method === 'HEAD';
      if (!reading && method !== 'POST' && method !== 'PUT') return { status: 405, code: 'method', text: `${method} is not a method this daemon knows.` };
      const api = url === '/api' || url.startsWith('/api/') || url.startsWith('/api?');
      const refusal = hostRefusal(headers) ?? originRefusal(headers, !reading) ?? siteRefusal(headers, reading && !api);
      if (refusal !== null) return refusal;
      if (!api || ticket) return null;
      const match = /^Bearer ([\w-]+)$/.exec(headers.authorization ?? '');
      if (match !== null && tokenFits(match[1]!)) return null;
      return { status: 401, code: 'no-token', text: 'The token is missing or old. Open the address the daemon printed at its start.' };
    },
    upgrade({ method, headers }) {
      if (method !== 'GET') return { status: 405, code: 'method', text: 'A WebSocket starts with GET.' };
      return hostRefusal(headers) ?? originRefusal(headers, true) ?? siteRefusal(headers, false);
    },
  };
}

/** A link on another page may open our page at the top of a tab: it carries nothing and reads nothing. Every other use of ours by others is refused. */
function siteRefusal(headers: IncomingHttpHeaders, mayNavigate: boolean): Refusal | null {
  const site = headers['sec-fetch-site'];
  if (site === undefined || site === 'same-origin' || site === 'none') return null;
  if (mayNavigate && headers['sec-fetch-mode'] === 'navigate' && headers['sec-fetch-dest'] === 'document') return null;
  return { status: 403, code: 'cross-site', text: 'This request was started by another site and is refused.' };
}

/** Digests of equal length, so that the comparison tells nothing about the length of the token either. */
function digest(text: string): Buffer {
  return createHash('sha256').update(text).digest();
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
