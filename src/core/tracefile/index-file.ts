import { BATCH_BYTES, BatchTable, type BatchEntry } from './arrow/batch-table.ts';
import { areNodes, Levels, NODE_SAMPLES, Nodes } from './window/levels.ts';

/**
 * The form of `samples.index`. Everything in it can be made again from `samples.arrows`; it exists so that a flipped bit is seen, a damaged batch can be
 * stepped over, and a chart of three days needs no look at the samples. Little-endian, every part a multiple of 8 bytes.
 *
 *   header, 32 bytes     "amptidx1" · u32 length of the samples file's schema message · u32 its CRC-32 · u32 CRC-32 of these 16 bytes · 12 zero
 *   per batch, appended when the batch has been written:
 *     56 bytes           u32 "ABLK" · u32 CRC-32 of the rest of this entry, nodes included · f64 offset of the batch in the samples file · u32 its length ·
 *                        u32 its CRC-32 · u32 rows · u32 flags (1 voltage, 2 gap before) · f64 first time · f64 last time · u32 nodes · u32 first row
 *     40 bytes a node    level 0, 64 samples each: f64 first time · f64 last time · f32 min, max, mean of current · f32 min, max, mean of voltage (NaN without)
 *   once ended:
 *     summary            u32 "ASUM" · u32 CRC-32 of the rest · f64 end of the last batch in the samples file · u32 batches · u32 levels above level 0 ·
 *                        the batch table by columns · per level: u32 nodes · u32 0 · its columns (see below, in the order they are written)
 *     trailer, 24 bytes  u32 "AEND" · u32 CRC-32 of the rest · f64 offset of the summary · f64 its length
 *
 * CRC-32 is that of ISO 3309 (zip, PNG). It is handed in by the caller, because the platform has it a dozen times faster than plain code.
 */
type Crc32 = (bytes: Uint8Array, before?: number) => number;

export const INDEX_HEADER_BYTES = 32;
export const ENTRY_BYTES = 56;
export const NODE_BYTES = 40;
export const TRAILER_BYTES = 24;
/** Nodes of the longest batch in files of our own are 128; of a slice of a foreign one 1024. */
export const MAX_ENTRY_NODES = 4096;

const MAGIC = [0x61, 0x6d, 0x70, 0x74, 0x69, 0x64, 0x78, 0x31];
const BLOCK = 0x4b4c4241;
const SUMMARY = 0x4d555341;
const END = 0x444e4541;

export function encodeIndexHeader(schemaBytes: number, schemaCrc: number, crc32: Crc32): Uint8Array {
  const bytes = new Uint8Array(INDEX_HEADER_BYTES);
  bytes.set(MAGIC);
  const view = new DataView(bytes.buffer);
  view.setUint32(8, schemaBytes, true);
  view.setUint32(12, schemaCrc, true);
  view.setUint32(16, crc32(bytes.subarray(0, 16)), true);
  return bytes;
}

/** Length and CRC-32 of the schema message the index was made for; null when this is no index. */
export function decodeIndexHeader(bytes: Uint8Array, crc32: Crc32): { schemaBytes: number; schemaCrc: number } | null {
  if (bytes.length < INDEX_HEADER_BYTES || MAGIC.some((byte, at) => bytes[at] !== byte)) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  if (view.getUint32(16, true) !== crc32(bytes.subarray(0, 16)) || bytes.subarray(20, INDEX_HEADER_BYTES).some((byte) => byte !== 0)) return null;
  return { schemaBytes: view.getUint32(8, true), schemaCrc: view.getUint32(12, true) };
}

/** One batch and its level-0 nodes `[startIndex, endIndex)` of `nodes`. */
export function encodeEntry(entry: BatchEntry, nodes: Nodes, startIndex: number, endIndex: number, crc32: Crc32): Uint8Array {
  const bytes = new Uint8Array(ENTRY_BYTES + NODE_BYTES * (endIndex - startIndex));
  const view = new DataView(bytes.buffer);
  view.setUint32(0, BLOCK, true);
  view.setFloat64(8, entry.offset, true);
  view.setUint32(16, entry.bytes, true);
  view.setUint32(20, entry.crc32, true);
  view.setUint32(24, entry.rows, true);
  view.setUint32(28, (entry.hasVoltage ? 1 : 0) | (entry.gapBefore ? 2 : 0), true);
  view.setFloat64(32, entry.firstS, true);
  view.setFloat64(40, entry.lastS, true);
  view.setUint32(48, endIndex - startIndex, true);
  view.setUint32(52, entry.fromRow, true);
  let at = ENTRY_BYTES;
  for (let i = startIndex; i < endIndex; i++, at += NODE_BYTES) {
    view.setFloat64(at, nodes.firstS[i], true);
    view.setFloat64(at + 8, nodes.lastS[i], true);
    view.setFloat32(at + 16, nodes.lowA[i], true);
    view.setFloat32(at + 20, nodes.highA[i], true);
    view.setFloat32(at + 24, nodes.meanA[i], true);
    view.setFloat32(at + 28, nodes.lowV[i], true);
    view.setFloat32(at + 32, nodes.highV[i], true);
    view.setFloat32(at + 36, nodes.meanV[i], true);
  }
  view.setUint32(4, crc32(bytes.subarray(8)), true);
  return bytes;
}

