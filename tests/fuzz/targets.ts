import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32, deflateRawSync } from 'node:zlib';
import { LineDecoder } from '../../src/core/decode/decoder.ts';
import { entryBytes } from '../../src/core/tracefile/index-file.ts';
import { MAX_MARKS, readMarkLines, readMarksCsv } from '../../src/core/tracefile/marks.ts';
import { emptyTraceRecord } from '../../src/core/tracefile/trace-json.ts';
import type { SampleBlock } from '../../src/core/trace.ts';
import { openTrace } from '../../src/daemon/store/samples/reading/trace-reader.ts';
import { TraceWriter } from '../../src/daemon/store/samples/writing/trace-writer.ts';
import { unpackTraces } from '../../src/daemon/store/exchange/unzip.ts';
import { verifyTrace } from '../../src/daemon/store/samples/mending/verify.ts';
import { dataDescriptor, localHeader, zipEnd, type ZipEntry } from '../daemon/store/zip-forge.ts';
import { encodeInt16, frameLine } from '../core/decode/encode.ts';

/** A reader of strangers' bytes, and what must hold whatever they are: `run` throws when it does not. */
export interface Target {
  readonly name: string;
  readonly seeds: readonly Uint8Array[];
  /** words that a text format is made of */
  readonly words: readonly string[];
  run(bytes: Uint8Array): Promise<void> | void;
  /** makes checksums fit again, so that what lies behind them is reached */
  repair?(bytes: Uint8Array): Uint8Array;
}

/** What readers may say: a StoreError. Anything else is a fault of the program. */
async function inWords(work: () => Promise<void>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if ((error as Error).name !== 'StoreError') throw error;
  }
}

/** Whatever was read is a Trace: finite values, rising times, blocks of bounded length. */
function checkBlock(block: SampleBlock, afterS: number): number {
  let lastS = afterS;
  if (block.timeS.length > 70_000) throw new Error(`a block of ${block.timeS.length} rows`);
  for (let i = 0; i < block.timeS.length; i++) {
    if (!(block.timeS[i]! > lastS) || block.timeS[i] === Infinity) throw new Error(`time ${block.timeS[i]} after ${lastS}`);
    if (!Number.isFinite(block.currentA[i]!) || (block.voltageV !== null && !Number.isFinite(block.voltageV[i]!))) throw new Error('a value that is no number');
    lastS = block.timeS[i]!;
  }
  return lastS;
}

async function useUp(path: string): Promise<void> {
  await inWords(async () => {
    const reader = await openTrace(path);
    try {
      let lastS = -Infinity;
      for await (const block of reader.blocks()) lastS = checkBlock(block, lastS);
      if (reader.lastS > reader.firstS) {
        for (const columns of [1, 7]) checkBlock(await reader.window(reader.firstS, reader.lastS, columns), -Infinity);
      }
    } finally {
      await reader.close();
    }
    await verifyTrace(path);
  });
}

async function makeTrace(path: string): Promise<void> {
  const writer = await TraceWriter.create(path, emptyTraceRecord('fuzz', '2026-03-02T08:00:00.000Z', 'fuzz'), { durable: false });
  for (let k = 0; k < 12; k++) {
    if (k === 6) writer.gap({ startS: 0.539, endS: 1 });
    const rows = 90;
    const at = (i: number): number => (k * rows + i) / 1000 + (k >= 6 ? 0.5 : 0);
    writer.append({ timeS: Float64Array.from({ length: rows }, (_, i) => at(i)), currentA: Float32Array.from({ length: rows }, (_, i) => Math.sin(i * k) * 9), voltageV: Float32Array.from({ length: rows }, () => 12.5) });
    await writer.flush();
  }
  await writer.mark({ timeS: 0.2, kind: 'pull', label: 'F12' });
  await writer.finish('stopped');
}

