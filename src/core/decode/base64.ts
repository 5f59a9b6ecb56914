/** Value of each character code in base64 (RFC 4648 section 4), 255 where it is none. */
const VALUES = makeValues();
/** Eight characters are six bytes, three counts: read at a step. */
const STEP_COUNTS = 3;
const STEP_CHARACTERS = 8;

/**
 * Reads `count` little-endian int16 from base64 text that must hold exactly those bytes; padding may be left out. Returns null for any
 * other length, alphabet or left-over bit, so a damaged block gives nothing rather than something near.
 */
export function decodeInt16(line: string, startIndex: number, endIndex: number, count: number): Int16Array | null {
  let end = endIndex;
  while (end > startIndex && endIndex - end < 2 && line.charCodeAt(end - 1) === 61) end -= 1;
  const textLength = end - startIndex;
  const padding = endIndex - end;
  if (textLength !== Math.ceil((count * 2 * 4) / 3)) return null;
  if (padding !== 0 && (textLength + padding) % 4 !== 0) return null;
  const counts = new Int16Array(count);
  const steps = Math.floor(count / STEP_COUNTS);
  const stepsRead = readSteps(line, startIndex, counts, steps);
  return stepsRead && readRest(line, startIndex + steps * STEP_CHARACTERS, end, counts, steps * STEP_COUNTS) ? counts : null;
}

function readSteps(line: string, startIndex: number, counts: Int16Array, steps: number): boolean {
  let seen = 0;
  let codes = 0;
  let at = startIndex;
  for (let k = 0; k < steps * STEP_COUNTS; k += STEP_COUNTS, at += STEP_CHARACTERS) {
    const c0 = line.charCodeAt(at);
    const c1 = line.charCodeAt(at + 1);
    const c2 = line.charCodeAt(at + 2);
    const c3 = line.charCodeAt(at + 3);
    const c4 = line.charCodeAt(at + 4);
    const c5 = line.charCodeAt(at + 5);
    const c6 = line.charCodeAt(at + 6);
    const c7 = line.charCodeAt(at + 7);
    const v0 = VALUES[c0 & 0xff];
    const v1 = VALUES[c1 & 0xff];
    const v2 = VALUES[c2 & 0xff];
    const v3 = VALUES[c3 & 0xff];
    const v4 = VALUES[c4 & 0xff];
    const v5 = VALUES[c5 & 0xff];
    const v6 = VALUES[c6 & 0xff];
    const v7 = VALUES[c7 & 0xff];
    codes |= c0 | c1 | c2 | c3 | c4 | c5 | c6 | c7;
    seen |= v0 | v1 | v2 | v3 | v4 | v5 | v6 | v7;
    // the first and the last three bytes
    const first = (v0 << 18) | (v1 << 12) | (v2 << 6) | v3;
    const last = (v4 << 18) | (v5 << 12) | (v6 << 6) | v7;
    counts[k] = (first >>> 16) | (first & 0xff00);
    counts[k + 1] = (first & 0xff) | ((last >>> 8) & 0xff00);
    counts[k + 2] = ((last >>> 8) & 0xff) | ((last & 0xff) << 8);
  }
  return seen < 64 && codes < 256;
}

/** The one or two counts that make no whole step, bit by bit. */
function readRest(line: string, startIndex: number, endIndex: number, counts: Int16Array, from: number): boolean {
  const bytes = new Uint8Array((counts.length - from) * 2);
  let bits = 0;
  let held = 0;
  let at = 0;
  for (let i = startIndex; i < endIndex; i += 1) {
    const code = line.charCodeAt(i);
    const value = code < 256 ? VALUES[code] : 255;
    if (value === 255) return false;
    held = ((held << 6) | value) & 0xffff;
    bits += 6;
    if (bits >= 8) {
      bits -= 8;
      bytes[at] = (held >>> bits) & 0xff;
      at += 1;
    }
  }
  if (at !== bytes.length || (held & ((1 << bits) - 1)) !== 0) return false;
  for (let i = from; i < counts.length; i += 1) counts[i] = bytes[2 * (i - from)] | (bytes[2 * (i - from) + 1] << 8);
  return true;
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
  const values = new Uint8Array(256).fill(255);
  for (let i = 0; i < 26; i += 1) {
    values[65 + i] = i;
    values[97 + i] = 26 + i;
  }
  for (let i = 0; i < 10; i += 1) values[48 + i] = 52 + i;
  values[43] = 62;
  values[47] = 63;
  return values;
}
