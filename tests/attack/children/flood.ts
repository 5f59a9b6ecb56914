import { connect, type Socket } from 'node:net';
import { randomBytes } from 'node:crypto';
import { WebSocket } from 'ws';

/** Floods a daemon on 127.0.0.1 until its parent lets go of it: `flood.ts KIND PORT VIEW_KEY`. Says at the end how much it did. */
const [kind, portText, viewKey] = process.argv.slice(2);
const port = Number(portText);
const host = `127.0.0.1:${port}`;
const AT_ONCE = 64;
const OPEN_AT_ONCE = 500;

const done: Record<string, number> = {};
const count = (what: string): void => void (done[what] = (done[what] ?? 0) + 1);
let ended = false;
process.once('disconnect', () => process.exit(0));
process.once('message', () => {
  ended = true;
  process.send!(done, () => process.exit(0));
});

const upgrade = `GET /live HTTP/1.1\r\nHost: ${host}\r\nOrigin: http://${host}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\nSec-WebSocket-Version: 13\r\n\r\n`;

/** One connection from its opening to its end; calls back when it is over. */
function open(text: string, over: () => void): Socket {
  const socket = connect(port, '127.0.0.1', () => {
    count('opened');
    if (text !== '') socket.write(text);
  });
  let head = '';
  socket.on('data', (chunk) => {
    if (head.length < 12) head += String(chunk);
    if (head.length >= 12 && !head.startsWith('done')) {
      count(`status ${head.slice(9, 12)}`);
      head = 'done done done';
    }
  });
  socket.on('error', () => count('reset'));
  socket.on('close', over);
  return socket;
}

/** Keeps so many connections open for ever. */
function keep(most: number, text: () => string): void {
  const again = (): void => {
    if (!ended) open(text(), () => setImmediate(again));
  };
  for (let i = 0; i < most; i++) again();
}

/** A page that has joined with the key that may look, and sends what comes to its mind. */
function babble(): void {
  const socket = new WebSocket(`ws://${host}/live`, { origin: `http://${host}` });
  const words = [`{"type":"record","do":"start"}`, '{"type":"source","do":"choose","spec":"replay:/etc/passwd"}', 'x'.repeat(60_000), '[', '{"type":"test"}', `{"type":"join","protocol":1,"token":"${viewKey}"}`];
  socket.on('open', () => {
    socket.send(JSON.stringify({ type: 'join', protocol: 1, token: viewKey }));
    const talk = (): void => {
      if (socket.readyState !== WebSocket.OPEN || ended) return;
      for (let i = 0; i < 50; i++) {
        socket.send(words[i % words.length]!);
        count('messages');
      }
      setTimeout(talk, 5);
    };
    talk();
  });
  socket.on('error', () => count('reset'));
  socket.on('close', () => {
    count('closed');
    if (!ended) setTimeout(babble, 20);
  });
}

switch (kind) {
  case 'requests':
    keep(AT_ONCE, () => `GET / HTTP/1.1\r\nHost: ${host}\r\nConnection: close\r\n\r\n`);
    break;
  case 'wrong-keys':
    keep(AT_ONCE, () => `GET /api/traces HTTP/1.1\r\nHost: ${host}\r\nAuthorization: Bearer ${randomBytes(24).toString('base64url')}\r\nConnection: close\r\n\r\n`);
    break;
  case 'half-open':
    keep(OPEN_AT_ONCE, () => `GET / HTTP/1.1\r\nHost: ${host}\r\nX-Slow: `);
    break;
  case 'unjoined':
    keep(OPEN_AT_ONCE, () => upgrade);
    break;
  default:
    for (let i = 0; i < 8; i++) babble();
}
process.send!('ready');
