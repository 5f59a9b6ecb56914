import { closeSync, writeSync } from 'node:fs';
import * as nodePty from '@lydell/node-pty';
import { WebSocket } from 'ws';
import { decodeSampleFrame } from '../../src/core/wire/sample-frame.ts';
import { LIVE_PATH, WIRE_PROTOCOL, type ToPage } from '../../src/core/wire/messages.ts';
import { LoggerLines } from '../simulate/logger-lines.ts';
import type { FarOrder, SendReport } from './far-end-types.ts';

/**
 * What is at the two far ends of the daemon, in a process of its own: a logger on a pseudo-terminal and pages on the WebSocket. Both look at one clock, so that the way between them can be timed.
 *
 * A block of the logger carries its own number as its current, and the newest sample of a frame is always in it: a page so knows which block it sees.
 */
const CHANNELS = [
  { name: 'current', unit: 'A', scale: 0.001, zero: 0, range: [-30, 30] },
  { name: 'voltage', unit: 'V', scale: 0.0005, zero: 0, range: [0, 16] },
] as const;
/** Block numbers that an int16 count can carry. */
const NUMBERS = 30_000;
/** A logger has so much memory for what its line does not take at once; blocks that find it full are lost. */
const BACKLOG_BYTES = 65_536;
const TICK_MS = 1;
/** The hello is said again now and then: the daemon may have asked before the line was there. */
const HELLO_EVERY_MS = 400;

/** What is used of a pseudo-terminal without a program in it: the far end's descriptor, which does not block, and the path of the near one. */
interface Terminal {
  readonly _fd: number;
  readonly _pty: string;
  readonly slave: { pause(): void };
}

// its types leave this function out
const terminal = (nodePty as unknown as { open(size: { cols: number; rows: number }): Terminal }).open({ cols: 200, rows: 40 });
// the near end is the daemon's to read
terminal.slave.pause();
const fd = terminal._fd;
let writtenMs = new Float64Array(NUMBERS).fill(Number.NaN);
let latenciesMs: number[] = [];
let waiting = Buffer.alloc(0);

/** As much of what waits as the terminal takes. */
function drain(): number {
  let done = 0;
  try {
    while (done < waiting.length) done += writeSync(fd, waiting, done, waiting.length - done);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EAGAIN') throw error;
  }
  waiting = waiting.subarray(done);
  return done;
}

interface Logger {
  readonly rateHz: number;
  readonly lines: LoggerLines;
  readonly startMs: number;
  /** of the next block */
  number: number;
}

let logger: Logger | null = null;

/** Sends blocks of two channels as a logger does: when they are due, whatever the reader does. At the rate of the sending before, it goes on from there. */
async function send(rateHz: number, blockSamples: number, seconds: number): Promise<SendReport> {
  if (logger?.rateHz !== rateHz) logger = { rateHz, lines: new LoggerLines({ rateHz, channels: CHANNELS }, { serial: 'far-end' }), startMs: performance.now(), number: 0 };
  const { lines, startMs } = logger;
  const first = logger.number;
  const endMs = performance.now() + seconds * 1000;
  const voltageV = new Float32Array(blockSamples).fill(12.5);
  let helloMs = -Infinity;
  let lost = 0;
  let bytes = 0;
  while (performance.now() < endMs) {
    const nowMs = performance.now();
    if (nowMs - helloMs >= HELLO_EVERY_MS) {
      waiting = Buffer.concat([waiting, Buffer.from(lines.hello(), 'latin1')]);
      helloMs = nowMs;
    }
    const due = Math.floor(((nowMs - startMs) / 1000) * (rateHz / blockSamples));
    for (; logger.number < due; logger.number++) {
      const number = logger.number % NUMBERS;
      const timeS = new Float64Array(blockSamples).fill((logger.number * blockSamples) / rateHz);
      const line = Buffer.from(lines.block({ timeS, currentA: new Float32Array(blockSamples).fill(number * CHANNELS[0].scale), voltageV }), 'latin1');
      if (waiting.length > BACKLOG_BYTES) {
        lost++;
        continue;
      }
      waiting = waiting.length === 0 ? line : Buffer.concat([waiting, line]);
      bytes += line.length;
      drain();
      writtenMs[number] = performance.now();
    }
    drain();
    await new Promise((resolve) => setTimeout(resolve, TICK_MS));
  }
  for (let tries = 0; waiting.length > 0 && tries < 1000; tries++) {
    drain();
    await new Promise((resolve) => setTimeout(resolve, TICK_MS));
  }
  const blocks = logger.number - first;
  return { blocks, samples: (blocks - lost) * blockSamples, lostBlocks: lost, bytes };
}

