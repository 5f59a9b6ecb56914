import type { Problem } from '../../problems.ts';
import type { SampleBlock } from '../../trace.ts';
import { FlatTable, readLong } from './flat.ts';
import { language } from '../../present/language.ts';

const words = language.files.arrowMessage;

/** The fixed eight bytes before each message: a continuation mark and the metadata's length (Arrow columnar format, "Encapsulated message format"). */
export const MESSAGE_PREFIX_BYTES = 8;
const CONTINUATION = 0xffffffff;
/** Metadata of a message of three columns has about 250 bytes; a stranger's table of a thousand columns still fits. */
const MAX_METADATA_BYTES = 1 << 20;
/** Columns beside ours that are stepped over. */
const MAX_COLUMNS = 1024;

const HEADER = { schema: 1, batch: 3 } as const;
const FLOATING_POINT = 3;
const PRECISION = { single: 1, double: 2 } as const;

/** Where a wanted column's buffers are in the list of buffers of every batch. */
interface ColumnPlace {
  readonly node: number;
  readonly buffer: number;
  readonly bytes: 4 | 8;
}

export interface ArrowSchema {
  readonly time: ColumnPlace;
  readonly current: ColumnPlace;
  readonly voltage: ColumnPlace | null;
  readonly nodes: number;
  readonly buffers: number;
}

/** Positions within a message's body, bytes. */
export interface BatchLayout {
  readonly rows: number;
  readonly bodyBytes: number;
  readonly timeAt: number;
  readonly timeBytes: 4 | 8;
  readonly currentAt: number;
  readonly currentBytes: 4 | 8;
  /** -1: absent in this batch */
  readonly voltageAt: number;
  readonly voltageBytes: 4 | 8;
}

/** Length of the metadata after the prefix; 0 = end of stream; -1 = these are not the first bytes of a message. */
export function metadataBytes(prefix: DataView): number {
  if (prefix.getUint32(0, true) !== CONTINUATION) return -1;
  const length = prefix.getInt32(4, true);
  return length < 0 || length > MAX_METADATA_BYTES || length % 8 !== 0 ? -1 : length;
}

/** Reads the metadata of the first message: which buffers are time_s, current_a and voltage_v. */
export function readSchema(metadata: DataView): ArrowSchema | Problem {
  try {
    const message = FlatTable.root(metadata);
    const schema = message.byte(1) === HEADER.schema ? message.table(2) : null;
    if (schema === null) return wrong(words.itDoesNotBegin);
    if (schema.short(0) !== 0) return wrong(words.itsNumbersAreBigEndian);
    const fields = schema.vector(1, 4);
    if (fields.length > MAX_COLUMNS) return wrong(words.itHasColumns(fields.length));
    const found = new Map<string, ColumnPlace>();
    let buffers = 0;
    for (let i = 0; i < fields.length; i++) {
      const at = fields.at + 4 * i;
      const field = new FlatTable(metadata, at + metadata.getUint32(at, true));
      const name = field.string(0);
      const type = field.byte(2);
      const precision = type === FLOATING_POINT ? (field.table(3)?.short(0) ?? 0) : 0;
      const wanted = name === 'time_s' || name === 'current_a' || name === 'voltage_v';
      const width = bufferCount(type);
      if (field.has(4) || width < 0 || field.vector(5, 4).length > 0) return wrong(words.itsColumnIsOf(name));
      if (wanted) {
        if (precision !== PRECISION.single && precision !== PRECISION.double) return wrong(words.itsColumnIsNot(name));
        if (found.has(name)) return wrong(words.itHasTheColumnTwice(name));
        found.set(name, { node: i, buffer: buffers, bytes: precision === PRECISION.single ? 4 : 8 });
      }
      buffers += width;
    }
    const time = found.get('time_s');
    const current = found.get('current_a');
    if (time === undefined || current === undefined) {
      return { code: 'no-current-column', text: words.theArrowStreamHas };
    }
    return { time, current, voltage: found.get('voltage_v') ?? null, nodes: fields.length, buffers };
  } catch (error) {
    if (error instanceof RangeError) return wrong(words.itsSchemaIsDamaged);
    throw error;
  }
}

