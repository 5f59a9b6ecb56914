import { describe, expect, it } from 'vitest';
import { lanHosts, loopbackHosts, qrForTerminal } from '../../../src/daemon/http/addresses.ts';
import { Keys, makeKey } from '../../../src/daemon/http/door/keys.ts';
import { parseTarget } from '../../../src/daemon/http/door/target.ts';
import { createGate, keyOf, securityHeaders, type RequestFacts } from '../../../src/daemon/http/door/gate.ts';
import { Tickets } from '../../../src/daemon/http/door/tickets.ts';

const TOKEN = makeKey();
const VIEW = makeKey();
const keys = new Keys({ operate: TOKEN, view: VIEW }, { holderOf: () => null });
const HOST = '127.0.0.1:4680';
const gate = createGate(loopbackHosts(4680));
/** what the API answers: the door, then the guard of a route that reads or changes */
const refusal = (facts: RequestFacts) =>
  gate.request(facts) ?? (facts.url!.startsWith('/api/') ? gate.api(facts.method === 'GET' ? 'view' : 'operate', facts, keys.holderOf(keyOf(facts) ?? '')?.access ?? null) : null);
const bearer = { authorization: `Bearer ${TOKEN}` };

type Headers = Record<string, string>;

describe('the token', () => {
  it('has at least 128 random bits and needs no escaping in a URL', () => {
    expect(TOKEN).toMatch(/^[\w-]{32}$/);
    expect(Buffer.from(TOKEN, 'base64url').length * 8).toBeGreaterThanOrEqual(128);
    expect(new Set(Array.from({ length: 200 }, makeKey)).size).toBe(200);
  });

  it('fits only itself', () => {
    expect([keys.holderOf(TOKEN)?.access, keys.holderOf(VIEW)?.access]).toEqual(['operate', 'view']);
    for (const other of ['', TOKEN.slice(1), `${TOKEN}x`, TOKEN.toUpperCase(), makeKey()]) expect(keys.holderOf(other)).toBeNull();
  });
});

