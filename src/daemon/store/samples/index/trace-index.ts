import { closeSync, fstatSync, readSync } from 'node:fs';
import { setImmediate } from 'node:timers/promises';
import { crc32 } from 'node:zlib';
import { BatchTable, type BatchEntry } from '../../../../core/tracefile/arrow/batch-table.ts';
import { decodeEntry, decodeIndexHeader, decodeSummary, decodeTrailer, ENTRY_BYTES, entryBytes, INDEX_HEADER_BYTES, MAX_ENTRY_NODES, NODE_BYTES, TRAILER_BYTES } from '../../../../core/tracefile/index-file.ts';
import { addBlockNodes, Levels, Nodes } from '../../../../core/tracefile/window/levels.ts';
import { IndexSink } from './sink.ts';
import { openPlainSync } from '../../files/plain-file.ts';
import type { SamplesFile } from '../samples-file.ts';
import { scanSamples, type ScanOptions } from './scan.ts';
import type { TraceIndex } from '../types.ts';

interface IndexOptions extends ScanOptions {
  /** put what was found out into the index file; only for captures nobody is writing to */
  readonly mayWrite: boolean;
  /** a capture that is being written: what its index does not say yet comes later (`extendIndex`) */
  readonly growing?: boolean;
}

/** A summary larger than this belongs to a trace of months; its entries are read one by one instead. */
const MAX_SUMMARY_BYTES = 1 << 30;
/** Read in one go: some milliseconds of work, and room for the longest entry. */
const CHUNK_BYTES = Math.max(1 << 20, ENTRY_BYTES + MAX_ENTRY_NODES * NODE_BYTES);
const STREAM_END_BYTES = 8;

/**
 * Reads `samples.index`, checks that it belongs to these samples, and finds out what it does not say (a batch written after it, all of it if it is missing,
 * stale or damaged) from the samples themselves.
 * @param indexPath null for a samples file by itself
 */
export async function loadIndex(file: SamplesFile, indexPath: string | null, options: IndexOptions): Promise<TraceIndex> {
  const size = file.size();
  const read = indexPath === null ? null : await readIndexFile(file, indexPath, size);
  if (read !== null && (read.sealed || options.growing === true)) return { ...read, indexEnd: read.validBytes, problems: [] };
  const table = read?.table ?? new BatchTable();
  const levels = read?.levels ?? new Levels();
  const known = table.length;
  const last = known - 1;
  const periodS = known > 0 && table.rows[last]! > 1 ? (table.lastS[last]! - table.firstS[last]!) / (table.rows[last]! - 1) : 0;
  const start = { offset: read?.samplesEnd ?? file.dataAt, lastS: known > 0 ? table.lastS[last]! : -Infinity, periodS };
  const sink = options.mayWrite && indexPath !== null ? await IndexSink.open(file, indexPath, read?.validBytes ?? 0) : null;
  const nodes = new Nodes();
  try {
    const end = await scanSamples(file, start, options, (entry, block) => {
      nodes.length = 0;
      addBlockNodes(block, nodes);
      levels.addBase(nodes);
      table.push({ ...entry, nodesAt: sink === null ? -1 : sink.add(entry, nodes) });
    });
    const index: TraceIndex = { table, levels, samplesEnd: end.wholeBytes, indexEnd: read?.validBytes ?? 0, problems: end.problems };
    if (sink !== null && !(await sink.seal(index))) table.nodesAt.fill(-1, known, table.length);
    return index;
  } catch (error) {
    sink?.abandon();
    throw error;
  }
}

/** Takes in what has been written since to a capture that grows; table and levels of `index` grow with it. */
export async function extendIndex(file: SamplesFile, indexPath: string, index: TraceIndex): Promise<TraceIndex> {
  const fd = openPlainSync(indexPath);
  try {
    const read = await readEntries(fd, { table: index.table, levels: index.levels, samplesEnd: index.samplesEnd, validBytes: index.indexEnd, sealed: false }, fstatSync(fd).size, file.size());
    return { ...index, samplesEnd: read.samplesEnd, indexEnd: read.validBytes };
  } finally {
    closeSync(fd);
  }
}

interface ReadIndex {
  readonly table: BatchTable;
  readonly levels: Levels;
  readonly samplesEnd: number;
  /** the index file is whole up to here */
  readonly validBytes: number;
  /** it covers the whole samples file and has its summary */
  readonly sealed: boolean;
}