/** Length of the entry at `at`, from its first 56 bytes; 0 when none begins there. */
export function entryBytes(bytes: Uint8Array, at: number): number {
  if (at + ENTRY_BYTES > bytes.length) return 0;
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const nodes = view.getUint32(at + 48, true);
  return view.getUint32(at, true) !== BLOCK || nodes > MAX_ENTRY_NODES || nodes !== Math.ceil(view.getUint32(at + 24, true) / NODE_SAMPLES) ? 0 : ENTRY_BYTES + NODE_BYTES * nodes;
}

/** The entry at `at` of `length` bytes; its nodes are added to `nodes`. Null when its CRC-32 does not fit, or its nodes are of no samples. `fileAt` is where `bytes[0]` lies in the index file. */
export function decodeEntry(bytes: Uint8Array, at: number, length: number, fileAt: number, nodes: Nodes, crc32: Crc32): BatchEntry | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  if (view.getUint32(at + 4, true) !== crc32(bytes.subarray(at + 8, at + length))) return null;
  const rows = view.getUint32(at + 24, true);
  const flags = view.getUint32(at + 28, true);
  const fromIndex = nodes.length;
  readNodes(view, at + ENTRY_BYTES, (length - ENTRY_BYTES) / NODE_BYTES, rows, nodes);
  if (!areNodes(nodes, fromIndex, nodes.length)) return null;
  return {
    offset: view.getFloat64(at + 8, true),
    bytes: view.getUint32(at + 16, true),
    crc32: view.getUint32(at + 20, true),
    fromRow: view.getUint32(at + 52, true),
    rows,
    firstS: view.getFloat64(at + 32, true),
    lastS: view.getFloat64(at + 40, true),
    hasVoltage: (flags & 1) !== 0,
    gapBefore: (flags & 2) !== 0,
    nodesAt: fileAt + at + ENTRY_BYTES,
  };
}

/** Level-0 nodes of a batch of `rows` samples, as they lie in the index file. */
function readNodes(view: DataView, at: number, count: number, rows: number, nodes: Nodes): void {
  for (let k = 0; k < count; k++, at += NODE_BYTES) {
    const i = nodes.grow();
    nodes.firstS[i] = view.getFloat64(at, true);
    nodes.lastS[i] = view.getFloat64(at + 8, true);
    nodes.count[i] = Math.min(NODE_SAMPLES, rows - NODE_SAMPLES * k);
    nodes.lowA[i] = view.getFloat32(at + 16, true);
    nodes.highA[i] = view.getFloat32(at + 20, true);
    nodes.meanA[i] = view.getFloat32(at + 24, true);
    nodes.lowV[i] = view.getFloat32(at + 28, true);
    nodes.highV[i] = view.getFloat32(at + 32, true);
    nodes.meanV[i] = view.getFloat32(at + 36, true);
  }
}

type Column = Float64Array | Float32Array | Uint32Array | Uint8Array;

/** Columns of the summary in file order; one list for writing and reading. */
function tableColumns(table: BatchTable): Column[] {
  return [table.offset, table.firstS, table.lastS, table.nodesAt, table.bytes, table.crc32, table.fromRow, table.rows, table.flags];
}

function nodeColumns(nodes: Nodes): Column[] {
  return [nodes.firstS, nodes.lastS, nodes.count, nodes.lowA, nodes.highA, nodes.meanA, nodes.lowV, nodes.highV, nodes.meanV];
}

