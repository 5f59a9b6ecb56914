/** Value of each character code in base64 (RFC 4648 section 4), 255 where it is none. */
const VALUES = makeValues();

/**
 * Reads `count` little-endian int16 from base64 text that must hold exactly those bytes; padding may be left out. Returns null for any
 * other length, alphabet or left-over bit, so a damaged block gives nothing rather than something near.
 */
export function decodeInt16(line: string, startIndex: number, endIndex: number, count: number): Int16Array | null {
  const byteCount = count * 2;
  let end = endIndex;
  while (end > startIndex && endIndex - end < 2 && line.charCodeAt(end - 1) === 61) end -= 1;
  const textLength = end - startIndex;
  const padding = endIndex - end;
  if (textLength !== Math.ceil((byteCount * 4) / 3)) return null;
  if (padding !== 0 && (textLength + padding) % 4 !== 0) return null;
  const bytes = new Uint8Array(byteCount);
  let bits = 0;
  let held = 0;
  let at = 0;
  for (let i = startIndex; i < end; i += 1) {
    const code = line.charCodeAt(i);
    const value = code < 128 ? VALUES[code] : 255;
    if (value === 255) return null;
    held = ((held << 6) | value) & 0xffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      bytes[at] = (held >>> bits) & 0xff;
      at += 1;
    }
  }
  if (at !== byteCount || (held & ((1 << bits) - 1)) !== 0) return null;
  const counts = new Int16Array(count);
  for (let i = 0; i < count; i += 1) counts[i] = bytes[2 * i] | (bytes[2 * i + 1] << 8);
  return counts;
}

/** The base64 text of counts, as a logger sends them. */
export function encodeInt16(counts: Int16Array): string {
  const alphabet = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
  let text = '';
  let bits = 0;
  let held = 0;
  for (let i = 0; i < counts.length * 2; i += 1) {
    const byte = (i & 1) === 0 ? counts[i >> 1] & 0xff : (counts[i >> 1] >>> 8) & 0xff;
    held = (held << 8) | byte;
    bits += 8;
    while (bits >= 6) {
      bits -= 6;
      text += alphabet[(held >>> bits) & 63];
    }
    held &= (1 << bits) - 1;
  }
  if (bits > 0) text += alphabet[(held << (6 - bits)) & 63];
  return text + '='.repeat((4 - (text.length % 4)) % 4);
}

function makeValues(): Uint8Array {
  const values = new Uint8Array(128).fill(255);
  for (let i = 0; i < 26; i += 1) {
    values[65 + i] = i;
    values[97 + i] = 26 + i;
  }
  for (let i = 0; i < 10; i += 1) values[48 + i] = 52 + i;
  values[43] = 62;
  values[47] = 63;
  return values;
}
