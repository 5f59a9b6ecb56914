import type { ColumnRole, ColumnSpec } from '../../decode/columns.ts';
import type { Problem } from '../../problems.ts';
import { placeColumns, type Placement } from './header.ts';
import { asText, NumberCell, type CellFault } from './number.ts';
import { language } from '../../present/language.ts';

const words = language.files.csvRows;

/** Why a row cannot be taken: `role` says which of the wanted columns, `why` completes "Line 7, column 2 (current_a): …". */
export interface RowRefusal {
  readonly code: 'bad-row' | 'time-not-rising';
  readonly role: ColumnRole | null;
  readonly why: string;
}

interface RowSink {
  /** a row of numbers in s, A and V (voltage 0 when the file has none); an answer other than null makes it a bad row */
  row(timeS: number, currentA: number, voltageV: number): RowRefusal | null;
  /** false: the file is refused because of it, nothing more is to be read */
  bad(refusal: RowRefusal & { line: number; column: number; name: string }): boolean;
  unusable(problem: Problem): void;
}

/** Longest line kept while its end has not come: far above any table of readings, far below what would hurt. */
const MAX_LINE_BYTES = 64 * 1024;
const MAX_COMMENTS = 100;

const LF = 0x0a;
const CR = 0x0d;
const QUOTE = 0x22;
const HASH = 0x23;
const TIME = 0;
const CURRENT = 1;
const VOLTAGE = 2;
const ROLES: readonly ColumnRole[] = ['time', 'current', 'voltage'];

/**
 * Bytes of a CSV file to rows of numbers. Rows are scanned in the chunk itself; only a line that the chunk cuts is kept for the next.
 * Delimiter (tab, semicolon or comma) and columns come from the first row. Every row must have as many cells as the first: an unquoted decimal
 * comma in a comma-separated file is so found and not read as two numbers.
 */
export class CsvRows {
  readonly comments: string[] = [];
  withVoltage = false;
  readonly #columns: readonly ColumnSpec[] | null;
  readonly #rateHz: number | null;
  readonly #sink: RowSink;
  readonly #cell = new NumberCell();
  readonly #values = new Float64Array(3);
  #rest: Uint8Array = new Uint8Array(0);
  #started = false;
  #stopped = false;
  #placement: Placement | null = null;
  #delimiter = 0;
  #line = 1;
  #taken = 0;
  // outcome of one row scan
  #badColumn = -1;
  #badWhy = '';
  #lastCellEmpty = false;
  #nextAt = 0;

