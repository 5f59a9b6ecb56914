import { createReadStream, createWriteStream, mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { crc32, createInflateRaw } from 'node:zlib';
import { getFileNameLowLevel, openPromise, type Entry, type ZipFile } from 'yauzl';
import { isPhotoName, MOST_PHOTOS } from '../../../core/tracefile/job-story.ts';
import { isSafeName } from '../files/names.ts';
import { openPlain } from '../files/plain-file.ts';
import { GAPS_FILE, JOB_FILE, MARKS_FILE, RECORD_FILE, SAMPLES_FILE } from '../files/record-file.ts';
import { checkCancelled, StoreError } from '../files/store-error.ts';
import { openTrace } from '../samples/reading/trace-reader.ts';
import type { Steps } from '../samples/types.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.unzip;

/** What a zip of traces may hold; anything else in it is stepped over. */
const TAKEN = new Set([SAMPLES_FILE, RECORD_FILE, MARKS_FILE, GAPS_FILE]);
const MAX_TRACES = 1000;
/** Entries looked at: three a trace, and what others put beside them. */
const MAX_ENTRIES = 100_000;
/** A recording shrinks to a half, one of a resting virtual vehicle to a twentieth; DEFLATE can reach a thousandth. */
const MAX_RATIO = 100;
const FREE_BYTES = 16 << 20;
/** APPNOTE 4.4.5 */
const DEFLATED = 8;
/** Bytes of a local header before its name (4.3.7). */
const LOCAL_BYTES = 30;

interface ZipEntry {
  readonly name: string;
  readonly entry: Entry;
}

export interface UnpackedTrace {
  readonly folder: string;
  readonly id: string;
}

interface Unpacked {
  readonly traces: readonly UnpackedTrace[];
  /** path of the job.json beside them, when the zip is that of a job */
  readonly job: string | null;
  /** photos of that job, each under its own name; not yet looked into */
  readonly photos: readonly string[];
}

interface Wanted extends ZipEntry {
  readonly path: string;
}

/**
 * Unpacks the traces of a zip into folders below `work`. Entries count only as `TRACE/samples.arrows`, `TRACE/trace.json` or `TRACE/marks.jsonl` with at most
 * one folder above, `JOB/job.json` and `JOB/photo-….jpg`; names never become paths unless they are safe. Throws StoreError for a zip that unpacks to far more
 * than it is, or holds no trace that opens, unless `jobAlone` takes a job without any.
 */
export async function unpackTraces(path: string, work: string, options: Steps & { readonly jobAlone?: boolean }): Promise<Unpacked> {
  // a pipe would be waited for
  await (await openPlain(path)).close();
  const zip = await openZip(path);
  try {
    const { wanted, traces, job, photos } = choose(await directory(zip), work, options.jobAlone === true);
    const limit = Math.max(FREE_BYTES, zip.fileSize * MAX_RATIO);
    const total = wanted.reduce((sum, { entry }) => sum + entry.uncompressedSize, 0);
    if (!(total <= limit)) throw tooMuch();
    refuseOverlaps(wanted);
    let done = 0;
    for (const one of wanted) {
      await unpack(zip, path, one, (bytes) => {
        done += bytes;
        checkCancelled(options.signal);
        options.progress?.(Math.min(1, done / Math.max(1, total)));
      });
    }
    if (traces.length === 0 && job === null && options.jobAlone !== true) throw new StoreError('wrong-format', words.theZipHoldsNo);
    // each is opened once, so that what comes in is known to be readable
    for (const trace of traces) await (await openTrace(trace.folder, { asRecorded: true }).catch((error: unknown) => Promise.reject(namedAsInZip(error, trace)))).close();
    return { traces, job, photos };
  } finally {
    zip.close();
  }
}

/** A file that cannot be read is called as in the zip, not by the folder it was unpacked into. */
function namedAsInZip(error: unknown, { folder, id }: UnpackedTrace): unknown {
  return error instanceof StoreError ? new StoreError(error.code, error.message.replaceAll(folder, id)) : error;
}

/** Names are decoded here (`decodeStrings` false): one that climbs out of its folder is stepped over, not a reason to refuse the rest. */
async function openZip(path: string): Promise<ZipFile> {
  try {
    return await openPromise(path, { lazyEntries: true, autoClose: false, decodeStrings: false, validateEntrySizes: false });
  } catch (error) {
    if (isOfSystem(error)) throw error;
    throw new StoreError('wrong-format', words.theFileIsNo);
  }
}

async function directory(zip: ZipFile): Promise<ZipEntry[]> {
  if (zip.entryCount > MAX_ENTRIES) throw new StoreError('too-large', words.theZipHoldsMore(MAX_ENTRIES));
  const entries: ZipEntry[] = [];
  try {
    for await (const entry of zip.eachEntry()) entries.push({ name: getFileNameLowLevel(entry.generalPurposeBitFlag, entry.fileNameRaw, entry.extraFields, true), entry });
  } catch (error) {
    if (isOfSystem(error)) throw error;
    throw new StoreError('wrong-format', words.theDirectoryOfThe);
  }
  return entries;
}

/** Errors of the disk have a code and a call; those of the zip's form have neither. */
function isOfSystem(error: unknown): boolean {
  return typeof (error as NodeJS.ErrnoException).syscall === 'string';
}

/** Entries that are taken, each with the path it goes to, and the folders made for them. */
function choose(entries: readonly ZipEntry[], work: string, jobAlone: boolean): Unpacked & { wanted: Wanted[] } {
  const folders = new Map<string, UnpackedTrace>();
  const wanted: Wanted[] = [];
  const jobs: ZipEntry[] = [];
  const pictures: ZipEntry[] = [];
  const taken = new Set<string>();
  for (const { name: path, entry } of entries) {
    const parts = path.split('/');
    const name = parts.pop() ?? '';
    if (parts.length === 0 || parts.some((part) => !isSafeName(part)) || taken.has(path)) continue;
    if (name === JOB_FILE && parts.length === 1) jobs.push({ name: path, entry });
    if (isPhotoName(name) && parts.length === 1 && pictures.length < MOST_PHOTOS) {
      taken.add(path);
      pictures.push({ name: path, entry });
    }
    if (parts.length > 2 || !TAKEN.has(name)) continue;
    taken.add(path);
    const key = parts.join('/');
    if (folders.size === MAX_TRACES && !folders.has(key)) throw new StoreError('too-large', words.theZipHoldsMoreThan(MAX_TRACES));
    const place = folders.get(key) ?? { folder: join(work, `trace-${folders.size}`), id: parts[parts.length - 1]! };
    folders.set(key, place);
    wanted.push({ name: path, entry, path: join(place.folder, name) });
  }
  for (const { folder } of folders.values()) mkdirSync(folder, { recursive: true });
  // traces of several jobs in one zip: no single job to make
  const job = jobs.length === 1 && (folders.size > 0 || jobAlone) ? join(work, JOB_FILE) : null;
  if (job === null) return { wanted, traces: [...folders.values()], job, photos: [] };
  mkdirSync(work, { recursive: true });
  wanted.push({ ...jobs[0]!, path: job });
  // of the job itself: those beside its job.json
  const beside = pictures.filter(({ name }) => name.slice(0, name.indexOf('/')) === jobs[0]!.name.slice(0, jobs[0]!.name.indexOf('/')));
  const photos = beside.map((one): Wanted => ({ ...one, path: join(work, one.name.slice(one.name.indexOf('/') + 1)) }));
  return { wanted: [...wanted, ...photos], traces: [...folders.values()], job, photos: photos.map(({ path }) => path) };
}

/** Entries that share bytes are the trick of bombs that stay small (Fifield, "A better zip bomb", WOOT 2019). */
function refuseOverlaps(wanted: readonly Wanted[]): void {
  const spans = [...wanted].sort((a, b) => a.entry.relativeOffsetOfLocalHeader - b.entry.relativeOffsetOfLocalHeader);
  for (const [i, { name, entry }] of spans.entries()) {
    const before = spans[i - 1]?.entry;
    if (before !== undefined && before.relativeOffsetOfLocalHeader + LOCAL_BYTES + before.compressedSize > entry.relativeOffsetOfLocalHeader) throw new StoreError('wrong-format', words.twoFilesOfThe(name));
  }
}

async function unpack(zip: ZipFile, path: string, { name, entry, path: to }: Wanted, onBytes: (bytes: number) => void): Promise<void> {
  const damaged = (why: string): StoreError => new StoreError('wrong-format', words.theZipIsDamaged(name, why));
  if (entry.isEncrypted()) throw new StoreError('wrong-format', words.isEncryptedUnpackThe(name));
  if (!entry.canDecodeFileData()) throw new StoreError('wrong-format', words.isPackedInA(name, entry.compressionMethod));
  const from = await fileDataStart(zip, entry, damaged);
  let sum = 0;
  let bytes = 0;
  async function* checked(chunks: AsyncIterable<Buffer>): AsyncGenerator<Buffer> {
    for await (const chunk of chunks) {
      sum = crc32(chunk, sum);
      bytes += chunk.length;
      if (bytes > entry.uncompressedSize) throw damaged(words.itHoldsMoreThan);
      onBytes(chunk.length);
      yield chunk;
    }
  }
  const packed = entry.compressedSize === 0 ? [] : createReadStream(path, { start: from, end: from + entry.compressedSize - 1, highWaterMark: 1 << 16 });
  try {
    if (entry.compressionMethod === DEFLATED) await pipeline(packed as AsyncIterable<Buffer>, createInflateRaw({ chunkSize: 1 << 17 }), checked, createWriteStream(to, { flags: 'wx' }));
    else await pipeline(packed as AsyncIterable<Buffer>, checked, createWriteStream(to, { flags: 'wx' }));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw code?.startsWith('Z_') === true || code === 'ERR__ERROR_FORMAT' ? damaged(words.itsPackedBytesMake) : error;
  }
  if (bytes !== entry.uncompressedSize || sum !== entry.crc32) throw damaged(words.itsCrc32Does);
}

/** The library checks the local header's mark, and that the bytes lie in the file. */
async function fileDataStart(zip: ZipFile, entry: Entry, damaged: (why: string) => StoreError): Promise<number> {
  try {
    return (await zip.readLocalFileHeaderPromise(entry, { minimal: true })).fileDataStart;
  } catch (error) {
    if (isOfSystem(error)) throw error;
    throw damaged(/overflows/.test(String(error)) ? words.theZipEndsIn : words.noFileBeginsWhere);
  }
}

function tooMuch(): StoreError {
  return new StoreError('too-large', words.theZipUnpacksTo(MAX_RATIO));
}
