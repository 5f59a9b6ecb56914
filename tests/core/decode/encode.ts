import { crc16OfBytes } from '../../../src/core/decode/crc16.ts';

/** The base64 text of counts (RFC 4648, section 4), as a logger sends them: int16, little-endian. */
export function encodeInt16(counts: Int16Array): string {
  return Buffer.from(counts.buffer, counts.byteOffset, counts.byteLength).toString('base64');
}

/** Four upper-case hex digits, as they are after the `*` of a framed line. */
export function crc16Hex(body: string): string {
  const bytes = Buffer.from(body, 'latin1');
  return crc16OfBytes(bytes, 0, bytes.length).toString(16).toUpperCase().padStart(4, '0');
}

/** A line of a logger from its first character and body, line end left out. */
export function frameLine(first: '#' | '@' | '!', body: string): string {
  return `${first}${body}*${crc16Hex(body)}`;
}
