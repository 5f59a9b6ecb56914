import { closeSync, fstatSync, readSync } from 'node:fs';
import { crc32 } from 'node:zlib';
import { batchRows, MESSAGE_PREFIX_BYTES, metadataBytes, readBatch, readSchema, type ArrowSchema, type BatchLayout } from '../../../core/tracefile/arrow/message.ts';
import type { BatchEntry } from '../../../core/tracefile/arrow/batch-table.ts';
import type { SampleBlock } from '../../../core/trace.ts';
import { openPlainSync } from '../files/plain-file.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.samplesFile;

/** Largest message read whole. Ours have 130 kB; a table written in one piece by another program is read in slices of rows instead. */
export const MAX_WHOLE_BATCH_BYTES = 16 << 20;
/** Rows of a slice of such a table: 1 MB at 16 bytes a row. */
const SLICE_ROWS = 65_536;

/** Read ahead at most: with what is read from it and kept, a block holds on to so much. */
const MAX_AHEAD_BYTES = 1 << 20;

/** One message found in the file: where it is, and how its columns lie in it. */
export interface FoundBatch {
  readonly offset: number;
  readonly bytes: number;
  readonly bodyAt: number;
  readonly layout: BatchLayout;
}

type NextMessage = FoundBatch | { readonly end: 'stream-end' | 'cut' | 'damaged'; readonly text: string };

/**
 * A samples file open for reading. Positions and lengths come from the file's own bytes, so each is checked against the file's size before it is used,
 * and nothing larger than a slice is ever asked for. Reads are synchronous: one costs microseconds where a round through the thread pool costs tens.
 */
export class SamplesFile {
  readonly path: string;
  readonly schema: ArrowSchema;
  /** first byte after the schema message */
  readonly dataAt: number;
  readonly #fd: number;
  #knownBytes = 0;
  #ahead: Uint8Array<ArrayBuffer> = new Uint8Array(0);
  #aheadAt = 0;
  #passing = false;
  #lend = false;
  #scratch: Uint8Array<ArrayBuffer> | null = null;

  private constructor(path: string, fd: number, schema: ArrowSchema, dataAt: number) {
    this.path = path;
    this.#fd = fd;
    this.schema = schema;
    this.dataAt = dataAt;
  }

  /** Throws StoreError when it cannot be opened or is no Arrow stream of samples. */
  static open(path: string): SamplesFile {
    let fd: number;
    try {
      fd = openPlainSync(path);
    } catch (error) {
      throw explainError(error, words.open(path));
    }
    try {
      const head = readAt(fd, 0, MESSAGE_PREFIX_BYTES);
      const length = head.byteLength < MESSAGE_PREFIX_BYTES ? -1 : metadataBytes(head);
      if (length <= 0) throw new StoreError('wrong-format', words.isNoArrowStream(path, describeHead(head)));
      const metadata = readAt(fd, MESSAGE_PREFIX_BYTES, length);
      if (metadata.byteLength < length) throw new StoreError('cut-short', words.endsInsideItsFirst(path));
      const schema = readSchema(metadata);
      if ('code' in schema) throw new StoreError(schema.code, `${path}: ${schema.text}`);
      return new SamplesFile(path, fd, schema, MESSAGE_PREFIX_BYTES + length);
    } catch (error) {
      closeSync(fd);
      throw explainError(error, words.read(path));
    }
  }

  size(): number {
    this.#knownBytes = fstatSync(this.#fd).size;
    return this.#knownBytes;
  }

