import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { WebSocket } from 'ws';
import { WIRE_PROTOCOL, type FromPage } from '../../src/core/wire/messages.ts';
import { startDaemon, type RunningDaemon } from '../../src/daemon/serve.ts';
import { HoldWatch, type Hold } from './hold-watch.ts';
import { capture, recording } from './long-capture.ts';
import { Paced } from './paced-source.ts';
import { judged, type BenchRow } from './row.ts';

/**
 * How long the daemon's main thread is busy in one piece, at worst: the reader of the serial port waits for just so long. A page is open and draws, a recording runs with its live analysis,
 * a stored trace of hours is opened, windowed, analysed and exported meanwhile.
 */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'amptrail-bench-'));
  mkdirSync(join(folder, 'pages'));
  writeFileSync(join(folder, 'pages', 'index.html'), '<!doctype html><title>amptrail</title>');
  const seconds = quick ? 8 : 45;
  // what the machine does to a process that does nothing
  const watch = new HoldWatch();
  await new Promise((resolve) => setTimeout(resolve, 5000));
  const idle = watch.stop();
  const rows: BenchRow[] = [];
  try {
    await capture(join(folder, 'data', 'jobs', 'unfiled', 'night'), recording(quick ? 4_000_000 : 20_000_000));
    for (const rateHz of [1000, 50_000]) {
      const daemon = await startDaemon({ source: 'hand:1', port: 0, dataDir: join(folder, 'data'), webDir: join(folder, 'pages'), log: () => undefined, openSource: () => new Paced(rateHz) });
      try {
        rows.push(rowOf(await busy(daemon, seconds), rateHz, idle));
      } finally {
        await daemon.close();
      }
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  return rows;
}

function rowOf({ worstMs, workedMs, waitedMs, p999Ms }: Hold, rateHz: number, idle: Hold): BenchRow {
  const where = Number.isNaN(workedMs) ? '' : `, of these ${workedMs.toFixed(1)} ms of work and ${waitedMs.toFixed(1)} ms in which other threads had the processors`;
  return judged({
    name: `longest piece of work of the daemon's main thread, ${rateHz / 1000} kS/s recorded, drawn and analysed (${worstMs.toFixed(1)} ms in all${where}; p99.9 ${p999Ms.toFixed(1)} ms)`,
    value: worstMs - idle.worstMs,
    unit: 'ms more',
    anchor: `a process that does nothing: ${idle.worstMs.toFixed(1)} ms`,
  }, '<=', 20);
}

async function busy(daemon: RunningDaemon, seconds: number): Promise<Hold> {
  const origin = `http://127.0.0.1:${daemon.port}`;
  const socket = new WebSocket(`ws://127.0.0.1:${daemon.port}/live`, { origin });
  await new Promise((resolve) => socket.once('open', resolve));
  const send = (message: FromPage): void => socket.send(JSON.stringify(message));
  send({ type: 'join', protocol: WIRE_PROTOCOL, token: daemon.token });
  await new Promise((resolve) => socket.once('message', resolve));
  const get = (path: string): Promise<void> => fetch(`${origin}/api${path}`, { headers: { Authorization: `Bearer ${daemon.token}` } }).then(async (response) => {
      // read and let go: the page is not what is measured
      for await (const chunk of response.body as unknown as AsyncIterable<Uint8Array>) if (chunk.length === 0) return;
    });
  await get('/traces/unfiled/night/window?from=0&to=10&columns=100');
  await new Promise((resolve) => setTimeout(resolve, 2000));
  const watch = new HoldWatch();
  const endMs = performance.now() + seconds * 1000;
  send({ type: 'record', do: 'start' });
  const long = Promise.all([get('/traces/unfiled/night/analysis?test=drain'), get('/traces/unfiled/night/export.zip')]);
  for (let k = 0; performance.now() < endMs; k++) {
    const spanS = 4000 * 0.5 ** (k % 12);
    await get(`/traces/unfiled/night/window?from=${100 + k}&to=${100 + k + spanS}&columns=1600`);
    await get(`/live/window?from=0&to=${seconds}&columns=1600`);
    await get('/traces/unfiled/night');
    await get('/traces');
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  send({ type: 'test', settings: { test: 'drain', actuation: {}, drain: {}, jobId: null, title: '' } });
  send({ type: 'record', do: 'stop' });
  await get('/traces');
  await long;
  const hold = watch.stop();
  socket.close();
  return hold;
}
