import { decodeInt16 } from './base64.ts';
import { crc16OfBytes } from './crc16.ts';
import { cleanText, utf8 } from './hello.ts';
import { latin1 } from './line-splitter.ts';

/**
 * The framed lines of a logger: `#{json}*CRC` hello, `@SEQ,T_US,N,BASE64*CRC` block, `!SEQ,T_US,CODE,TEXT*CRC` notice. The CRC covers
 * what is between the first character and the last `*`, both excluded. A line arrives here without its line end. Anything that is not exactly such a line is refused with the reason.
 */
export type FramedLine =
  | { readonly kind: 'hello'; readonly json: string }
  | { readonly kind: 'block'; readonly seq: number; readonly deviceUs: number; readonly count: number; readonly counts: Int16Array }
  | { readonly kind: 'notice'; readonly seq: number; readonly deviceUs: number; readonly code: string; readonly text: string }
  | { readonly kind: 'refused'; readonly why: 'bad-crc' | 'malformed' };

const BAD_CRC: FramedLine = { kind: 'refused', why: 'bad-crc' };
const MALFORMED: FramedLine = { kind: 'refused', why: 'malformed' };

const UINT32_MAX = 0xffff_ffff;
/** the star and four digits */
const CHECK_CHARACTERS = 5;
/** 8 kB of samples, what the longest line can carry. */
const MAX_BLOCK_SAMPLES = 6000;

const HASH = 35;
const AT = 64;
const BANG = 33;
const BRACE = 123;
const STAR = 42;
const COMMA = 44;

/** True for lines that begin as a framed line does. */
export function looksFramed(bytes: Uint8Array, startIndex: number, endIndex: number): boolean {
  const first = endIndex > startIndex ? bytes[startIndex] : 0;
  return first === AT || first === BANG || (first === HASH && endIndex - startIndex > 1 && bytes[startIndex + 1] === BRACE);
}

/** True if the checksum proves this line whole. */
export function isWhole(bytes: Uint8Array, startIndex: number, endIndex: number): boolean {
  return looksFramed(bytes, startIndex, endIndex) && checksum(bytes, startIndex, endIndex) === 'fits';
}

/** Takes the framed line in `[startIndex, endIndex)` apart. `width` is the number of values per sample from the hello; null before it, when blocks are refused as malformed. The counts of a block are a view of `room`, until the next line. */
export function parseFramedLine(bytes: Uint8Array, startIndex: number, endIndex: number, width: number | null, room: Int16Array): FramedLine {
  const found = checksum(bytes, startIndex, endIndex);
  if (found !== 'fits') return found === 'missing' ? MALFORMED : BAD_CRC;
  const star = endIndex - CHECK_CHARACTERS;
  switch (bytes[startIndex]) {
    case HASH:
      return { kind: 'hello', json: latin1(bytes, startIndex + 1, star) };
    case AT:
      return parseBlock(bytes, startIndex, star, width, room);
    case BANG:
      return parseNotice(latin1(bytes, startIndex + 1, star));
    default:
      return MALFORMED;
  }
}

function checksum(bytes: Uint8Array, startIndex: number, endIndex: number): 'fits' | 'differs' | 'missing' {
  const star = endIndex - CHECK_CHARACTERS;
  if (star <= startIndex || bytes[star] !== STAR) return 'missing';
  const given = hex4(bytes, star + 1);
  if (given < 0) return 'missing';
  return given === crc16OfBytes(bytes, startIndex + 1, star) ? 'fits' : 'differs';
}

function parseBlock(bytes: Uint8Array, startIndex: number, star: number, width: number | null, room: Int16Array): FramedLine {
  const comma1 = commaFrom(bytes, startIndex + 1, star);
  const comma2 = commaFrom(bytes, comma1 + 1, star);
  const comma3 = commaFrom(bytes, comma2 + 1, star);
  const seq = wholeNumber(bytes, startIndex + 1, comma1);
  const deviceUs = wholeNumber(bytes, comma1 + 1, comma2);
  const count = wholeNumber(bytes, comma2 + 1, comma3);
  if (seq < 0 || deviceUs < 0 || count < 1 || count > MAX_BLOCK_SAMPLES || width === null) return MALFORMED;
  if (count * width > room.length) return MALFORMED;
  const counts = room.subarray(0, count * width);
  return !decodeInt16(bytes, comma3 + 1, star, counts) ? MALFORMED : { kind: 'block', seq, deviceUs, count, counts };
}

/** Index of the next comma, `endIndex` or beyond where there is none. */
function commaFrom(bytes: Uint8Array, startIndex: number, endIndex: number): number {
  let at = startIndex;
  while (at < endIndex && bytes[at] !== COMMA) at += 1;
  return at;
}

function parseNotice(body: string): FramedLine {
  const match = /^(\d{1,10}),(\d{1,10}),([A-Za-z0-9_-]{1,32}),(.*)$/s.exec(body);
  if (match === null) return MALFORMED;
  const seq = Number(match[1]);
  const deviceUs = Number(match[2]);
  if (seq > UINT32_MAX || deviceUs > UINT32_MAX) return MALFORMED;
  return { kind: 'notice', seq, deviceUs, code: match[3], text: cleanText(utf8(match[4])) };
}

/** An unsigned 32-bit number in plain digits, -1 for anything else. */
function wholeNumber(bytes: Uint8Array, startIndex: number, endIndex: number): number {
  if (endIndex <= startIndex || endIndex - startIndex > 10) return -1;
  let value = 0;
  for (let i = startIndex; i < endIndex; i += 1) {
    const digit = bytes[i] - 48;
    if (digit < 0 || digit > 9) return -1;
    value = value * 10 + digit;
  }
  return value <= UINT32_MAX ? value : -1;
}

function hex4(bytes: Uint8Array, startIndex: number): number {
  let value = 0;
  for (let i = startIndex; i < startIndex + 4; i += 1) {
    const code = bytes[i];
    let digit = -1;
    if (code >= 48 && code <= 57) digit = code - 48;
    else if (code >= 65 && code <= 70) digit = code - 55;
    else if (code >= 97 && code <= 102) digit = code - 87;
    if (digit < 0) return -1;
    value = value * 16 + digit;
  }
  return value;
}
