import { Duplex } from 'node:stream';
import { ReadlineParser } from '@serialport/parser-readline';
import { LineDecoder } from '../../src/core/decode/decoder.ts';
import { LoggerLines } from '../simulate/logger-lines.ts';
import { serialPorts } from '../../src/daemon/sources/serial/serial-port.ts';
import { bestTimesS, judged, type BenchRow } from './row.ts';

/** What one read of a port brings: at 50 kS/s of two channels a port read every 4 ms has gathered about a kilobyte. */
const READ_BYTES = 1024;
const RATE_HZ = 50_000;
/** Number lines carry no clock: a second of them is kept while their pace is measured, and at most 50,000. */
const PLAIN_RATE_HZ = 10_000;
/** Samples of a framed line: 5 ms of them. */
const BLOCK_SAMPLES = 250;
/** The first read comes so long after the port was opened, s: what was sent before that has no time and would be dropped. */
const START_S = 1;
/** Reads between two turns of the event loop. */
const READS_A_TURN = 64;

const CHANNELS = [
  { name: 'current', unit: 'A', scale: 0.001, zero: 0, range: [-30, 30] },
  { name: 'voltage', unit: 'V', scale: 0.0005, zero: 0, range: [0, 16] },
] as const;

/** From the bytes of a port to columns, against a ReadlineParser on the same port that does nothing with its lines. */
export async function bench(quick: boolean): Promise<BenchRow[]> {
  const rows: BenchRow[] = [];
  for (const kind of ['framed', 'plain'] as const) {
    const samples = kind === 'framed' ? (quick ? 1_000_000 : 5_000_000) : quick ? 200_000 : 1_000_000;
    const stream = kind === 'framed' ? framedLines(samples) : plainLines(samples);
    const times = await bestTimesS(5, { bare: () => readBare(stream.bytes, stream.lines), decoded: () => readDecoded(stream.bytes, samples, kind === 'framed' ? RATE_HZ : PLAIN_RATE_HZ) });
    const share = times.bare / times.decoded;
    const rate = samples / times.decoded / 1e6;
    rows.push(judged({ name: `decode: ${kind} lines of two channels to columns (${rate.toPrecision(2)} M samples a second)`, value: share, unit: 'of its rate', anchor: 'a ReadlineParser on the same port that drops its lines' }, '>=', kind === 'framed' ? 0.8 : 0.6));
  }
  return rows;
}

interface ByteStream {
  readonly bytes: Buffer;
  readonly lines: number;
}

function framedLines(samples: number): ByteStream {
  const logger = new LoggerLines({ rateHz: RATE_HZ, channels: CHANNELS });
  // a first line is as a rule the rest of one, and is dropped where nothing proves it whole
  const lines = ['tail\n', logger.hello()];
  for (let from = 0; from < samples; from += BLOCK_SAMPLES) {
    const at = (_: unknown, i: number): number => from + i;
    const index = Float64Array.from({ length: BLOCK_SAMPLES }, at);
    lines.push(logger.block({ timeS: index.map((i) => i / RATE_HZ), currentA: Float32Array.from(index, (i) => ((i * 7919) % 20_000) / 1000), voltageV: Float32Array.from(index, (i) => 12 + (i % 1000) / 1000) }));
  }
  return { bytes: Buffer.from(lines.join(''), 'latin1'), lines: lines.length };
}

function plainLines(samples: number): ByteStream {
  const lines = ['tail\n'];
  for (let i = 0; i < samples; i++) lines.push(`${(((i * 7919) % 20_000) / 1000).toFixed(3)},${(12 + (i % 1000) / 1000).toFixed(3)}\n`);
  return { bytes: Buffer.from(lines.join(''), 'latin1'), lines: lines.length };
}

/** A serial port that hands out what it is fed. */
class FedPort extends Duplex {
  static last: FedPort;
  readonly isOpen = true;

  static async list(): Promise<[]> {
    return [];
  }

  constructor() {
    super();
    FedPort.last = this;
  }

  open(done: (error: Error | null) => void): void {
    done(null);
  }

  close(done: (error: Error | null) => void): void {
    done(null);
  }

  update(_options: unknown, done: (error: Error | null) => void): void {
    done(null);
  }

  get(done: (error: Error | null) => void): void {
    done(null);
  }

  override _read(): void {
    // fed from outside
  }

  override _write(_bytes: Buffer, _encoding: BufferEncoding, done: () => void): void {
    done();
  }
}

/** Feeds the port as a device does, read by read; `arrived` gets the number of bytes that have come before each. */
async function feed(port: FedPort, bytes: Buffer, arrived: (count: number) => void): Promise<void> {
  for (let at = 0, read = 1; at < bytes.length; at += READ_BYTES, read++) {
    arrived(at);
    port.push(bytes.subarray(at, at + READ_BYTES));
    if (read % READS_A_TURN === 0) await new Promise(setImmediate);
  }
  while (port.readableLength > 0) await new Promise(setImmediate);
}

async function readBare(bytes: Buffer, lines: number): Promise<void> {
  const port = new FedPort();
  const parser = port.pipe(new ReadlineParser({ delimiter: '\n', encoding: 'latin1' }));
  let count = 0;
  parser.on('data', () => void count++);
  await feed(port, bytes, () => undefined);
  if (count !== lines) throw new Error(`the parser gave ${count} lines of ${lines}`);
}

async function readDecoded(bytes: Buffer, samples: number, rateHz: number): Promise<void> {
  let count = 0;
  let nowS = START_S;
  const decoder = new LineDecoder(null, { logger: () => undefined, gap: () => undefined, notice: () => undefined, samples: (block) => void (count += block.timeS.length) });
  const port = await serialPorts(FedPort as never).open('fed', 1_000_000, { bytes: (piece) => decoder.feed(piece, nowS), gone: () => undefined });
  // the bytes arrive at the pace of the samples in them: clocks that are tied to each other see what they see at a logger
  await feed(FedPort.last, bytes, (arrived) => {
    nowS = START_S + (arrived / bytes.length) * (samples / rateHz);
    decoder.tick(nowS);
  });
  decoder.end();
  await port.close();
  if (count !== samples) throw new Error(`${count} samples came of ${samples}`);
}
