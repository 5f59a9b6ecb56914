/**
 * Makes zips by hand, whose directories can say what is not so. The records of a zip file (PKWARE, APPNOTE.TXT 6.3.10), with the 64-bit extension for what does not fit 32 bits: three days at 1 kS/s are 4.2 GB. Numbers are little-endian.
 * An entry is written before its size is known, so its sizes and CRC-32 follow it (4.3.9); readers find it by the directory at the end.
 */
export interface ZipEntry {
  readonly name: string;
  /** 0 stored, 8 DEFLATE */
  readonly method: number;
  readonly flags: number;
  readonly crc32: number;
  readonly packedBytes: number;
  readonly bytes: number;
  /** of its local header */
  readonly offset: number;
  /** written with 64-bit sizes whatever they are */
  readonly wide: boolean;
}

export const DEFLATED = 8;
/** 4.4.4: sizes follow the data, names are UTF-8 */
export const STREAMED_UTF8 = 0x0808;
const LOCAL_BYTES = 30;

const LOCAL = 0x04034b50;
const FOLLOWING = 0x08074b50;
const CENTRAL = 0x02014b50;
const END = 0x06054b50;
const WIDE_END = 0x06064b50;
const WIDE_LOCATOR = 0x07064b50;
const WIDE_EXTRA = 0x0001;
const NEEDS_DEFLATE = 20;
const NEEDS_WIDE = 45;
/** "read it in the 64-bit field" */
const ELSEWHERE = 0xffff_ffff;
/** 1 January 1980, the zero of DOS dates: trace.json has the real time */
const NO_DATE = 0x0021;

/** The header before an entry's bytes. */
export function localHeader(name: string, wide: boolean): Uint8Array {
  const text = new TextEncoder().encode(name);
  const bytes = new Uint8Array(LOCAL_BYTES + text.length + (wide ? 20 : 0));
  const view = new DataView(bytes.buffer);
  view.setUint32(0, LOCAL, true);
  view.setUint16(4, wide ? NEEDS_WIDE : NEEDS_DEFLATE, true);
  view.setUint16(6, STREAMED_UTF8, true);
  view.setUint16(8, DEFLATED, true);
  view.setUint16(12, NO_DATE, true);
  if (wide) view.setUint32(18, ELSEWHERE, true);
  if (wide) view.setUint32(22, ELSEWHERE, true);
  view.setUint16(26, text.length, true);
  view.setUint16(28, wide ? 20 : 0, true);
  bytes.set(text, LOCAL_BYTES);
  if (wide) view.setUint16(LOCAL_BYTES + text.length, WIDE_EXTRA, true);
  if (wide) view.setUint16(LOCAL_BYTES + text.length + 2, 16, true);
  return bytes;
}

/** The descriptor after them. */
export function dataDescriptor({ crc32, packedBytes, bytes, wide }: Pick<ZipEntry, 'crc32' | 'packedBytes' | 'bytes' | 'wide'>): Uint8Array {
  const view = new DataView(new ArrayBuffer(wide ? 24 : 16));
  view.setUint32(0, FOLLOWING, true);
  view.setUint32(4, crc32, true);
  if (wide) putWide(view, 8, packedBytes);
  else view.setUint32(8, packedBytes, true);
  if (wide) putWide(view, 16, bytes);
  else view.setUint32(12, bytes, true);
  return new Uint8Array(view.buffer);
}

/** The directory and the end, to be written at `offset`. */
export function zipEnd(entries: readonly ZipEntry[], offset: number): Uint8Array[] {
  const parts = entries.map(centralHeader);
  const length = parts.reduce((sum, part) => sum + part.length, 0);
  if (offset >= ELSEWHERE || length >= ELSEWHERE || entries.length >= 0xffff) {
    const view = new DataView(new ArrayBuffer(56 + 20));
    view.setUint32(0, WIDE_END, true);
    putWide(view, 4, 44);
    view.setUint16(12, NEEDS_WIDE, true);
    view.setUint16(14, NEEDS_WIDE, true);
    putWide(view, 24, entries.length);
    putWide(view, 32, entries.length);
    putWide(view, 40, length);
    putWide(view, 48, offset);
    view.setUint32(56, WIDE_LOCATOR, true);
    putWide(view, 64, offset + length);
    view.setUint32(72, 1, true);
    parts.push(new Uint8Array(view.buffer));
  }
  const view = new DataView(new ArrayBuffer(22));
  view.setUint32(0, END, true);
  view.setUint16(8, Math.min(0xffff, entries.length), true);
  view.setUint16(10, Math.min(0xffff, entries.length), true);
  view.setUint32(12, Math.min(ELSEWHERE, length), true);
  view.setUint32(16, Math.min(ELSEWHERE, offset), true);
  parts.push(new Uint8Array(view.buffer));
  return parts;
}

function centralHeader(entry: ZipEntry): Uint8Array {
  const text = new TextEncoder().encode(entry.name);
  const wide = [entry.bytes, entry.packedBytes, entry.offset].map((value, at) => (value >= ELSEWHERE || (entry.wide && at < 2) ? value : null));
  const fields = wide.filter((value) => value !== null);
  const extra = fields.length === 0 ? 0 : 4 + 8 * fields.length;
  const bytes = new Uint8Array(46 + text.length + extra);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, CENTRAL, true);
  view.setUint16(4, NEEDS_WIDE, true);
  view.setUint16(6, extra > 0 ? NEEDS_WIDE : NEEDS_DEFLATE, true);
  view.setUint16(8, entry.flags, true);
  view.setUint16(10, entry.method, true);
  view.setUint16(14, NO_DATE, true);
  view.setUint32(16, entry.crc32, true);
  view.setUint32(20, wide[1] === null ? entry.packedBytes : ELSEWHERE, true);
  view.setUint32(24, wide[0] === null ? entry.bytes : ELSEWHERE, true);
  view.setUint16(28, text.length, true);
  view.setUint16(30, extra, true);
  view.setUint32(42, wide[2] === null ? entry.offset : ELSEWHERE, true);
  bytes.set(text, 46);
  if (extra > 0) {
    view.setUint16(46 + text.length, WIDE_EXTRA, true);
    view.setUint16(48 + text.length, extra - 4, true);
    for (const [at, value] of fields.entries()) putWide(view, 50 + text.length + 8 * at, value);
  }
  return bytes;
}

function putWide(view: DataView, at: number, value: number): void {
  view.setUint32(at, value % 2 ** 32, true);
  view.setUint32(at + 4, Math.floor(value / 2 ** 32), true);
}