async function readIndexFile(file: SamplesFile, indexPath: string, samplesBytes: number): Promise<ReadIndex | null> {
  let fd: number;
  try {
    fd = openPlainSync(indexPath);
  } catch {
    return null;
  }
  try {
    const size = fstatSync(fd).size;
    const header = decodeIndexHeader(read(fd, 0, INDEX_HEADER_BYTES), crc32);
    if (header === null || header.schemaBytes !== file.dataAt || header.schemaCrc !== file.crcOf(0, file.dataAt)) return null;
    const trailer = size < INDEX_HEADER_BYTES + TRAILER_BYTES ? null : decodeTrailer(read(fd, size - TRAILER_BYTES, TRAILER_BYTES), size, crc32);
    if (trailer !== null && trailer.bytes <= MAX_SUMMARY_BYTES) {
      const summary = decodeSummary(read(fd, trailer.at, trailer.bytes), crc32);
      if (summary !== null && coversAll(summary.samplesEnd, samplesBytes)) return { ...summary, validBytes: size, sealed: true };
    }
    return await readEntries(fd, { table: new BatchTable(), levels: new Levels(), samplesEnd: file.dataAt, validBytes: INDEX_HEADER_BYTES, sealed: false }, trailer === null ? size : trailer.at, samplesBytes);
  } catch {
    return null;
  } finally {
    closeSync(fd);
  }
}

/** The samples end with the last batch, or with the stream's end mark after it. */
function coversAll(samplesEnd: number, samplesBytes: number): boolean {
  return samplesBytes === samplesEnd || samplesBytes === samplesEnd + STREAM_END_BYTES;
}

/** Entry by entry up to the first that is not whole, does not follow on the one before, or lies outside the samples file. */
async function readEntries(fd: number, known: ReadIndex, endAt: number, samplesBytes: number): Promise<ReadIndex> {
  const { table, levels } = known;
  const nodes = new Nodes();
  let fileAt = known.validBytes;
  let { samplesEnd } = known;
  walking: while (fileAt < endAt) {
    const chunk = read(fd, fileAt, Math.min(CHUNK_BYTES, endAt - fileAt));
    let at = 0;
    for (;;) {
      const length = entryBytes(chunk, at);
      if (length === 0 || at + length > chunk.length) {
        if (at === 0) break walking;
        break;
      }
      nodes.length = 0;
      const entry = decodeEntry(chunk, at, length, fileAt, nodes, crc32);
      if (entry === null || !follows(table, entry, samplesEnd, samplesBytes)) {
        fileAt += at;
        break walking;
      }
      table.push(entry);
      levels.addBase(nodes);
      samplesEnd = entry.offset + entry.bytes;
      at += length;
      if (at === chunk.length) break;
    }
    fileAt += at;
    if (fileAt < endAt) await setImmediate();
  }
  return { table, levels, samplesEnd, validBytes: fileAt, sealed: false };
}

function follows(table: BatchTable, entry: BatchEntry, samplesEnd: number, samplesBytes: number): boolean {
  const last = table.length - 1;
  const sameBatch = last >= 0 && table.offset[last] === entry.offset && entry.fromRow === table.fromRow[last]! + table.rows[last]!;
  if (!sameBatch && (entry.offset !== samplesEnd || entry.fromRow !== 0)) return false;
  return entry.bytes > 0 && entry.rows > 0 && entry.offset + entry.bytes <= samplesBytes && entry.lastS >= entry.firstS && (last < 0 || entry.firstS > table.lastS[last]!);
}

/** True when every byte of an index file is what was written. */
export function indexIsWhole(indexPath: string): boolean {
  const fd = openPlainSync(indexPath);
  try {
    const size = fstatSync(fd).size;
    if (decodeIndexHeader(read(fd, 0, INDEX_HEADER_BYTES), crc32) === null) return false;
    const trailer = decodeTrailer(read(fd, Math.max(0, size - TRAILER_BYTES), TRAILER_BYTES), size, crc32);
    const endAt = trailer === null ? size : trailer.at;
    if (trailer !== null && decodeSummary(read(fd, trailer.at, trailer.bytes), crc32) === null) return false;
    let at = INDEX_HEADER_BYTES;
    const nodes = new Nodes();
    while (at < endAt) {
      const length = entryBytes(read(fd, at, Math.min(ENTRY_BYTES, endAt - at)), 0);
      if (length === 0 || at + length > endAt) return false;
      nodes.length = 0;
      if (decodeEntry(read(fd, at, length), 0, length, at, nodes, crc32) === null) return false;
      at += length;
    }
    return at === endAt;
  } finally {
    closeSync(fd);
  }
}

function read(fd: number, at: number, bytes: number): Uint8Array<ArrayBuffer> {
  const buffer = new Uint8Array(bytes);
  let got = 0;
  while (got < bytes) {
    const count = readSync(fd, buffer, got, bytes - got, at + got);
    if (count === 0) break;
    got += count;
  }
  return buffer.subarray(0, got);
}