  constructor(columns: readonly ColumnSpec[] | null, rateHz: number | null, sink: RowSink) {
    this.#columns = columns;
    this.#rateHz = rateHz;
    this.#sink = {
      ...sink,
      bad: (refusal) => {
        const goOn = sink.bad(refusal);
        if (!goOn) this.#stopped = true;
        return goOn;
      },
      unusable: (problem) => {
        this.#stopped = true;
        sink.unusable(problem);
      },
    };
  }

  push(bytes: Uint8Array): void {
    let buffer = bytes;
    if (this.#rest.length > 0) {
      buffer = new Uint8Array(this.#rest.length + bytes.length);
      buffer.set(this.#rest);
      buffer.set(bytes, this.#rest.length);
    }
    const used = this.#lines(buffer, false);
    if (this.#stopped) return;
    if (buffer.length - used > MAX_LINE_BYTES) {
      this.#sink.unusable({ code: 'wrong-format', text: words.lineIsLongerThan(this.#line, MAX_LINE_BYTES) });
      return;
    }
    this.#rest = buffer.slice(used);
  }

  end(): void {
    const rest = this.#rest;
    this.#rest = new Uint8Array(0);
    if (!this.#stopped) this.#lines(rest, true);
  }

  /** Takes whole lines from the front of `buffer`; returns how many bytes were used. */
  #lines(buffer: Uint8Array, final: boolean): number {
    let at = 0;
    if (!this.#started) {
      if (buffer.length < 4 && !final) return 0;
      this.#started = true;
      if (buffer[0] === 0xef && buffer[1] === 0xbb && buffer[2] === 0xbf) at = 3;
      else if ((buffer[0] === 0xff && buffer[1] === 0xfe) || (buffer[0] === 0xfe && buffer[1] === 0xff) || buffer.subarray(0, 4).includes(0)) {
        this.#sink.unusable({ code: 'wrong-format', text: words.theFileIsNot });
        return 0;
      }
    }
    while (at < buffer.length && !this.#stopped) {
      const next = this.#placement === null ? this.#headLine(buffer, at, final) : this.#dataLine(buffer, at, final, this.#placement);
      if (next < 0) return at;
      at = next;
    }
    return at;
  }

  /** A line before the first row of numbers: a comment, the header, or already numbers. Returns where the next line starts, -1 for "not whole yet". */
  #headLine(buffer: Uint8Array, at: number, final: boolean): number {
    const end = lineEnd(buffer, at);
    if ((end === buffer.length && !final) || (buffer[end] === CR && end + 1 === buffer.length && !final)) return -1;
    const next = end + (buffer[end] === CR && buffer[end + 1] === LF ? 2 : 1);
    if (buffer[at] === HASH) {
      if (this.comments.length < MAX_COMMENTS) this.comments.push(asText(buffer, at + 1, end).trim());
    } else if (!isBlank(buffer, at, end)) {
      const text = asText(buffer, at, end);
      const named = /^sep=(.)$/i.exec(text.trim());
      if (named !== null) this.#delimiter = named[1].charCodeAt(0);
      else {
        const placement = placeColumns(text, this.#delimiter, this.#columns, this.#rateHz);
        if ('code' in placement) {
          this.#sink.unusable({ code: placement.code, text: words.line(this.#line, placement.text) });
          return -1;
        }
        this.#placement = placement;
        this.#delimiter = placement.delimiter;
        this.withVoltage = placement.roleOf.includes(VOLTAGE);
        if (!placement.hasHeader) return at;
      }
    }
    this.#line++;
    return next;
  }

  #dataLine(buffer: Uint8Array, at: number, final: boolean, placement: Placement): number {
    const firstLine = this.#line;
    const cells = this.#scan(buffer, at, final, placement.roleOf);
    if (cells < 0) return -1;
    if (cells > 0) this.#judge(cells, firstLine, placement);
    return this.#nextAt;
  }

  #judge(cells: number, line: number, placement: Placement): void {
    const width = placement.names.length;
    // a delimiter at the end of every row, but not of the header, is a habit of some loggers
    if (cells !== width && !(cells === width + 1 && this.#lastCellEmpty)) {
      this.#sink.bad({ code: 'bad-row', role: null, why: words.itHasCellsAnd(cells, width), line, column: 0, name: '' });
      return;
    }
    if (this.#badColumn >= 0) {
      this.#sink.bad({ code: 'bad-row', role: null, why: this.#badWhy, line, column: this.#badColumn + 1, name: placement.names[this.#badColumn] });
      return;
    }
    const values = this.#values;
    const timeS = placement.timeColumn < 0 ? this.#taken / (this.#rateHz ?? 1) : values[TIME];
    const refusal = this.#sink.row(timeS, values[CURRENT], values[VOLTAGE]);
    if (refusal === null) {
      this.#taken++;
      return;
    }
    const column = refusal.role === null ? -1 : placement.roleOf.indexOf(ROLES.indexOf(refusal.role));
    this.#sink.bad({ ...refusal, line, column: column + 1, name: placement.names[column] ?? '' });
  }

  /**
   * Scans one row from `at`: numbers of the wanted columns go to #values, the first fault to #badColumn. Returns the count of cells, 0 for
   * a blank line, -1 when the row is not whole yet. Sets #nextAt.
   */
  #scan(buffer: Uint8Array, at: number, final: boolean, roleOf: Int8Array): number {
    const delimiter = this.#delimiter;
    const length = buffer.length;
    let cells = 0;
    let lines = 1;
    this.#badColumn = -1;
    const rowAt = at;
    for (;;) {
      let start = at;
      let end: number;
      while (buffer[at] === 0x20) at++;
      if (buffer[at] === QUOTE) {
        start = at + 1;
        at++;
        for (;;) {
          while (at < length && buffer[at] !== QUOTE) {
            if (buffer[at] === LF) lines++;
            at++;
          }
          if (buffer[at + 1] === QUOTE) at += 2;
          else break;
        }
        if (at >= length && !final) return -1;
        end = at;
        at++;
        while (at < length && buffer[at] !== delimiter && buffer[at] !== LF && buffer[at] !== CR) at++;
      } else {
        while (at < length && buffer[at] !== delimiter && buffer[at] !== LF && buffer[at] !== CR) at++;
        end = at;
      }
      const atEnd = at >= length;
      if (atEnd && !final) return -1;
      const role = cells < roleOf.length ? roleOf[cells] : -1;
      this.#lastCellEmpty = end === start;
      if (role >= 0 && this.#badColumn < 0) {
        if (this.#cell.read(buffer, start, end)) this.#values[role] = this.#cell.value * this.#factor(role);
        else {
          this.#badColumn = cells;
          this.#badWhy = faultText(this.#cell.fault, asText(buffer, start, Math.min(end, start + 40)));
        }
      }
      cells++;
      if (!atEnd && buffer[at] === delimiter) {
        at++;
        continue;
      }
      const endOfRow = at;
      if (buffer[at] === CR) {
        if (at + 1 === length && !final) return -1;
        if (buffer[at + 1] === LF) at++;
      }
      this.#nextAt = at + 1;
      this.#line += lines;
      return cells === 1 && isBlank(buffer, rowAt, endOfRow) ? 0 : cells;
    }
  }

  #factor(role: number): number {
    return this.#placement === null ? 1 : this.#placement.factors[role];
  }
}

function lineEnd(buffer: Uint8Array, at: number): number {
  while (at < buffer.length && buffer[at] !== LF && buffer[at] !== CR) at++;
  return at;
}

function isBlank(buffer: Uint8Array, startIndex: number, endIndex: number): boolean {
  for (let i = startIndex; i < endIndex; i++) if (buffer[i] !== 0x20 && buffer[i] !== 0x09) return false;
  return true;
}

function faultText(fault: CellFault | null, cell: string): string {
  switch (fault) {
    case 'empty':
      return words.theCellIsEmpty;
    case 'not-finite':
      return words.isNoReading(cell);
    case 'mixed-marks':
      return words.mixesDotAndComma(cell);
    default:
      return words.isNotANumber(cell);
  }
}