/** Reads the metadata of a record batch; a sentence's end ("its …") when it cannot be used. Every position returned lies inside the body. */
export function readBatch(metadata: DataView, schema: ArrowSchema): BatchLayout | string {
  try {
    const message = FlatTable.root(metadata);
    const batch = message.byte(1) === HEADER.batch ? message.table(2) : null;
    if (batch === null) return words.itIsNotA;
    if (batch.has(3)) return words.itIsCompressedWrite;
    const bodyBytes = message.long(3);
    const rows = batch.long(0);
    const nodes = batch.vector(1, 16);
    const buffers = batch.vector(2, 16);
    if (nodes.length !== schema.nodes || buffers.length !== schema.buffers) return words.itsColumnsAreNot;
    const place = (column: ColumnPlace): number => {
      const dataAt = buffers.at + 16 * (column.buffer + 1);
      const at = readLong(metadata, dataAt);
      if (readLong(metadata, nodes.at + 16 * column.node) !== rows) throw new RangeError(words.columnOfAnotherLength);
      if (rows * column.bytes > readLong(metadata, dataAt + 8) || at + rows * column.bytes > bodyBytes) throw new RangeError(words.columnOutsideItsMessage);
      return at;
    };
    const nulls = (column: ColumnPlace): number => readLong(metadata, nodes.at + 16 * column.node + 8);
    if (nulls(schema.time) > 0 || nulls(schema.current) > 0) return words.itHasRowsWithout;
    const { voltage } = schema;
    return {
      rows,
      bodyBytes,
      timeAt: place(schema.time),
      timeBytes: schema.time.bytes,
      currentAt: place(schema.current),
      currentBytes: schema.current.bytes,
      // one missing voltage makes the column absent for the whole batch: a Trace has no holes in a column
      voltageAt: voltage === null || nulls(voltage) > 0 ? -1 : place(voltage),
      voltageBytes: voltage?.bytes ?? 4,
    };
  } catch (error) {
    if (error instanceof RangeError) return words.itsLengthsDoNotFit;
    throw error;
  }
}

/** The rows `[fromRow, toRow)` of a batch's body as columns. */
export function batchRows(body: Uint8Array<ArrayBuffer>, layout: BatchLayout, fromRow = 0, toRow = layout.rows): SampleBlock {
  const timeS = doubles(body, layout.timeAt, layout.timeBytes, fromRow, toRow);
  const currentA = singles(body, layout.currentAt, layout.currentBytes, fromRow, toRow);
  return { timeS, currentA, voltageV: layout.voltageAt < 0 ? null : singles(body, layout.voltageAt, layout.voltageBytes, fromRow, toRow) };
}

function doubles(body: Uint8Array<ArrayBuffer>, at: number, bytes: 4 | 8, fromRow: number, toRow: number): Float64Array {
  const from = body.byteOffset + at + fromRow * bytes;
  const length = toRow - fromRow;
  if (bytes === 4) return Float64Array.from(new Float32Array(body.buffer.slice(from, from + 4 * length)));
  return from % 8 === 0 ? new Float64Array(body.buffer, from, length) : new Float64Array(body.buffer.slice(from, from + 8 * length));
}

function singles(body: Uint8Array<ArrayBuffer>, at: number, bytes: 4 | 8, fromRow: number, toRow: number): Float32Array {
  const from = body.byteOffset + at + fromRow * bytes;
  const length = toRow - fromRow;
  if (bytes === 8) return Float32Array.from(new Float64Array(body.buffer.slice(from, from + 8 * length)));
  return from % 4 === 0 ? new Float32Array(body.buffer, from, length) : new Float32Array(body.buffer.slice(from, from + 4 * length));
}

/** Says where a block breaks what a Trace promises (finite values, rising time); null when it is whole. */
export function blockFault(block: SampleBlock, afterS: number): string | null {
  const { timeS, currentA, voltageV } = block;
  let lastS = afterS;
  for (let i = 0; i < timeS.length; i++) {
    if (!(timeS[i] > lastS) || timeS[i] === Infinity) return words.timeDoesNotRise(i + 1, timeS[i], lastS);
    lastS = timeS[i];
    // a finite number minus itself is 0; NaN and infinity are not
    if (currentA[i] - currentA[i] !== 0) return words.rowHasNoCurrent(i + 1);
  }
  if (voltageV !== null) for (let i = 0; i < voltageV.length; i++) if (voltageV[i] - voltageV[i] !== 0) return words.rowHasNoVoltage(i + 1);
  return null;
}

/** Buffers that a column of this type has in a batch, -1 for nested and other kinds: Type union of Schema.fbs, "Buffer listing for each layout". */
function bufferCount(type: number): number {
  switch (type) {
    case 1: // null
      return 0;
    case 2: // int
    case FLOATING_POINT:
    case 6: // bool
    case 7: // decimal
    case 8: // date
    case 9: // time
    case 10: // timestamp
    case 18: // duration
      return 2;
    case 4: // binary
    case 5: // utf8
    case 19: // large binary
    case 20: // large utf8
      return 3;
    default:
      return -1;
  }
}

function wrong(why: string): Problem {
  return { code: 'wrong-format', text: words.thisArrowStreamCannot(why) };
}
