import { createReadStream, createWriteStream, mkdirSync } from 'node:fs';
import type { FileHandle } from 'node:fs/promises';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { crc32, createInflateRaw } from 'node:zlib';
import { isSafeName } from './names.ts';
import { openPlain } from './plain-file.ts';
import { GAPS_FILE, JOB_FILE, MARKS_FILE, RECORD_FILE, SAMPLES_FILE } from './record-file.ts';
import { checkCancelled, StoreError, type Progress } from './store-error.ts';
import { openTrace } from './trace-reader.ts';
import { DEFLATED, ENCRYPTED, END_SEARCH_BYTES, LOCAL_BYTES, localBytes, readDirectory, readEnd, readWideEnd, type ZipEntry } from './zip-format.ts';

/** What a zip of traces may hold; anything else in it is stepped over. */
const TAKEN = new Set([SAMPLES_FILE, RECORD_FILE, MARKS_FILE, GAPS_FILE]);
const MAX_TRACES = 1000;
/** Entries looked at: three a trace, and what others put beside them. */
const MAX_ENTRIES = 100_000;
const MAX_DIRECTORY_BYTES = 32 << 20;
/** A recording shrinks to a half, one of a resting virtual vehicle to a twentieth; DEFLATE can reach a thousandth. */
const MAX_RATIO = 100;
const FREE_BYTES = 16 << 20;

export interface UnpackedTrace {
  readonly folder: string;
  readonly id: string;
}

export interface Unpacked {
  readonly traces: readonly UnpackedTrace[];
  /** path of the job.json beside them, when the zip is that of a job */
  readonly job: string | null;
}

interface Wanted {
  readonly entry: ZipEntry;
  readonly path: string;
}

/**
 * Unpacks the traces of a zip into folders below `work`. Entries count only as `TRACE/samples.arrows`, `TRACE/trace.json` or `TRACE/marks.jsonl` with at most
 * one folder above, and `JOB/job.json`; names never become paths unless they are safe. Throws StoreError for a zip that unpacks to far more than it is, or
 * holds no trace that opens.
 */
export async function unpackTraces(path: string, work: string, options: { readonly progress?: Progress; readonly signal?: AbortSignal }): Promise<Unpacked> {
  const file = await openPlain(path);
  try {
    const { size } = await file.stat();
    const entries = await directory(file, size);
    const { wanted, traces, job } = choose(entries, work);
    const limit = Math.max(FREE_BYTES, size * MAX_RATIO);
    const total = wanted.reduce((sum, { entry }) => sum + entry.bytes, 0);
    if (!(total <= limit)) throw tooMuch();
    refuseOverlaps(wanted);
    let done = 0;
    for (const { entry, path: to } of wanted) {
      await unpack(file, path, size, entry, to, (bytes) => {
        done += bytes;
        checkCancelled(options.signal);
        options.progress?.(Math.min(1, done / Math.max(1, total)));
      });
    }
    if (traces.length === 0) throw new StoreError('wrong-format', 'The zip holds no trace: a trace is a folder with samples.arrows and trace.json in it.');
    // each is opened once, so that what comes in is known to be readable
    for (const { folder } of traces) await (await openTrace(folder, { asRecorded: true })).close();
    return { traces, job };
  } finally {
    await file.close();
  }
}

async function directory(file: FileHandle, size: number): Promise<ZipEntry[]> {
  const tailAt = Math.max(0, size - END_SEARCH_BYTES);
  const found = readEnd(await bytesAt(file, tailAt, size - tailAt), tailAt);
  const end = typeof found === 'number' ? (found + 56 <= size ? readWideEnd(await bytesAt(file, found, 56)) : null) : found;
  if (end === null) throw new StoreError('wrong-format', 'The file is no zip, or its end is missing: copy it again.');
  if (!(end.at + end.bytes <= size)) throw new StoreError('wrong-format', 'The directory of the zip lies outside the file. Copy it again.');
  if (end.bytes > MAX_DIRECTORY_BYTES || end.entries > MAX_ENTRIES) throw new StoreError('too-large', `The zip holds more than ${MAX_ENTRIES} files: that is no job of traces.`);
  const entries = readDirectory(await bytesAt(file, end.at, end.bytes), MAX_ENTRIES);
  if (entries === null) throw new StoreError('wrong-format', 'The directory of the zip is damaged. Copy it again.');
  return entries;
}

