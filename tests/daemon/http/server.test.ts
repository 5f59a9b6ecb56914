import { connect, createServer } from 'node:net';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { lanAddresses } from '../../../src/daemon/http/addresses.ts';
import { DaemonError } from '../../../src/daemon/errors.ts';
import { rawRequest } from './raw-request.ts';
import { blockAt, joinPage, openSocket, pagesFolder, startStand, type Stand } from '../stand.ts';

function upgradeText(stand: Stand, key: string, changes: Record<string, string | null> = {}, path = '/live'): string {
  const headers: Record<string, string | null> = {
    Host: `127.0.0.1:${stand.daemon.port}`,
    Origin: `http://127.0.0.1:${stand.daemon.port}`,
    Upgrade: 'websocket',
    Connection: 'Upgrade',
    'Sec-WebSocket-Key': key,
    'Sec-WebSocket-Version': '13',
    ...changes,
  };
  const lines = Object.entries(headers).filter(([, value]) => value !== null).map(([name, value]) => `${name}: ${value}`);
  return `GET ${path} HTTP/1.1\r\n${lines.join('\r\n')}\r\n\r\n`;
}

describe('the server', () => {
  it('serves the built page on both loopback addresses with a strict policy', async () => {
    const stand = await startStand();
    for (const host of ['127.0.0.1', '[::1]', 'localhost']) {
      const answer = await fetch(`http://${host}:${stand.daemon.port}/`);
      expect(answer.status).toBe(200);
      expect(await answer.text()).toContain('<title>amptrail</title>');
      expect(answer.headers.get('content-security-policy')).toContain(`default-src 'self'`);
      expect(answer.headers.get('x-content-type-options')).toBe('nosniff');
      expect(answer.headers.get('access-control-allow-origin')).toBeNull();
      expect(answer.headers.get('x-powered-by')).toBeNull();
    }
    const script = await fetch(`http://127.0.0.1:${stand.daemon.port}/assets/page-1234.js`);
    expect(script.headers.get('content-type')).toContain('javascript');
    expect(script.headers.get('cache-control')).toContain('immutable');
  });

  it('prints an address whose fragment carries the token, which no request does', async () => {
    const stand = await startStand();
    const url = new URL(stand.daemon.url);
    expect(url.hash).toBe(`#${stand.daemon.token}`);
    expect(url.search).toBe('');
    expect(url.port).toBe(String(stand.daemon.port));
  });

  it('refuses what the gate refuses, in the one form of errors', async () => {
    const stand = await startStand();
    const port = stand.daemon.port;
    const host = `127.0.0.1:${port}`;
    const rows: [text: string, status: number][] = [
      [`GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n`, 403],
      [`GET http://evil.example/ HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n`, 403],
      [`GET /api/jobs HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`, 401],
      [`GET /api/jobs HTTP/1.1\r\nHost: ${host}\r\nAuthorization: Bearer ${stand.daemon.token}\r\nSec-Fetch-Site: cross-site\r\nConnection: close\r\n\r\n`, 403],
      [`POST /api/jobs HTTP/1.1\r\nHost: ${host}\r\nAuthorization: Bearer ${stand.daemon.token}\r\nOrigin: http://127.0.0.1:${port + 1}\r\nContent-Type: application/json\r\nContent-Length: 2\r\nConnection: close\r\n\r\n{}`, 403],
      [`GET /API/traces HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`, 404],
      [`GET http://${host}/api/traces HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`, 400],
      [`OPTIONS /api/jobs HTTP/1.1\r\nHost: ${host}\r\nOrigin: http://evil.example\r\nAccess-Control-Request-Method: POST\r\nConnection: close\r\n\r\n`, 405],
    ];
    for (const [text, status] of rows) {
      const answer = await rawRequest(port, text);
      expect(answer.split('\r\n')[0], text).toContain(` ${status} `);
      const body = JSON.parse(answer.slice(answer.indexOf('\r\n\r\n') + 4)) as { error: { code: string; text: string } };
      expect(body.error.text.length).toBeGreaterThan(10);
      expect(answer.toLowerCase()).not.toContain('access-control-');
      expect(answer).not.toMatch(/\.ts:|\.js:|node_modules/);
    }
    // no Host at all and a request that is none: refused by the parser
    expect(await rawRequest(port, `GET / HTTP/1.1\r\nConnection: close\r\n\r\n`)).toContain(' 400 ');
    expect(await rawRequest(port, '\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n')).toContain(' 400 ');
  });

  it('accepts a WebSocket with the key of RFC 6455 and answers with its value', async () => {
    const stand = await startStand();
    // RFC 6455 section 1.3: key and accept value
    const answer = await new Promise<string>((resolve) => {
      const socket = connect(stand.daemon.port, '127.0.0.1', () => socket.write(upgradeText(stand, 'dGhlIHNhbXBsZSBub25jZQ==', { 'Sec-WebSocket-Extensions': 'permessage-deflate' })));
      socket.once('data', (chunk) => {
        resolve(String(chunk));
        socket.destroy();
      });
    });
    expect(answer).toMatch(/^HTTP\/1\.1 101 /);
    expect(answer).toContain('Sec-WebSocket-Accept: s3pPLMBiTxaQ9kYGzzhZRbK+xOo=');
    // compression was offered, and is not taken: what is sent would show in its length
    expect(answer.toLowerCase()).not.toContain('sec-websocket-extensions');
  });

  it('refuses an upgrade from a foreign Host or Origin, from another port, without Origin and at another path', async () => {
    const stand = await startStand();
    const key = 'dGhlIHNhbXBsZSBub25jZQ==';
    const rows: [changes: Record<string, string | null>, status: number, path?: string][] = [
      [{ Origin: 'http://evil.example' }, 403],
      [{ Origin: `http://127.0.0.1:${stand.daemon.port + 1}` }, 403],
      [{ Origin: `http://localhost:${stand.daemon.port}` }, 403],
      [{ Origin: null }, 403],
      [{ Origin: 'null' }, 403],
      [{ Host: `evil.example:${stand.daemon.port}`, Origin: `http://evil.example:${stand.daemon.port}` }, 403],
      [{ 'Sec-Fetch-Site': 'same-site' }, 403],
      [{}, 404, '/'],
      [{}, 404, '/live/../live'],
      [{}, 404, '/LIVE'],
      [{}, 404, '/live/'],
      [{}, 404, '/live?x'],
      [{}, 404, `http://127.0.0.1:${stand.daemon.port}/live`],
    ];
    for (const [changes, status, path] of rows) {
      const answer = await rawRequest(stand.daemon.port, upgradeText(stand, key, changes, path));
      expect(answer.split('\r\n')[0], JSON.stringify(changes)).toContain(` ${status} `);
      expect(answer).toContain('"error"');
    }
    expect(stand.daemon.connections().pages).toBe(0);
  });

  it('sends nothing before a page has joined with the token, and closes on a wrong one', async () => {
    const stand = await startStand();
    const page = openSocket(stand.daemon);
    await new Promise((resolve) => page.socket.once('open', resolve));
    stand.source.send(blockAt(0, 100));
    page.send({ type: 'join', protocol: 1, token: 'x'.repeat(32) });
    expect((await page.whenClosed()).code).toBe(4003);
    expect(page.messages).toEqual([]);
    expect(page.frames).toEqual([]);

    const eager = openSocket(stand.daemon);
    await new Promise((resolve) => eager.socket.once('open', resolve));
    eager.send({ type: 'record', do: 'start' });
    expect((await eager.whenClosed()).code).toBe(4001);
    expect(eager.messages).toEqual([]);

    const old = openSocket(stand.daemon);
    await new Promise((resolve) => old.socket.once('open', resolve));
    old.send({ type: 'join', protocol: 99, token: stand.daemon.token });
    expect((await old.whenClosed()).code).toBe(4001);
    expect(old.messages).toEqual([expect.objectContaining({ type: 'refused', what: 'protocol' })]);
  });

  it('limits bodies to 64 kB of JSON with the right type', async () => {
    const stand = await startStand();
    const large = await stand.api('/api/tickets', { method: 'POST', body: { path: `/api/${'x'.repeat(70_000)}` } });
    expect([large.status, await large.json()]).toEqual([413, { error: { code: 'too-large', text: expect.stringContaining('65536') } }]);
    const broken = await stand.api('/api/tickets', { method: 'POST', body: '{"path":' });
    expect([broken.status, await broken.json()]).toEqual([400, { error: { code: 'bad-json', text: expect.any(String) } }]);
    const form = await stand.api('/api/tickets', { method: 'POST', body: 'path=/api/x', headers: { 'Content-Type': 'application/x-www-form-urlencoded' } });
    expect(form.status).toBe(415);
    const plain = await stand.api('/api/tickets', { method: 'POST', body: '{"path":"/api/x"}', headers: { 'Content-Type': 'text/plain' } });
    expect(plain.status).toBe(415);
    const deep = await stand.api('/api/tickets', { method: 'POST', body: `{"path":${'['.repeat(20_000)}` });
    expect(deep.status).toBe(400);
    expect((await stand.api('/api/nothing')).status).toBe(404);
    expect((await stand.api('/../../package.json')).status).toBe(404);
    expect((await stand.api('/%2e%2e/%2e%2e/package.json')).status).toBeGreaterThanOrEqual(400);
    expect((await stand.api('/%ff')).status).toBeGreaterThanOrEqual(400);
  });

  it('closes a page that sends more than 64 kB at once, and one that sends bytes', async () => {
    const stand = await startStand();
    const loud = await joinPage(stand.daemon);
    loud.socket.send('x'.repeat(64 * 1024 + 1));
    expect((await loud.whenClosed()).code).toBe(1009);
    const binary = await joinPage(stand.daemon);
    binary.socket.send(new Uint8Array(8));
    expect((await binary.whenClosed()).code).toBe(1003);
  });

  it('survives garbage of every kind from a joined page, and refuses each with a sentence', async () => {
    const stand = await startStand();
    const page = await stand.page();
    const texts = fc.sample(fc.oneof(fc.string({ maxLength: 200 }), fc.json(), fc.record({ type: fc.constantFrom('join', 'test', 'record', 'arm', 'mark', 'zero', 'source'), do: fc.anything(), settings: fc.anything() }).map((value) => JSON.stringify(value) ?? '')), { numRuns: 300, seed: 7 });
    let refused = 0;
    for (const text of texts) page.socket.send(text);
    await page.until(() => {
      refused = page.messages.filter(({ type }) => type === 'refused').length;
      return refused === texts.length;
    });
    stand.source.send(blockAt(0, 50));
    await page.until(() => page.frames.length > 0);
    expect(stand.daemon.connections().pages).toBe(1);
  });

  it('answers other devices only when asked to, by its own addresses, with the same checks', async () => {
    const stand = await startStand({ lan: true });
    const { port, token } = stand.daemon;
    const [address] = lanAddresses();
    expect((await fetch(`http://127.0.0.1:${port}/`)).status).toBe(200);
    expect(await rawRequest(port, `GET / HTTP/1.1\r\nHost: evil.example:${port}\r\nConnection: close\r\n\r\n`)).toContain(' 403 ');
    if (address === undefined) {
      expect(stand.log.join('\n')).toContain('no network address');
      return;
    }
    expect((await fetch(`http://${address}:${port}/`)).status).toBe(200);
    expect((await fetch(`http://${address}:${port}/api/traces`)).status).toBe(401);
    expect((await fetch(`http://${address}:${port}/api/traces`, { headers: { Authorization: `Bearer ${token}` } })).status).toBe(200);
    expect(stand.log.join('\n')).toContain(`http://${address}:${port}/#${token}`);
    expect(stand.log.join('\n')).toContain('unencrypted');
    expect(stand.log.join('\n')).toContain(`To look only: http://${address}:${port}/#${stand.daemon.viewToken}`);
    const quiet = await startStand();
    await expect(fetch(`http://${address}:${quiet.daemon.port}/`)).rejects.toThrow();
  });

  it('says what to do when the port is in use, and leaves nothing open', async () => {
    const blocker = createServer();
    await new Promise<void>((resolve) => blocker.listen(0, '127.0.0.1', resolve));
    const { port } = blocker.address() as { port: number };
    try {
      const failure = await startStand({ port }).catch((error: unknown) => error);
      expect(failure).toBeInstanceOf(DaemonError);
      expect(failure).toMatchObject({ code: 'port-in-use', message: expect.stringMatching(/--port/) });
    } finally {
      blocker.close();
    }
    for (const bad of [-1, 65_536, 1.5, Number.NaN]) {
      expect(await startStand({ port: bad }).catch((error: unknown) => error)).toMatchObject({ code: 'bad-port' });
    }
  });

  it('says how to build the pages when they are missing, and that a source cannot be used', async () => {
    expect(await startStand({ webDir: '/nowhere' }).catch((error: unknown) => error)).toMatchObject({ code: 'pages-missing', message: expect.stringContaining('npm run build') });
    expect(await startStand({ source: 'tape:1', webDir: pagesFolder() }).catch((error: unknown) => error)).toMatchObject({ code: 'bad-source', message: expect.stringContaining('tape:1') });
  });
});