/** Summary and trailer as pieces to be appended at `fileAt` of the index file. */
export function encodeSummary(table: BatchTable, levels: Levels, samplesEnd: number, fileAt: number, crc32: Crc32): Uint8Array[] {
  const head = new Uint8Array(24);
  const headView = new DataView(head.buffer);
  headView.setUint32(0, SUMMARY, true);
  headView.setFloat64(8, samplesEnd, true);
  headView.setUint32(16, table.length, true);
  headView.setUint32(20, levels.above.length, true);
  const parts: Uint8Array[] = [head];
  const put = (columns: readonly Column[], length: number): void => {
    for (const column of columns) parts.push(padded(new Uint8Array(column.buffer, 0, length * column.BYTES_PER_ELEMENT)));
  };
  put(tableColumns(table), table.length);
  for (const level of levels.above) {
    parts.push(new Uint8Array(Uint32Array.of(level.length, 0).buffer));
    put(nodeColumns(level), level.length);
  }
  let sum = crc32(head.subarray(8));
  let length = head.length;
  for (const part of parts.slice(1)) {
    sum = crc32(part, sum);
    length += part.length;
  }
  headView.setUint32(4, sum, true);
  const trailer = new Uint8Array(TRAILER_BYTES);
  const view = new DataView(trailer.buffer);
  view.setUint32(0, END, true);
  view.setFloat64(8, fileAt, true);
  view.setFloat64(16, length, true);
  view.setUint32(4, crc32(trailer.subarray(8)), true);
  return [...parts, trailer];
}

/** Where the summary lies, from the file's last 24 bytes; null when it has none. */
export function decodeTrailer(bytes: Uint8Array, fileBytes: number, crc32: Crc32): { at: number; bytes: number } | null {
  if (bytes.length < TRAILER_BYTES) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  if (view.getUint32(0, true) !== END || view.getUint32(4, true) !== crc32(bytes.subarray(8, TRAILER_BYTES))) return null;
  const at = view.getFloat64(8, true);
  const length = view.getFloat64(16, true);
  // a checksum can be right over numbers that are no place in a file
  return Number.isInteger(at) && at >= INDEX_HEADER_BYTES && length >= 24 && at + length === fileBytes - TRAILER_BYTES ? { at, bytes: length } : null;
}

/** Reads a summary; null when it is damaged. Counts are checked against the bytes there are before anything is made. */
export function decodeSummary(bytes: Uint8Array, crc32: Crc32): { table: BatchTable; levels: Levels; samplesEnd: number } | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  if (view.getUint32(0, true) !== SUMMARY || view.getUint32(4, true) !== crc32(bytes.subarray(8))) return null;
  const batches = view.getUint32(16, true);
  const levelCount = view.getUint32(20, true);
  let at = 24;
  const copyInto = (columns: readonly Column[], length: number): boolean => {
    for (const column of columns) {
      const size = length * column.BYTES_PER_ELEMENT;
      if (at + size > bytes.length) return false;
      new Uint8Array(column.buffer).set(bytes.subarray(at, at + size));
      at += size + ((8 - (size % 8)) % 8);
    }
    return true;
  };
  if (batches * BATCH_BYTES > bytes.length || levelCount > 16) return null;
  const table = new BatchTable();
  table.reserve(batches);
  if (!copyInto(tableColumns(table), batches)) return null;
  table.length = batches;
  for (let i = 0; i < batches; i++) {
    if (table.rows[i] > MAX_ENTRY_NODES * NODE_SAMPLES || !isPlace(table.offset[i]) || !(table.nodesAt[i] === -1 || isPlace(table.nodesAt[i]))) return null;
    table.samples += table.rows[i];
  }
  const above: Nodes[] = [];
  for (let k = 0; k < levelCount; k++) {
    if (at + 8 > bytes.length) return null;
    const length = view.getUint32(at, true);
    at += 8;
    if (length * 44 > bytes.length) return null;
    const level = new Nodes();
    level.reserve(length);
    if (!copyInto(nodeColumns(level), length)) return null;
    level.length = length;
    if (!areNodes(level, 0, length)) return null;
    above.push(level);
  }
  const levels = new Levels();
  levels.adopt(above, 0);
  return { table, levels, samplesEnd: view.getFloat64(8, true) };
}

function isPlace(at: number): boolean {
  return Number.isSafeInteger(at) && at >= 0;
}

function padded(bytes: Uint8Array): Uint8Array {
  if (bytes.length % 8 === 0) return bytes;
  const wider = new Uint8Array(bytes.length + 8 - (bytes.length % 8));
  wider.set(bytes);
  return wider;
}