/** Checksums of a samples.index made to fit: header, entries, trailer and summary (core/tracefile/index-file.ts has the form). */
function repairIndex(given: Uint8Array): Uint8Array {
  const bytes = Buffer.from(given);
  if (bytes.length < 32) return bytes;
  bytes.writeUInt32LE(crc32(bytes.subarray(0, 16)), 16);
  let at = 32;
  for (let length = entryBytes(bytes, at); length > 0 && at + length <= bytes.length; length = entryBytes(bytes, at)) {
    bytes.writeUInt32LE(crc32(bytes.subarray(at + 8, at + length)), at + 4);
    at += length;
  }
  if (bytes.length - 24 < at + 24) return bytes;
  bytes.writeUInt32LE(crc32(bytes.subarray(at + 8, bytes.length - 24)), at + 4);
  bytes.writeDoubleLE(at, bytes.length - 16);
  bytes.writeDoubleLE(bytes.length - 24 - at, bytes.length - 8);
  bytes.writeUInt32LE(crc32(bytes.subarray(bytes.length - 16)), bytes.length - 20);
  return bytes;
}

function makeZip(files: Readonly<Record<string, Uint8Array>>, wide: boolean): Uint8Array {
  const parts: Uint8Array[] = [];
  const entries: ZipEntry[] = [];
  let at = 0;
  for (const [name, content] of Object.entries(files)) {
    const packed = deflateRawSync(content);
    const entry = { name, method: 8, flags: 0x0808, crc32: crc32(content), packedBytes: packed.length, bytes: content.length, offset: at, wide };
    const pieces = [localHeader(name, wide), packed, dataDescriptor(entry)];
    entries.push(entry);
    parts.push(...pieces);
    for (const piece of pieces) at += piece.length;
  }
  return Buffer.concat([...parts, ...zipEnd(entries, at)]);
}

function decode(bytes: Uint8Array): void {
  let lastS = -1e-12;
  const decoder = new LineDecoder(null, {
    logger: () => undefined,
    notice: ({ atS }) => {
      if (!Number.isFinite(atS)) throw new Error(`notice at ${atS}`);
    },
    gap: ({ startS, endS }) => {
      if (!(endS > startS)) throw new Error(`gap from ${startS} to ${endS}`);
    },
    samples: (block) => {
      lastS = checkBlock(block, lastS);
    },
  });
  let nowS = 0;
  // the arrival of pieces is part of the input: their length comes from the bytes themselves
  for (let at = 0; at < bytes.length; ) {
    const length = 1 + ((bytes[at]! * 7 + at) % 300);
    nowS += (bytes[at]! % 16) / 100;
    decoder.tick(nowS);
    decoder.push(bytes.subarray(at, at + length), nowS);
    at += length;
  }
  decoder.end();
}

function loggerLines(): Uint8Array {
  const hello = frameLine('#', JSON.stringify({ protocol: 1, logger: 'bench', serial: 'B7', firmware: '1', rate_hz: 1000, channels: [{ name: 'current', unit: 'A', scale: 0.001, zero: 0, range: [-30, 30] }, { name: 'voltage', unit: 'V', scale: 0.0005, zero: 0, range: [0, 16] }] }));
  const blocks = Array.from({ length: 12 }, (_, k) => frameLine('@', `${k},${k * 20_000},20,${encodeInt16(Int16Array.from({ length: 40 }, (_, i) => i * k))}`));
  return Buffer.from([hello, ...blocks.slice(0, 6), frameLine('!', '6,110000,mark,button'), ...blocks.slice(6)].map((line) => `${line}\n`).join(''));
}

