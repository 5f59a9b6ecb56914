import type { ColumnRole, ColumnSpec } from '../../decode/columns.ts';
import type { Problem } from '../../problems.ts';
import { NumberCell } from './number.ts';
import { language } from '../../present/language.ts';

const texts = language.files.csvHeader;

/** Which cell of a row is which quantity. */
export interface Placement {
  readonly delimiter: number;
  readonly hasHeader: boolean;
  /** header words, or "column 1" and so on */
  readonly names: readonly string[];
  /** per column: 0 time, 1 current, 2 voltage, -1 not wanted */
  readonly roleOf: Int8Array;
  /** to SI, by role */
  readonly factors: Float64Array;
  /** -1: time comes from the rate */
  readonly timeColumn: number;
}

const OWN_NAMES: readonly ColumnSpec[] = [
  { role: 'time', name: 'time_s', factor: 1 },
  { role: 'current', name: 'current_a', factor: 1 },
  { role: 'voltage', name: 'voltage_v', factor: 1 },
];

const ROLE_NUMBER: Readonly<Record<ColumnRole, number>> = { time: 0, current: 1, voltage: 2, skip: -1 };

/**
 * Reads the first row. `columns` null means the own header. A column is found by its header (capitals and spaces around do not matter), else by
 * its number counted from 1, else by its place in the list.
 * @param givenDelimiter character code given by a `sep=` line, 0 for "find out"
 */
export function placeColumns(firstRow: string, givenDelimiter: number, columns: readonly ColumnSpec[] | null, rateHz: number | null): Placement | Problem {
  const delimiter = givenDelimiter !== 0 ? givenDelimiter : findDelimiter(firstRow);
  const cells = splitRow(firstRow, String.fromCharCode(delimiter));
  const hasHeader = cells.every((cell) => !isNumber(cell));
  const names = hasHeader ? cells : cells.map((_, index) => texts.column(index + 1));
  const words = names.map((name) => name.trim().toLowerCase());
  const roleOf = new Int8Array(cells.length).fill(-1);
  const factors = new Float64Array(3).fill(1);
  const listed = hasHeader ? texts.theHeaderHas(names.slice(0, 20).join(', ')) : texts.theFirstRowHas(cells.length);
  if (columns === null && !hasHeader) {
    return {
      code: 'no-current-column',
      text: texts.sayWhichColumnIs(listed),
    };
  }
  for (const [index, spec] of (columns ?? OWN_NAMES).entries()) {
    const role = ROLE_NUMBER[spec.role];
    if (role < 0) continue;
    const found = findColumn(spec, index, hasHeader ? words : [], cells.length);
    if (found < 0) {
      if (columns === null && spec.role !== 'current') continue;
      return {
        code: spec.role === 'current' ? 'no-current-column' : 'wrong-format',
        text: texts.thereIsNoColumn(spec.name ?? index + 1, spec.role, listed),
      };
    }
    if (roleOf[found] >= 0) return { code: 'wrong-format', text: texts.columnIsNamedTwice(found + 1, names[found]) };
    roleOf[found] = role;
    factors[role] = spec.factor;
  }
  const timeColumn = roleOf.indexOf(ROLE_NUMBER.time);
  if (timeColumn < 0) {
    if (rateHz === null) return { code: 'no-rate', text: texts.thereIsNoTime(listed) };
    if (!(rateHz > 0 && Number.isFinite(rateHz))) return { code: 'no-rate', text: texts.theRateMustBe(String(rateHz)) };
  }
  return { delimiter, hasHeader, names, roleOf, factors, timeColumn };
}

function findColumn(spec: ColumnSpec, index: number, words: readonly string[], width: number): number {
  if (spec.name === null) return index < width ? index : -1;
  const byName = words.indexOf(spec.name.trim().toLowerCase());
  if (byName >= 0) return byName;
  const number = /^\d{1,5}$/.test(spec.name) ? Number(spec.name) : 0;
  return number >= 1 && number <= width ? number - 1 : -1;
}

/** The first of tab, semicolon and comma outside quotes: a semicolon file may hold decimal commas, not the other way round. */
function findDelimiter(row: string): number {
  const bare = row.replaceAll(/"[^"]*"?/g, '');
  for (const mark of ['\t', ';', ',']) if (bare.includes(mark)) return mark.charCodeAt(0);
  return ','.charCodeAt(0);
}

/** Cells of one line without their quotes (RFC 4180, 2.5 to 2.7). */
function splitRow(row: string, delimiter: string): string[] {
  const cells: string[] = [];
  let cell = '';
  let quoted = false;
  for (let i = 0; i < row.length; i++) {
    if (row[i] === '"') {
      if (quoted && row[i + 1] === '"') {
        cell += '"';
        i++;
      } else quoted = !quoted;
    } else if (row[i] === delimiter && !quoted) {
      cells.push(cell.trim());
      cell = '';
    } else cell += row[i];
  }
  cells.push(cell.trim());
  // a delimiter at the very end makes no column
  if (cells.length > 1 && cells[cells.length - 1] === '') cells.pop();
  return cells;
}

function isNumber(text: string): boolean {
  const bytes = Uint8Array.from(text, (letter) => Math.min(255, letter.charCodeAt(0)));
  return new NumberCell().read(bytes, 0, bytes.length);
}