/** Lines as fast as the terminal takes them. Returns bytes written. */
async function flood(seconds: number): Promise<number> {
  const piece = Buffer.from('1.000,12.500\n'.repeat(5000), 'latin1');
  const endMs = performance.now() + seconds * 1000;
  let bytes = 0;
  while (performance.now() < endMs) {
    if (waiting.length === 0) waiting = piece;
    const done = drain();
    bytes += done;
    await new Promise(setImmediate);
  }
  waiting = Buffer.alloc(0);
  return bytes;
}

const sockets: WebSocket[] = [];

/** Opens so many pages; the first one times what it sees. */
async function openPages(port: number, token: string, count: number): Promise<void> {
  for (let k = 0; k < count; k++) {
    const socket = new WebSocket(`ws://127.0.0.1:${port}${LIVE_PATH}`, { origin: `http://127.0.0.1:${port}` });
    socket.binaryType = 'arraybuffer';
    sockets.push(socket);
    await new Promise((resolve) => socket.once('open', resolve));
    const joined = new Promise((resolve) => socket.once('message', resolve));
    socket.send(JSON.stringify({ type: 'join', protocol: WIRE_PROTOCOL, token }));
    await joined;
    socket.on('message', (data, isBinary) => {
      if (k === 0 && isBinary) see(data as ArrayBuffer);
      else if (k === 0) tell(JSON.parse(String(data)) as ToPage);
    });
  }
}

function see(data: ArrayBuffer): void {
  const nowMs = performance.now();
  const frame = decodeSampleFrame(data.slice(0));
  if (typeof frame === 'string' || frame.currentA.length === 0) return;
  const number = Math.round(frame.currentA[frame.currentA.length - 1]! / CHANNELS[0].scale);
  const sentMs = writtenMs[number];
  if (sentMs !== undefined && !Number.isNaN(sentMs)) latenciesMs.push(nowMs - sentMs);
}

/** What a page hears of the source and of the recording is for the daemon's side to wait on. */
function tell(message: ToPage): void {
  if (message.type === 'source' || message.type === 'recording' || message.type === 'damage' || message.type === 'notice' || (message.type === 'status' && message.overload !== undefined)) process.send?.({ heard: message });
}

async function carryOut(order: FarOrder): Promise<unknown> {
  switch (order.do) {
    case 'path':
      return terminal._pty;
    case 'send':
      writtenMs = new Float64Array(NUMBERS).fill(Number.NaN);
      latenciesMs = [];
      return send(order.rateHz, order.blockSamples, order.seconds);
    case 'latencies':
      return latenciesMs;
    case 'flood':
      return flood(order.seconds);
    case 'pages':
      return openPages(order.port, order.token, order.count);
    case 'say':
      sockets[0]?.send(JSON.stringify(order.message));
      return null;
  }
}

let before = Promise.resolve();
process.on('message', ({ id, order }: { id: number; order: FarOrder }) => {
  before = before.then(async () => {
    const answer = await carryOut(order);
    process.send?.({ id, answer });
  });
});
process.on('disconnect', () => {
  closeSync(fd);
  process.exit(0);
});