/** Checksums of framed lines made to fit. */
function repairLines(bytes: Uint8Array): Uint8Array {
  const lines = Buffer.from(bytes).toString('latin1').split('\n');
  return Buffer.from(lines.map((line) => (/^[#@!].*\*/.test(line) ? frameLine(line[0] as '#', line.slice(1, line.lastIndexOf('*'))) : line)).join('\n'), 'latin1');
}

const SAMPLE_CSV = '# made at the bench\ntime_s,current_a,voltage_v\n0,0.5,12.6\n0.001,0.6,12.5\n0.002,-0.7,12.4\n0.01,8e0,12\n0.011,9,11.9\n';
const FOREIGN_CSV = '\ufeff"Zeit (s)";"Strom (A)"\r\n"0,000";"1,25"\r\n"0,001";"1,30"\r\n"0,002";"-1,5"\r\n';

/** All targets, with their files in `folder`. */
export async function makeTargets(): Promise<{ targets: Target[]; close: () => void }> {
  const folder = mkdtempSync(join(existsSync('/dev/shm') ? '/dev/shm' : tmpdir(), 'amptrail-fuzz-'));
  const good = join(folder, 'good');
  await makeTrace(good);
  const file = (name: string): Buffer => readFileSync(join(good, name));
  const copy = join(folder, 'copy');
  /** the good trace with one file replaced */
  const inFolder = (name: string, bytes: Uint8Array): Promise<void> => {
    rmSync(copy, { recursive: true, force: true });
    mkdirSync(copy);
    for (const each of ['trace.json', 'samples.arrows', 'samples.index', 'marks.jsonl']) copyFileSync(join(good, each), join(copy, each));
    writeFileSync(join(copy, name), bytes);
    return useUp(copy);
  };
  const alone = (name: string, bytes: Uint8Array): Promise<void> => {
    writeFileSync(join(folder, name), bytes);
    return useUp(join(folder, name));
  };
  const contents = { 'j/job.json': Buffer.from('{"vehicle":"minibus"}'), 'j/t/trace.json': file('trace.json'), 'j/t/samples.arrows': file('samples.arrows'), 'j/t/marks.jsonl': file('marks.jsonl') };
  const targets: Target[] = [
    { name: 'arrow', seeds: [file('samples.arrows')], words: [], run: (bytes) => alone('a.arrows', bytes) },
    { name: 'csv', seeds: [Buffer.from(SAMPLE_CSV), Buffer.from(FOREIGN_CSV), Buffer.from('1 2\n2 3\n')], words: ['time_s,current_a\n', '"', '""', ';', ',', '\r', '\n', '#', '1e309', '-', '.', '0x1', 'NaN', '\ufeff', '\t', '1,5', '\0'], run: (bytes) => alone('a.csv', bytes) },
    { name: 'trace-json', seeds: [file('trace.json')], words: ['null', '[]', '{}', '1e400', '"', '-1', '"__proto__":', '{"start_s":0,"end_s":1},', 'true'], run: (bytes) => inFolder('trace.json', bytes) },
    { name: 'index', seeds: [file('samples.index')], words: ['ABLK', 'ASUM', 'AEND'], run: (bytes) => inFolder('samples.index', bytes), repair: repairIndex },
    {
      name: 'zip',
      seeds: [makeZip(contents, false), makeZip(contents, true)],
      words: ['PK\x01\x02', 'PK\x03\x04', 'PK\x05\x06', 'PK\x06\x06', 'PK\x06\x07', '../', 'j/t/samples.arrows'],
      run: async (bytes) => {
        writeFileSync(join(folder, 'a.zip'), bytes);
        const work = join(folder, 'unpacked');
        await inWords(async () => void (await unpackTraces(join(folder, 'a.zip'), work, {})));
        rmSync(work, { recursive: true, force: true });
      },
    },
    {
      name: 'marks',
      seeds: [file('marks.jsonl'), Buffer.from('time_s,label,kind\n1,"F1, left",pull\n2,F2,refit\n'), Buffer.from('time_s;label\r\n1,5;F3\r\n')],
      words: ['{"time_s":1,"kind":"pull","label":"F1"}\n', '"', ',', ';', '\n', 'null', '1e999', 'time_s,label\n', '{"time_s":1,"void":true}'],
      run: (bytes) => {
        const text = Buffer.from(bytes).toString('utf8');
        for (const { marks, problems } of [readMarkLines(text), readMarksCsv(text)]) {
          if (marks.length > MAX_MARKS || problems.length > 20) throw new Error('more than promised');
          for (const [i, mark] of marks.entries()) if (!Number.isFinite(mark.timeS) || (i > 0 && mark.timeS < marks[i - 1]!.timeS)) throw new Error(`mark at ${mark.timeS}`);
        }
      },
    },
    { name: 'lines', seeds: [loggerLines(), Buffer.from('1.5,12.4\n'.repeat(60)), Buffer.from(Array.from({ length: 60 }, (_, i) => `${i},${i % 7},12.1\n`).join(''))], words: ['#{', '@1,', '!1,', '*', '\n', '\r\n', '1e99', ',', '?', '4294967295', '-'], run: decode, repair: repairLines },
  ];
  return { targets, close: () => rmSync(folder, { recursive: true, force: true }) };
}
