/** Value of each character code in base64 (RFC 4648 section 4), 255 where it is none. */
const VALUES = makeValues();
/** Eight characters are six bytes, three counts: read at a step. */
const STEP_COUNTS = 3;
const STEP_CHARACTERS = 8;
/** "=" */
const PADDING = 61;

/**
 * Fills `counts` with little-endian int16 from base64 text, one character a byte, that must hold exactly those bytes; padding may be left out. False for any
 * other length, alphabet or left-over bit: then `counts` holds nothing to be used, so a damaged block gives nothing rather than something near.
 */
export function decodeInt16(bytes: Uint8Array, startIndex: number, endIndex: number, counts: Int16Array): boolean {
  const count = counts.length;
  let end = endIndex;
  while (end > startIndex && endIndex - end < 2 && bytes[end - 1] === PADDING) end -= 1;
  const textLength = end - startIndex;
  const padding = endIndex - end;
  if (textLength !== Math.ceil((count * 2 * 4) / 3)) return false;
  if (padding !== 0 && (textLength + padding) % 4 !== 0) return false;
  const steps = Math.floor(count / STEP_COUNTS);
  return readSteps(bytes, startIndex, counts, steps) && readRest(bytes, startIndex + steps * STEP_CHARACTERS, end, counts, steps * STEP_COUNTS);
}

function readSteps(bytes: Uint8Array, startIndex: number, counts: Int16Array, steps: number): boolean {
  let seen = 0;
  let at = startIndex;
  for (let k = 0; k < steps * STEP_COUNTS; k += STEP_COUNTS, at += STEP_CHARACTERS) {
    const v0 = VALUES[bytes[at]];
    const v1 = VALUES[bytes[at + 1]];
    const v2 = VALUES[bytes[at + 2]];
    const v3 = VALUES[bytes[at + 3]];
    const v4 = VALUES[bytes[at + 4]];
    const v5 = VALUES[bytes[at + 5]];
    const v6 = VALUES[bytes[at + 6]];
    const v7 = VALUES[bytes[at + 7]];
    seen |= v0 | v1 | v2 | v3 | v4 | v5 | v6 | v7;
    // the first and the last three bytes
    const first = (v0 << 18) | (v1 << 12) | (v2 << 6) | v3;
    const last = (v4 << 18) | (v5 << 12) | (v6 << 6) | v7;
    counts[k] = (first >>> 16) | (first & 0xff00);
    counts[k + 1] = (first & 0xff) | ((last >>> 8) & 0xff00);
    counts[k + 2] = ((last >>> 8) & 0xff) | ((last & 0xff) << 8);
  }
  return seen < 64;
}

/** The one or two counts that make no whole step, bit by bit. */
function readRest(text: Uint8Array, startIndex: number, endIndex: number, counts: Int16Array, from: number): boolean {
  const bytes = new Uint8Array((counts.length - from) * 2);
  let bits = 0;
  let held = 0;
  let at = 0;
  for (let i = startIndex; i < endIndex; i += 1) {
    const value = VALUES[text[i]];
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