describe('requests', () => {
  // each row: what comes, and the code of the refusal (null = let in)
  const rows: [name: string, method: string, url: string, headers: Headers, code: string | null][] = [
    ['the page itself, typed into the address bar', 'GET', '/', { host: HOST, 'sec-fetch-site': 'none' }, null],
    ['the page by the name localhost', 'GET', '/', { host: 'localhost:4680' }, null],
    ['the page by the IPv6 address', 'GET', '/', { host: '[::1]:4680' }, null],
    ['the head of the page alone', 'HEAD', '/', { host: HOST, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' }, null],
    ['the name in capitals', 'GET', '/', { host: 'LOCALHOST:4680' }, null],
    ['a link on another page that opens ours', 'GET', '/', { host: HOST, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' }, null],
    ['another page that frames ours', 'GET', '/', { host: HOST, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'iframe' }, 'cross-site'],
    ['a page of another that is fetched as a document without going there', 'GET', '/', { host: HOST, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'no-cors', 'sec-fetch-dest': 'document' }, 'cross-site'],
    ['a script element of another page', 'GET', '/assets/a.js', { host: HOST, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'no-cors', 'sec-fetch-dest': 'script' }, 'cross-site'],
    ['a name that was made to point here (DNS rebinding)', 'GET', '/', { host: 'evil.example:4680' }, 'wrong-host'],
    ['a name that only begins like ours', 'GET', '/', { host: '127.0.0.1:4680.evil.example' }, 'wrong-host'],
    ['another port of this machine in Host', 'GET', '/', { host: '127.0.0.1:4681' }, 'wrong-host'],
    ['no port in Host', 'GET', '/', { host: '127.0.0.1' }, 'wrong-host'],
    ['no Host', 'GET', '/', {}, 'wrong-host'],
    ['another spelling of the loopback address', 'GET', '/', { host: '127.1:4680' }, 'wrong-host'],
    ['an API request with the token', 'GET', '/api/jobs', { host: HOST, ...bearer, 'sec-fetch-site': 'same-origin' }, null],
    ['an API request of a script without a browser', 'GET', '/api/jobs', { host: HOST, ...bearer }, null],
    ['an API request without a token', 'GET', '/api/jobs', { host: HOST }, 'no-token'],
    ['an API request with an old token', 'GET', '/api/jobs', { host: HOST, authorization: `Bearer ${makeKey()}` }, 'no-token'],
    ['the token in the wrong scheme', 'GET', '/api/jobs', { host: HOST, authorization: `Basic ${TOKEN}` }, 'no-token'],
    ['the token in the query', 'GET', `/api/jobs?token=${TOKEN}`, { host: HOST }, 'no-token'],
    ['an API request with token and rebound Host', 'GET', '/api/jobs', { host: 'evil.example:4680', ...bearer }, 'wrong-host'],
    ['an API request with token from another site', 'GET', '/api/jobs', { host: HOST, ...bearer, 'sec-fetch-site': 'cross-site' }, 'cross-site'],
    ['an API navigation from another site', 'GET', '/api/jobs', { host: HOST, ...bearer, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' }, 'cross-site'],
    ['a page on another port, which browsers call the same site', 'GET', '/api/jobs', { host: HOST, ...bearer, 'sec-fetch-site': 'same-site' }, 'cross-site'],
    ['a foreign Origin on a reading request', 'GET', '/api/jobs', { host: HOST, ...bearer, origin: 'http://evil.example' }, 'wrong-origin'],
    ['a change from our page', 'POST', '/api/jobs', { host: HOST, ...bearer, origin: `http://${HOST}` }, null],
    ['a change without Origin', 'POST', '/api/jobs', { host: HOST, ...bearer }, 'wrong-origin'],
    ['a change from an opaque origin', 'POST', '/api/jobs', { host: HOST, ...bearer, origin: 'null' }, 'wrong-origin'],
    ['a change from another port of this machine', 'PUT', '/api/jobs/a', { host: HOST, ...bearer, origin: 'http://127.0.0.1:4681' }, 'wrong-origin'],
    ['a change from another name of this machine', 'POST', '/api/jobs', { host: HOST, ...bearer, origin: 'http://localhost:4680' }, 'wrong-origin'],
    ['a change from https', 'POST', '/api/jobs', { host: HOST, ...bearer, origin: `https://${HOST}` }, 'wrong-origin'],
    ['a change by any IP address as origin', 'POST', '/api/jobs', { host: HOST, ...bearer, origin: 'http://192.0.2.7:4680' }, 'wrong-origin'],
    ['a change without a token', 'POST', '/api/jobs', { host: HOST, origin: `http://${HOST}` }, 'no-token'],
    ['a look with the key that may look', 'GET', '/api/jobs', { host: HOST, authorization: `Bearer ${VIEW}` }, null],
    ['a change with the key that may look', 'POST', '/api/jobs', { host: HOST, authorization: `Bearer ${VIEW}`, origin: `http://${HOST}` }, 'view-only'],
    ['a CORS preflight', 'OPTIONS', '/api/jobs', { host: HOST, origin: 'http://evil.example' }, 'method'],
    ['DELETE', 'DELETE', '/api/jobs', { host: HOST, ...bearer, origin: `http://${HOST}` }, 'method'],
  ];

  it.each(rows)('%s: %s %s', (_name, method, url, headers, code) => {
    expect(refusal({ method, url, headers })?.code ?? null).toBe(code);
  });

  it('on port 80 the Host has no port', () => {
    expect(createGate(loopbackHosts(80)).request({ method: 'GET', url: '/', headers: { host: 'localhost' } })).toBeNull();
  });
});

describe('the target of a request', () => {
  it('has one spelling: everything else is refused, so nothing can be read in two ways', () => {
    for (const good of ['/', '/api/jobs', '/api/traces/unfiled/a-b_c/export.csv?x=%20&y=1', '/assets/page-1234.js', '/live', '/api/report?traces=a/b,c/d']) {
      const { path, query } = parseTarget(good)!;
      expect(path + (query === '' ? '' : `?${query}`)).toBe(good);
    }
    const bad = [
      // RFC 9112 section 3.2: absolute, authority and asterisk form
      'http://127.0.0.1:4680/api/jobs', 'HTTP://127.0.0.1/api/jobs', '127.0.0.1:4680', '*', '', 'api/jobs',
      '//api/jobs', '/api//jobs', '/./api/jobs', '/api/./jobs', '/api/../api/jobs', '/api/jobs/', '/api/jobs.', '/api/jobs/.', '/.git/config',
      '/%61pi/jobs', '/api%2fjobs', '/api/%6Aobs', '/api/jobs;x', '/api;x/jobs', '/api\\jobs', '\\api\\jobs', '/api/jobs#x', '/api/jobs?x#y', '/api/jobs?\\',
      '/api/jobs ', '/api/jobs\t', '/api/j\u00f6bs', `/api/${'x'.repeat(5000)}`,
    ];
    for (const text of bad) expect(parseTarget(text), text).toBeNull();
  });
});

describe('WebSocket upgrades', () => {
  const rows: [name: string, headers: Headers, code: string | null][] = [
    ['our page', { host: HOST, origin: `http://${HOST}`, 'sec-fetch-site': 'same-origin' }, null],
    ['our page by name', { host: 'localhost:4680', origin: 'http://localhost:4680' }, null],
    ['no Origin', { host: HOST }, 'wrong-origin'],
    ['a foreign Origin', { host: HOST, origin: 'http://evil.example' }, 'wrong-origin'],
    ['another port', { host: HOST, origin: 'http://127.0.0.1:5173' }, 'wrong-origin'],
    ['an origin that only begins like ours', { host: HOST, origin: `http://${HOST}.evil.example` }, 'wrong-origin'],
    ['a rebound name, which has a fitting Origin', { host: 'evil.example:4680', origin: 'http://evil.example:4680' }, 'wrong-host'],
    ['a link on another page, which may open a page and no socket', { host: HOST, origin: `http://${HOST}`, 'sec-fetch-site': 'cross-site', 'sec-fetch-mode': 'navigate', 'sec-fetch-dest': 'document' }, 'cross-site'],
    ['same site, other origin', { host: HOST, origin: `http://${HOST}`, 'sec-fetch-site': 'same-site' }, 'cross-site'],
  ];

  it.each(rows)('%s', (_name, headers, code) => {
    expect(gate.upgrade({ method: 'GET', url: '/live', headers })?.code ?? null).toBe(code);
  });
});

describe('answers', () => {
  it('carry a policy that lets nothing in from elsewhere and no CORS header', () => {
    const headers = securityHeaders(HOST);
    expect(headers['Content-Security-Policy']).toMatch(/^default-src 'self'; connect-src 'self' ws:\/\/127\.0\.0\.1:4680;/);
    expect(headers['Content-Security-Policy']).toContain(`frame-ancestors 'none'`);
    expect(headers['Content-Security-Policy']).not.toMatch(/unsafe|\*/);
    expect(headers).toMatchObject({ 'Cross-Origin-Resource-Policy': 'same-origin', 'X-Content-Type-Options': 'nosniff', 'Referrer-Policy': 'no-referrer' });
    expect(Object.keys(headers).filter((name) => name.toLowerCase().startsWith('access-control'))).toEqual([]);
  });
});

describe('addresses', () => {
  it('of the network are named one by one, never as a pattern', () => {
    const hosts = lanHosts(4680);
    expect(hosts).toEqual(expect.arrayContaining(loopbackHosts(4680)));
    for (const host of hosts) expect(host).toMatch(/^(\[[0-9a-f:]+\]|[a-z0-9.-]+):4680$/);
    expect(createGate(hosts).request({ method: 'GET', url: '/', headers: { host: 'evil.example:4680' } })?.code).toBe('wrong-host');
  });

  it('fit into a picture for the camera, a square of block characters', () => {
    const lines = qrForTerminal(`http://192.168.178.123:4680/#${TOKEN}`).split('\n');
    expect(lines.length).toBeGreaterThan(10);
    expect(new Set(lines.map((line) => line.length)).size).toBe(1);
  });
});

describe('a ticket', () => {
  let nowMs = 0;
  const clock = { nowMs: () => nowMs, date: () => new Date(0) };

  it('is good for one GET of exactly its path', () => {
    const tickets = new Tickets(clock);
    const path = '/api/traces/unfiled/a/export.csv';
    const url = tickets.issue(path, 'operate');
    expect(tickets.redeem('POST', url)).toBeNull();
    expect(tickets.redeem('GET', url.replace('export.csv', 'export.zip'))).toBeNull();
    expect(tickets.redeem('GET', `${url}x`)).toBeNull();
    expect(tickets.redeem('GET', path)).toBeNull();
    expect(tickets.redeem('GET', url)).toEqual({ id: 'operate', access: 'view', device: null });
    expect(tickets.redeem('GET', url)).toBeNull();
  });

  it('ends after a minute, also behind a query', () => {
    const tickets = new Tickets(clock);
    const url = tickets.issue('/api/report?traces=a/b', 'operate');
    const late = tickets.issue('/api/report?traces=a/b', 'operate');
    nowMs = 59_999;
    expect(tickets.redeem('GET', url)).toEqual({ id: 'operate', access: 'view', device: null });
    nowMs = 60_000;
    expect(tickets.redeem('GET', late)).toBeNull();
  });

  it('ends with the key it was asked with', () => {
    const tickets = new Tickets(clock);
    const [one, other] = [tickets.issue('/api/x', 'tablet'), tickets.issue('/api/x', 'operate')];
    tickets.drop('tablet');
    expect(tickets.redeem('GET', one)).toBeNull();
    expect(tickets.redeem('GET', other)).toMatchObject({ id: 'operate' });
  });

  it('does not pile up without bound', () => {
    const tickets = new Tickets(clock);
    const first = tickets.issue('/api/first', 'operate');
    for (let i = 0; i < 1000; i++) tickets.issue('/api/next', 'operate');
    expect(tickets.redeem('GET', first)).toBeNull();
  });
});
