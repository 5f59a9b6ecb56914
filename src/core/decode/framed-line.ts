import { decodeInt16 } from './base64.ts';
import { crc16, crc16Hex } from './crc16.ts';
import { cleanText, utf8 } from './hello.ts';

/**
 * The framed lines of a logger: `#{json}*CRC` hello, `@SEQ,T_US,N,BASE64*CRC` block, `!SEQ,T_US,CODE,TEXT*CRC` notice. The CRC covers
 * what stands between the first character and the last `*`, both excluded. A line arrives here without its line end, one character a
 * byte. Anything that is not exactly such a line is refused with the reason.
 */
export type FramedLine =
  | { readonly kind: 'hello'; readonly json: string }
  | { readonly kind: 'block'; readonly seq: number; readonly deviceUs: number; readonly count: number; readonly counts: Int16Array }
  | { readonly kind: 'notice'; readonly seq: number; readonly deviceUs: number; readonly code: string; readonly text: string }
  | { readonly kind: 'refused'; readonly why: 'bad-crc' | 'malformed' };

const BAD_CRC: FramedLine = { kind: 'refused', why: 'bad-crc' };
const MALFORMED: FramedLine = { kind: 'refused', why: 'malformed' };

const UINT32_MAX = 0xffff_ffff;
/** 8 kB of samples, what the longest line can carry. */
const MAX_BLOCK_SAMPLES = 6000;

/** True for lines that begin as a framed line does. */
export function looksFramed(line: string): boolean {
  const first = line.charCodeAt(0);
  return first === 64 || first === 33 || (first === 35 && line.charCodeAt(1) === 123);
}

/** Takes a framed line apart. `width` is the number of values per sample from the hello; null before it, when blocks are refused as malformed. */
export function parseFramedLine(line: string, width: number | null): FramedLine {
  const star = line.length - 5;
  if (star < 1 || line.charCodeAt(star) !== 42) return MALFORMED;
  const given = hex4(line, star + 1);
  if (given < 0) return MALFORMED;
  if (given !== crc16(line, 1, star)) return BAD_CRC;
  switch (line.charCodeAt(0)) {
    case 35:
      return { kind: 'hello', json: line.slice(1, star) };
    case 64:
      return parseBlock(line, star, width);
    case 33:
      return parseNotice(line.slice(1, star));
    default:
      return MALFORMED;
  }
}

/** Makes a framed line of its first character and body, line end left out. The inverse of parsing, for the virtual logger and tests. */
export function frameLine(first: '#' | '@' | '!', body: string): string {
  return `${first}${body}*${crc16Hex(body)}`;
}

function parseBlock(line: string, star: number, width: number | null): FramedLine {
  const comma1 = line.indexOf(',', 1);
  const comma2 = comma1 < 0 ? -1 : line.indexOf(',', comma1 + 1);
  const comma3 = comma2 < 0 ? -1 : line.indexOf(',', comma2 + 1);
  if (comma3 < 0 || comma3 >= star) return MALFORMED;
  const seq = wholeNumber(line, 1, comma1);
  const deviceUs = wholeNumber(line, comma1 + 1, comma2);
  const count = wholeNumber(line, comma2 + 1, comma3);
  if (seq < 0 || deviceUs < 0 || count < 1 || count > MAX_BLOCK_SAMPLES || width === null) return MALFORMED;
  const counts = decodeInt16(line, comma3 + 1, star, count * width);
  return counts === null ? MALFORMED : { kind: 'block', seq, deviceUs, count, counts };
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
function wholeNumber(line: string, startIndex: number, endIndex: number): number {
  if (endIndex <= startIndex || endIndex - startIndex > 10) return -1;
  let value = 0;
  for (let i = startIndex; i < endIndex; i += 1) {
    const digit = line.charCodeAt(i) - 48;
    if (digit < 0 || digit > 9) return -1;
    value = value * 10 + digit;
  }
  return value <= UINT32_MAX ? value : -1;
}

function hex4(line: string, startIndex: number): number {
  let value = 0;
  for (let i = startIndex; i < startIndex + 4; i += 1) {
    const code = line.charCodeAt(i);
    let digit = -1;
    if (code >= 48 && code <= 57) digit = code - 48;
    else if (code >= 65 && code <= 70) digit = code - 55;
    else if (code >= 97 && code <= 102) digit = code - 87;
    if (digit < 0) return -1;
    value = value * 16 + digit;
  }
  return value;
}
