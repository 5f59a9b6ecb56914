import type { ColumnSpec } from './columns.ts';
import { lineNames, readNamed, type LineNames } from './named-line.ts';
import { language } from '../present/language.ts';

const words = language.files.numberLine;

/**
 * Plain lines of one to three numbers, as any sketch prints them: `1.25`, `1.25,12.6`, `1034;1,25;12,6`. The separator is recognised line by
 * line and only where there is one way to read it: a semicolon or tab separates before anything else, and then a comma is a decimal
 * comma; otherwise a comma separates; otherwise blanks do. A line with two readings (`1,2 3,4`) is refused.
 */
const NUMBER = /^[+-]?(?:\d{1,20}(?:\.\d{0,20})?|\.\d{1,20})(?:[eE][+-]?\d{1,2})?$/;
/** Numbers in a line when the columns are spelled out (some may be skipped), and when they are not. */
export const MAX_FIELDS = 64;
export const MAX_PLAIN_NUMBERS = 3;

/**
 * The numbers of a line, or null if it is no such line. NaN, inf, hex and overlong digits are no numbers here. With a layout that a person has given, only
 * its columns must be numbers: what is in the others (a word, a unit, a clock with colons) is of no concern and is 0 in the answer.
 */
export function parseNumbers(line: string, maxFields: number, layout: LineLayout | null = null): number[] | null {
  if (layout?.names !== undefined) return readNamed(line, layout.names);
  const fields = split(line);
  if (fields.length > maxFields) return null;
  const numbers: number[] = [];
  for (const [at, field] of fields.entries()) {
    const text = field.trim();
    const number = NUMBER.test(text);
    if (!number && (layout === null || isColumn(layout, at))) return null;
    numbers.push(number ? Number(text) : 0);
  }
  return numbers;
}

/**
 * The numbers of a line of digits, signs, dots and commas alone, as nearly all are, from its bytes into `out`: how many there are, or -1 where the line is to be looked at closely, or holds more than fit. Nothing is allotted: a sketch prints thousands of lines a second.
 */
export function readNumbers(bytes: Uint8Array, startIndex: number, endIndex: number, out: Float64Array): number {
  let count = 0;
  for (let at = startIndex; at <= endIndex; at += 1) {
    if (count === out.length) return -1;
    const sign = at < endIndex ? bytes[at] : 0;
    if (sign === MINUS || sign === PLUS) at += 1;
    let mantissa = 0;
    let digits = 0;
    let dotAt = -1;
    for (; at < endIndex; at += 1) {
      const code = bytes[at];
      if (code >= ZERO && code <= NINE) {
        mantissa = mantissa * 10 + (code - ZERO);
        digits += 1;
      } else if (code === DOT && dotAt < 0) dotAt = digits;
      else if (code === COMMA) break;
      else return -1;
    }
    if (digits === 0 || digits > EXACT_DIGITS) return -1;
    const size = dotAt < 0 ? mantissa : mantissa / POWERS[digits - dotAt];
    out[count] = sign === MINUS ? -size : size;
    count += 1;
  }
  return count;
}

/** A float64 holds every whole number of 15 digits and every such power of ten, so that one division is rounded as the text's own number is (Clinger 1990). */
const EXACT_DIGITS = 15;
const POWERS = Float64Array.from({ length: EXACT_DIGITS + 1 }, (_, power) => 10 ** power);
const ZERO = 48;
const NINE = 57;
const MINUS = 45;
const PLUS = 43;
const DOT = 46;
const COMMA = 44;

function isColumn({ timeAt, currentAt, voltageAt }: LineLayout, at: number): boolean {
  return at === timeAt || at === currentAt || at === voltageAt;
}

function split(line: string): string[] {
  if (line.includes(';') || line.includes('\t')) {
    const separator = line.includes(';') ? ';' : '\t';
    const fields = line.split(separator, MAX_FIELDS + 1);
    return fields.map((field) => (field.includes('.') ? field : field.replace(',', '.')));
  }
  if (line.includes(',')) return line.split(',', MAX_FIELDS + 1);
  return line.trim().split(/ +/, MAX_FIELDS + 1);
}

/** Which number of a line is what. Indices count from 0; -1 = the lines have none. */
export interface LineLayout {
  readonly fields: number;
  readonly timeAt: number;
  readonly currentAt: number;
  readonly voltageAt: number;
  readonly timeFactor: number;
  readonly currentFactor: number;
  readonly voltageFactor: number;
  /** the numbers have names before them, and are found by these */
  readonly names?: LineNames;
}

/** The reading of lines of so many numbers where nothing was said: current; current, voltage; time, current, voltage, in s, A, V. */
export function plainLayout(fields: number): LineLayout {
  const timeAt = fields === 3 ? 0 : -1;
  return { fields, timeAt, currentAt: timeAt + 1, voltageAt: fields === 1 ? -1 : timeAt + 2, timeFactor: 1, currentFactor: 1, voltageFactor: 1 };
}

/**
 * The layout a column list asks for in lines. A name is that before a number in the line, or a column's number counted from 1, as lines have no header; not both
 * in one list. Entries without one take their place in the list. Returns a text when that cannot be.
 */
export function lineLayout(columns: readonly ColumnSpec[]): LineLayout | string {
  const names = lineNames(columns);
  if (names !== null) return namedLayout(names, columns);
  const places = { time: -1, current: -1, voltage: -1, skip: -1 };
  const factors = { time: 1, current: 1, voltage: 1, skip: 1 };
  const taken = new Set<number>();
  let fields = 0;
  for (let i = 0; i < columns.length; i += 1) {
    const { role, name, factor } = columns[i];
    const place = name === null ? i : Number(name) - 1;
    if (name !== null && !/^\d{1,2}$/.test(name)) return words.linesFromALogger(name);
    if (place < 0 || place >= MAX_FIELDS) return words.columnCannotBeColumns(place + 1, MAX_FIELDS);
    if (taken.has(place)) return words.columnIsNamedTwice(place + 1);
    taken.add(place);
    places[role] = place;
    factors[role] = factor;
    fields = Math.max(fields, place + 1);
  }
  return {
    fields,
    timeAt: places.time,
    currentAt: places.current,
    voltageAt: places.voltage,
    timeFactor: factors.time,
    currentFactor: factors.current,
    voltageFactor: factors.voltage,
  };
}

function namedLayout(names: LineNames, columns: readonly ColumnSpec[]): LineLayout | string {
  const twice = names.find(({ name }, i) => names.findIndex((one) => one.name === name) !== i);
  if (twice !== undefined) return words.nameIsUsedTwice(twice.name);
  const at = (wanted: ColumnSpec['role']): number => names.findIndex(({ role }) => role === wanted);
  const factor = (wanted: ColumnSpec['role']): number => columns.find(({ role }) => role === wanted)?.factor ?? 1;
  return {
    fields: names.length, timeAt: at('time'), currentAt: at('current'), voltageAt: at('voltage'),
    timeFactor: factor('time'), currentFactor: factor('current'), voltageFactor: factor('voltage'), names,
  };
}

/** Beyond these a reading is no current, voltage or clock of a vehicle's logger but a damaged line (A, V, s). */
export const MAX_CURRENT_A = 1e5;
export const MAX_VOLTAGE_V = 1e4;
export const MAX_CLOCK_S = 1e10;