  /** Whether the file reaches so far; asks the system only when it was shorter at the last look. */
  #reaches(end: number): boolean {
    return end <= this.#knownBytes || end <= this.size();
  }

  /**
   * Unless `bytes` from `offset` are in memory already, reads them and as much of what follows up to `end` as a piece holds. Neighbouring batches are then served from
   * memory; a read each would cost most of the time.
   * @param passing the caller is done with a block before it asks for the next: the same piece of memory is used again, which saves half the time
   */
  readAhead(offset: number, bytes: number, end: number, passing: boolean): void {
    if (passing === this.#passing && offset >= this.#aheadAt && offset + bytes <= this.#aheadAt + this.#ahead.length) return;
    const length = Math.min(end - offset, MAX_AHEAD_BYTES);
    // an index that lies can put the last batch before the first: then each is read by itself, and refused by itself
    if (!(length > 0)) return;
    if (passing) this.#scratch ??= new Uint8Array(MAX_AHEAD_BYTES);
    this.#ahead = readInto(this.#fd, offset, passing ? this.#scratch!.subarray(0, length) : new Uint8Array(length));
    this.#aheadAt = offset;
    this.#passing = passing;
  }

  /** The message at `offset`, which must end before `limit`. */
  messageAt(offset: number, limit: number): NextMessage {
    const fileBytes = this.#reaches(limit) ? limit : this.#knownBytes;
    if (!(offset >= 0) || !Number.isInteger(offset)) return { end: 'damaged', text: words.noMessageBeginsWhere };
    if (offset === fileBytes) return { end: 'cut', text: words.theStreamHasNo };
    if (offset + MESSAGE_PREFIX_BYTES > fileBytes) return { end: 'cut', text: words.theFileEndsInside };
    const length = metadataBytes(readAt(this.#fd, offset, MESSAGE_PREFIX_BYTES));
    if (length === 0) return { end: 'stream-end', text: '' };
    if (length < 0) return { end: 'damaged', text: words.noMessageBeginsWhereOne };
    if (offset + MESSAGE_PREFIX_BYTES + length > fileBytes) return { end: 'cut', text: words.theFileEndsInside };
    const layout = readBatch(readAt(this.#fd, offset + MESSAGE_PREFIX_BYTES, length), this.schema);
    if (typeof layout === 'string') return { end: 'damaged', text: layout };
    const bodyAt = offset + MESSAGE_PREFIX_BYTES + length;
    if (bodyAt + layout.bodyBytes > fileBytes) return { end: 'cut', text: words.theFileEndsInside };
    return { offset, bytes: MESSAGE_PREFIX_BYTES + length + layout.bodyBytes, bodyAt, layout };
  }

  /** Rows of a batch in pieces small enough for memory; one piece for batches of our own. The arrays are the caller's. */
  *rows(batch: FoundBatch): Generator<SampleBlock> {
    const { layout, bodyAt } = batch;
    if (layout.bodyBytes <= MAX_WHOLE_BATCH_BYTES) {
      yield batchRows(this.bytesAt(bodyAt, layout.bodyBytes), layout);
      return;
    }
    for (let from = 0; from < layout.rows; from += SLICE_ROWS) yield this.#slice(batch, from, Math.min(SLICE_ROWS, layout.rows - from));
  }

  #slice({ layout, bodyAt }: FoundBatch, from: number, rows: number): SampleBlock {
    const column = (at: number, bytes: number): Uint8Array<ArrayBuffer> => this.bytesAt(bodyAt + at + from * bytes, rows * bytes);
    const time = column(layout.timeAt, layout.timeBytes);
    const current = column(layout.currentAt, layout.currentBytes);
    const voltage = layout.voltageAt < 0 ? null : column(layout.voltageAt, layout.voltageBytes);
    const joined = new Uint8Array(time.length + current.length + (voltage?.length ?? 0));
    joined.set(time);
    joined.set(current, time.length);
    if (voltage !== null) joined.set(voltage, time.length + current.length);
    return batchRows(joined, { ...layout, rows, bodyBytes: joined.length, timeAt: 0, currentAt: time.length, voltageAt: voltage === null ? -1 : time.length + current.length });
  }

  /** Rows of an index entry; a sentence's end when the batch is not what the index says. Batches of our own are checked against their CRC-32 unless `checked` says that they were. `lend`: the rows are only looked at until the next reading. */
  entryRows(entry: BatchEntry, lend = false, checked = false): SampleBlock | string {
    this.#lend = lend;
    if (!(entry.offset >= this.dataAt) || !this.#reaches(entry.offset + entry.bytes)) return words.theFileIsShorter;
    if (entry.bytes <= MAX_WHOLE_BATCH_BYTES) {
      const bytes = this.bytesAt(entry.offset, entry.bytes);
      if (!checked && crc32(bytes) !== entry.crc32) return words.itsBytesHaveChanged;
      const length = entry.bytes < MESSAGE_PREFIX_BYTES ? -1 : metadataBytes(new DataView(bytes.buffer, bytes.byteOffset, bytes.length));
      if (length <= 0 || MESSAGE_PREFIX_BYTES + length > bytes.length) return words.noMessageBeginsWhere;
      const layout = readBatch(new DataView(bytes.buffer, bytes.byteOffset + MESSAGE_PREFIX_BYTES, length), this.schema);
      if (typeof layout === 'string') return layout;
      const bodyAt = MESSAGE_PREFIX_BYTES + length;
      if (bodyAt + layout.bodyBytes > bytes.length || entry.fromRow + entry.rows > layout.rows) return words.itIsShorterThan;
      return batchRows(bytes.subarray(bodyAt), layout, entry.fromRow, entry.fromRow + entry.rows);
    }
    const found = this.messageAt(entry.offset, entry.offset + entry.bytes);
    if ('end' in found) return found.text;
    if (entry.fromRow + entry.rows > found.layout.rows || entry.rows > SLICE_ROWS) return words.itIsShorterThan;
    return this.#slice(found, entry.fromRow, entry.rows);
  }

  /** CRC-32 of a stretch of the file, in pieces of a megabyte. */
  crcOf(offset: number, bytes: number): number {
    let sum = 0;
    for (let at = 0; at < bytes; at += 1 << 20) sum = crc32(this.bytesAt(offset + at, Math.min(1 << 20, bytes - at)), sum);
    return sum;
  }

  /** Exactly `bytes` bytes; StoreError when the file has become shorter. */
  bytesAt(offset: number, bytes: number): Uint8Array<ArrayBuffer> {
    const at = offset - this.#aheadAt;
    if (at >= 0 && at + bytes <= this.#ahead.length && Number.isInteger(at)) {
      const part = this.#ahead.subarray(at, at + bytes);
      return this.#passing && !this.#lend ? part.slice() : part;
    }
    const inside = offset >= 0 && Number.isInteger(offset) && this.#reaches(offset + bytes);
    const view = readAt(this.#fd, inside ? offset : 0, inside ? bytes : 0);
    if (!inside || view.byteLength < bytes) throw new StoreError('cut-short', words.hasBecomeShorterWhile(this.path));
    return new Uint8Array(view.buffer, 0, bytes);
  }

  close(): void {
    closeSync(this.#fd);
  }
}

function readAt(fd: number, offset: number, bytes: number): DataView<ArrayBuffer> {
  const got = readInto(fd, offset, new Uint8Array(bytes));
  return new DataView(got.buffer, got.byteOffset, got.byteLength);
}

/** Fills `buffer` from the file; the answer is shorter where the file ends. */
function readInto(fd: number, offset: number, buffer: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  let got = 0;
  while (got < buffer.length) {
    const read = readSync(fd, buffer, got, buffer.length - got, offset + got);
    if (read === 0) break;
    got += read;
  }
  return buffer.subarray(0, got);
}

function describeHead(head: DataView): string {
  if (head.byteLength === 0) return words.itIsEmpty;
  const text = Array.from({ length: Math.min(6, head.byteLength) }, (_, i) => String.fromCharCode(head.getUint8(i))).join('');
  if (text === 'ARROW1') return words.itIsAnArrow;
  if (text.startsWith('PAR1')) return words.itIsAParquet;
  if (/^[\d#t"]/.test(text)) return words.itLooksLikeText;
  return words.itsFirstBytesAre;
}
