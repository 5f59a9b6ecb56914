/**
 * One decimal number out of a line's bytes. `Number(text)` would need a string a cell: on a file of a gigabyte that is most of the time.
 *
 * Accepted: optional spaces around, a sign, digits with one decimal mark (dot or comma), an exponent. Everything else is named, never
 * guessed: a mark seen as decimal once makes the other one an error for the rest of the file, so that "1,234" cannot silently become
 * 1.234 in a file that writes its decimals with a dot.
 */
export type CellFault = 'empty' | 'not-a-number' | 'not-finite' | 'mixed-marks';

export class NumberCell {
  value = 0;
  fault: CellFault | null = null;
  #mark = 0;

  /** Reads `bytes[startIndex, endIndex)`; true when `value` holds the number, false when `fault` says why not. Linear, no allocation for usual cells. */
  read(bytes: Uint8Array, startIndex: number, endIndex: number): boolean {
    while (startIndex < endIndex && isSpace(bytes[startIndex])) startIndex++;
    while (endIndex > startIndex && isSpace(bytes[endIndex - 1])) endIndex--;
    if (startIndex === endIndex) return this.#refuse('empty');
    let at = startIndex;
    const negative = bytes[at] === MINUS;
    if (negative || bytes[at] === PLUS) at++;
    let mantissa = 0;
    let digits = 0;
    let seen = 0;
    let scale = 0;
    let mark = 0;
    for (; at < endIndex; at++) {
      const byte = bytes[at];
      if (byte >= ZERO && byte <= NINE) {
        mantissa = mantissa * 10 + (byte - ZERO);
        seen++;
        if (mantissa > 0) digits++;
        if (mark !== 0) scale++;
      } else if ((byte === DOT || byte === COMMA) && mark === 0) {
        mark = byte;
      } else break;
    }
    if (seen === 0) return this.#refuse(looksInfinite(bytes, startIndex, endIndex) ? 'not-finite' : 'not-a-number');
    let exponent = 0;
    if (at < endIndex && (bytes[at] | 0x20) === LETTER_E) {
      at++;
      const below = bytes[at] === MINUS;
      if (below || bytes[at] === PLUS) at++;
      const first = at;
      for (; at < endIndex && bytes[at] >= ZERO && bytes[at] <= NINE; at++) if (exponent < 10_000) exponent = exponent * 10 + (bytes[at] - ZERO);
      if (at === first) return this.#refuse('not-a-number');
      if (below) exponent = -exponent;
    }
    if (at !== endIndex) return this.#refuse(mark !== 0 && (bytes[at] === DOT || bytes[at] === COMMA) ? 'mixed-marks' : 'not-a-number');
    if (mark !== 0) {
      if (this.#mark !== 0 && this.#mark !== mark) return this.#refuse('mixed-marks');
      this.#mark = mark;
    }
    const power = exponent - scale;
    if (digits <= EXACT_DIGITS && power >= -EXACT_POWER && power <= EXACT_POWER) {
      const size = power < 0 ? mantissa / POWERS[-power] : mantissa * POWERS[power];
      this.value = negative ? -size : size;
      return true;
    }
    this.value = Number(asText(bytes, startIndex, endIndex).replace(',', '.'));
    return Number.isFinite(this.value) || this.#refuse('not-finite');
  }

  #refuse(fault: CellFault): false {
    this.fault = fault;
    return false;
  }
}

/** A float64 holds every whole number of 15 digits, and every power of ten to 10^22: one division or product of the two is correctly rounded (Clinger 1990). */
const EXACT_DIGITS = 15;
const EXACT_POWER = 22;
const POWERS = Float64Array.from({ length: EXACT_POWER + 1 }, (_, power) => Number(`1e${power}`));

const ZERO = 0x30;
const NINE = 0x39;
const MINUS = 0x2d;
const PLUS = 0x2b;
const DOT = 0x2e;
const COMMA = 0x2c;
const LETTER_E = 0x65;

function isSpace(byte: number): boolean {
  return byte === 0x20 || byte === 0x09;
}

function looksInfinite(bytes: Uint8Array, startIndex: number, endIndex: number): boolean {
  return endIndex - startIndex < 12 && /^[+-]?(nan|inf|infinity|#n\/a|#num!)$/i.test(asText(bytes, startIndex, endIndex));
}

/** Bytes as text: UTF-8, or byte by byte (Latin-1, as older spreadsheets write) where they are not valid UTF-8. For names and messages only. */
export function asText(bytes: Uint8Array, startIndex = 0, endIndex = bytes.length): string {
  let escaped = '';
  let latin = '';
  for (let i = startIndex; i < endIndex; i++) {
    escaped += `%${bytes[i].toString(16).padStart(2, '0')}`;
    latin += String.fromCharCode(bytes[i]);
  }
  try {
    return decodeURIComponent(escaped);
  } catch {
    return latin;
  }
}
