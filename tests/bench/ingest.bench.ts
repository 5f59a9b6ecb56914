import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { SerialPort } from 'serialport';
import type { TraceRecord } from '../../src/core/tracefile/record.ts';
import { farEnd, ptyStand, type PtyStand } from './pty-stand.ts';
import { judged, type BenchRow } from './row.ts';

const RATE_HZ = 50_000;
/** Blocks of 5 ms. */
const BLOCKS_A_SECOND = 200;
/** and no more samples than a line can carry: 11 kB as base64. */
const MOST_BLOCK_SAMPLES = 2000;
const PAGES = 3;
/** The search for the highest rate begins here and doubles; then it halves the step so often. */
const FIRST_RATE_HZ = 50_000;
const HALVINGS = 2;
/** Past the highest rate it is sent for so long, s, at so many times the first rate that did not hold: a single slip of the machine shows as something else than a line that cannot carry what is sent. */
const PAST_S = 15;
const PAST_TIMES = 2;

/** A logger on a real pseudo-terminal, recorded and shown on three pages; and how far that goes. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  return [await steadyRow(quick ? 6 : 15), ...(await limitRows(quick ? 1 : 3))];
}

/** Recorded and streamed for some seconds: processor time of the daemon with all its threads, and whether a sample is missing on the disk. */
async function steadyRow(seconds: number): Promise<BenchRow> {
  const stand = await ptyStand();
  try {
    await stand.pages(PAGES);
    // the first seconds compile
    await stand.send(RATE_HZ, RATE_HZ / BLOCKS_A_SECOND, 2);
    await stand.say({ type: 'record', do: 'start' });
    const before = process.cpuUsage();
    const startMs = performance.now();
    const sent = await stand.send(RATE_HZ, RATE_HZ / BLOCKS_A_SECOND, seconds);
    const used = process.cpuUsage(before);
    const share = (used.user + used.system) / 1000 / (performance.now() - startMs);
    await stand.say({ type: 'record', do: 'stop' });
    await ended(stand.daemon.dataDir);
    const lost = sent.lostBlocks + lostBlocksOf(recordOf(stand.daemon.dataDir));
    const row = judged({ name: `ingest: 50 kS/s of two channels through a pty, recorded, analysed and on ${PAGES} pages (${lost === 0 ? 'nothing' : `${lost} blocks`} lost of ${sent.blocks})`, value: 100 * share, unit: '% of a core', anchor: 'the time it took' }, '<=', 25);
    return { ...row, met: row.met && lost === 0 };
  } finally {
    await stand.close();
  }
}

/** The highest rate at which nothing is lost, as bytes a second, against a port that is only read. */
async function limitRows(seconds: number): Promise<BenchRow[]> {
  const bareBytes = await bareRate(seconds);
  const stand = await ptyStand();
  let holdsHz = 0;
  let bytes = 0;
  const holds = async (rateHz: number): Promise<boolean> => {
    const before = lostSeen(stand.heard.get('damage'));
    const sent = await stand.send(rateHz, blockSamples(rateHz), seconds);
    // the daemon counts what is missing twenty times a second
    await new Promise((resolve) => setTimeout(resolve, 300));
    const lost = sent.lostBlocks + lostSeen(stand.heard.get('damage')) - before;
    if (lost === 0 && rateHz > holdsHz) {
      holdsHz = rateHz;
      bytes = sent.bytes / seconds;
    }
    return lost === 0;
  };
  let reported = '';
  try {
    await stand.pages(1);
    let rateHz = FIRST_RATE_HZ;
    while ((await holds(rateHz)) && rateHz < 64 * FIRST_RATE_HZ) rateHz *= 2;
    const pastHz = PAST_TIMES * rateHz;
    for (let k = 0, step = rateHz / 4; k < HALVINGS; k++, step /= 2) await holds(holdsHz + step);
    reported = await lostPast(stand, pastHz);
  } finally {
    await stand.close();
  }
  return [
    judged({ name: `ingest: highest rate without loss, two channels (${Math.round(holdsHz / 1000)} kS/s; ${reported})`, value: bytes / bareBytes, unit: 'of its bytes a second', anchor: `serialport reading the same pty and doing nothing (${(bareBytes / 1e6).toPrecision(3)} MB/s)` }, '>=', 0.5),
  ];
}

/** What a page hears while more is sent than can arrive. */
async function lostPast(stand: PtyStand, rateHz: number): Promise<string> {
  const before = lostSeen(stand.heard.get('damage'));
  const sent = await stand.send(rateHz, blockSamples(rateHz), PAST_S);
  // the daemon counts what is missing twenty times a second
  await new Promise((resolve) => setTimeout(resolve, 300));
  const counted = lostSeen(stand.heard.get('damage')) - before;
  if (sent.lostBlocks + counted === 0) return `nothing was lost at ${Math.round(rateHz / 1000)} either`;
  const notice = stand.heard.get('notice');
  const status = stand.heard.get('status');
  const overload = status?.type === 'status' ? status.overload : undefined;
  const figures = overload === undefined ? [] : [`${Math.round(100 * overload.lost)} % lost, ${overload.heldRateHz === null ? 'no usual rate' : `${overload.heldRateHz / 1000} kS/s`} would hold`];
  const words = [...figures, ...(counted > 0 ? ['how many blocks are missing'] : []), ...(notice?.type === 'notice' ? [`"${notice.code}"`] : [])];
  return `past it the page says ${words.length === 0 ? 'nothing' : words.join(' and ')}`;
}

function blockSamples(rateHz: number): number {
  return Math.min(MOST_BLOCK_SAMPLES, Math.round(rateHz / BLOCKS_A_SECOND));
}

async function bareRate(seconds: number): Promise<number> {
  const far = await farEnd();
  const port = new SerialPort({ path: far.path, baudRate: 1_000_000, autoOpen: false });
  await new Promise<void>((resolve, reject) => void port.open((error) => (error === null || error === undefined ? resolve() : reject(error))));
  let bytes = 0;
  port.on('data', (chunk: Buffer) => void (bytes += chunk.length));
  const startMs = performance.now();
  await far.ask({ do: 'flood', seconds });
  const rate = bytes / ((performance.now() - startMs) / 1000);
  await new Promise<void>((resolve) => void port.close(() => resolve()));
  far.close();
  return rate;
}

function lostSeen(message: { readonly type: string } | undefined): number {
  const counts = (message as { readonly counts?: { readonly lostBlocks: number; readonly badCrc: number; readonly malformed: number } } | undefined)?.counts;
  return counts === undefined ? 0 : counts.lostBlocks + counts.badCrc;
}

function recordOf(dataDir: string): TraceRecord {
  const folder = join(dataDir, 'jobs', 'unfiled');
  return JSON.parse(readFileSync(join(folder, readdirSync(folder)[0]!, 'trace.json'), 'utf8')) as TraceRecord;
}

/** Waits until the recording is closed on the disk. */
async function ended(dataDir: string): Promise<void> {
  for (let tries = 0; recordOf(dataDir).end !== 'ended' && tries < 200; tries++) await new Promise((resolve) => setTimeout(resolve, 50));
}

/** A block that is missing on the way, or on the disk, is a gap. */
function lostBlocksOf(record: TraceRecord): number {
  return record.gaps.length;
}