/** Entries that are taken, each with the path it goes to, and the folders made for them. */
function choose(entries: readonly ZipEntry[], work: string): { wanted: Wanted[]; traces: UnpackedTrace[]; job: string | null } {
  const folders = new Map<string, UnpackedTrace>();
  const wanted: Wanted[] = [];
  const jobs: ZipEntry[] = [];
  const taken = new Set<string>();
  for (const entry of entries) {
    const parts = entry.name.split('/');
    const name = parts.pop() ?? '';
    if (parts.length === 0 || parts.some((part) => !isSafeName(part)) || taken.has(entry.name)) continue;
    if (name === JOB_FILE && parts.length === 1) jobs.push(entry);
    if (parts.length > 2 || !TAKEN.has(name)) continue;
    taken.add(entry.name);
    const key = parts.join('/');
    if (folders.size === MAX_TRACES && !folders.has(key)) throw new StoreError('too-large', `The zip holds more than ${MAX_TRACES} traces.`);
    const place = folders.get(key) ?? { folder: join(work, `trace-${folders.size}`), id: parts[parts.length - 1]! };
    folders.set(key, place);
    wanted.push({ entry, path: join(place.folder, name) });
  }
  for (const { folder } of folders.values()) mkdirSync(folder, { recursive: true });
  // traces of several jobs in one zip: no single job to make
  const job = jobs.length === 1 && folders.size > 0 ? join(work, JOB_FILE) : null;
  if (job !== null) wanted.push({ entry: jobs[0]!, path: job });
  return { wanted, traces: [...folders.values()], job };
}

/** Entries that share bytes are the trick of bombs that stay small (Fifield, "A better zip bomb", WOOT 2019). */
function refuseOverlaps(wanted: readonly Wanted[]): void {
  const spans = wanted.map(({ entry }) => entry).sort((a, b) => a.offset - b.offset);
  for (let i = 1; i < spans.length; i++) {
    if (spans[i - 1]!.offset + LOCAL_BYTES + spans[i - 1]!.packedBytes > spans[i]!.offset) throw new StoreError('wrong-format', `Two files of the zip lie over each other (${spans[i]!.name}): it is damaged, or made to do harm.`);
  }
}

async function unpack(file: FileHandle, path: string, size: number, entry: ZipEntry, to: string, onBytes: (bytes: number) => void): Promise<void> {
  const damaged = (why: string): StoreError => new StoreError('wrong-format', `The zip is damaged at ${entry.name}: ${why}. Copy it again.`);
  if ((entry.flags & ENCRYPTED) !== 0) throw new StoreError('wrong-format', `${entry.name} is encrypted. Unpack the zip with its password and take in the trace's folder as a zip without one.`);
  if (entry.method !== 0 && entry.method !== DEFLATED) throw new StoreError('wrong-format', `${entry.name} is packed in a way that is not read here (method ${entry.method}). Pack it again as a usual zip.`);
  const header = entry.offset + LOCAL_BYTES <= size ? localBytes(await bytesAt(file, entry.offset, LOCAL_BYTES)) : null;
  if (header === null) throw damaged('no file begins where its directory says');
  const from = entry.offset + header;
  if (!(from + entry.packedBytes <= size)) throw damaged('the zip ends in the middle of it');
  let sum = 0;
  let bytes = 0;
  async function* checked(chunks: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
    for await (const chunk of chunks) {
      sum = crc32(chunk, sum);
      bytes += chunk.length;
      if (bytes > entry.bytes) throw damaged('it holds more than its directory says');
      onBytes(chunk.length);
      yield chunk;
    }
  }
  const packed = entry.packedBytes === 0 ? [] : createReadStream(path, { start: from, end: from + entry.packedBytes - 1, highWaterMark: 1 << 16 });
  try {
    if (entry.method === DEFLATED) await pipeline(packed as AsyncIterable<Buffer>, createInflateRaw({ chunkSize: 1 << 17 }), checked, createWriteStream(to, { flags: 'wx' }));
    else await pipeline(packed as AsyncIterable<Buffer>, checked, createWriteStream(to, { flags: 'wx' }));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw code?.startsWith('Z_') === true || code === 'ERR__ERROR_FORMAT' ? damaged('its packed bytes make no sense') : error;
  }
  if (bytes !== entry.bytes || sum !== entry.crc32) throw damaged('its CRC-32 does not fit');
}

function tooMuch(): StoreError {
  return new StoreError('too-large', `The zip unpacks to more than ${MAX_RATIO} times its size: that is no recording, so it is not unpacked.`);
}

async function bytesAt(file: FileHandle, at: number, bytes: number): Promise<Uint8Array> {
  const buffer = new Uint8Array(bytes);
  let got = 0;
  while (got < bytes) {
    const { bytesRead } = await file.read(buffer, got, bytes - got, at + got);
    if (bytesRead === 0) break;
    got += bytesRead;
  }
  return buffer.subarray(0, got);
}
