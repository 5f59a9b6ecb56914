import type { ColumnSpec } from '../../decode/columns.ts';
import type { Problem } from '../../problems.ts';
import type { Gap, SampleBlock } from '../../trace.ts';
import { CsvRows, type RowRefusal } from './rows.ts';
import { findHoles } from '../gap-finder.ts';
import { language } from '../../present/language.ts';

const words = language.files.csv;

/**
 * Reading and writing traces as CSV (RFC 4180).
 *
 * Own form: header `time_s,current_a` or `time_s,current_a,voltage_v`, `#` lines before it are comments. Other people's files are read
 * by a column list (../decode/columns.ts). The reader eats chunks of any size, holds one block of rows and one line, and hands on blocks without a
 * hole in time inside. A general CSV library makes a string a cell and an array a row; read that way a gigabyte takes minutes, so rows of plain
 * numbers are scanned in place (tests hold the two equal).
 */
export interface CsvOptions {
  /** null = the own form */
  readonly columns?: readonly ColumnSpec[] | null;
  /** samples a second, for files without a time column */
  readonly rateHz?: number | null;
  /** count and list bad rows instead of refusing the file */
  readonly skipBad?: boolean;
}

export interface CsvSummary {
  readonly samples: number;
  readonly gaps: readonly Gap[];
  /** rows left out, with `skipBad` */
  readonly skipped: number;
  readonly problems: readonly Problem[];
  /** not null: the file cannot be used, and why */
  readonly refusal: Problem | null;
  readonly comments: readonly string[];
  readonly withVoltage: boolean;
}

/** Rows handed on at a time, and the tail kept back so that a change of rate at a block's end is seen whole by the hole finder. */
export const BLOCK_ROWS = 8192;
const KEEP_ROWS = 128;
/** Of many bad rows this many are listed, the rest counted. */
const LISTED_BAD_ROWS = 20;

export class CsvReader {
  readonly #rows: CsvRows;
  readonly #skipBad: boolean;
  readonly #onBlock: (block: SampleBlock) => void;
  readonly #problems: Problem[] = [];
  readonly #gaps: Gap[] = [];
  readonly #timeS = new Float64Array(BLOCK_ROWS);
  readonly #currentA = new Float32Array(BLOCK_ROWS);
  readonly #voltageV = new Float32Array(BLOCK_ROWS);
  #refusal: Problem | null = null;
  #filled = 0;
  #samples = 0;
  #skipped = 0;
  #lastS = -Infinity;
  #lastEmittedS = Number.NaN;
  /** a hole lies between the rows handed on last and the first of those held */
  #holeAhead = false;

  /** `onBlock` receives fresh arrays that it may keep. */
  constructor(options: CsvOptions, onBlock: (block: SampleBlock) => void) {
    this.#skipBad = options.skipBad ?? false;
    this.#onBlock = onBlock;
    this.#rows = new CsvRows(options.columns ?? null, options.rateHz ?? null, {
      row: (timeS, currentA, voltageV) => this.#row(timeS, currentA, voltageV),
      bad: (refusal) => this.#bad(refusal),
      unusable: (problem) => {
        this.#refusal = problem;
      },
    });
  }

  /** not null as soon as the file is known to be unusable; nothing more is read from then on */
  get refusal(): Problem | null {
    return this.#refusal;
  }

  /** Call in file order with chunks of any size; the bytes are read at once and not kept. */
  push(bytes: Uint8Array): void {
    if (this.#refusal === null) this.#rows.push(bytes);
  }

  /** Call once after the last chunk. */
  end(): CsvSummary {
    if (this.#refusal === null) this.#rows.end();
    if (this.#refusal === null) this.#emit(this.#filled);
    if (this.#refusal === null && this.#samples === 0) {
      this.#refusal = { code: 'no-samples', text: words.theFileHasNo };
    }
    if (this.#skipped > 0) {
      this.#problems.push({ code: 'skipped-rows', text: words.badLeftOutOf(this.#skipped, this.#skipped === 1 ? words.rowWas : words.rowsWere, this.#samples + this.#skipped) });
    }
    return {
      samples: this.#samples,
      gaps: this.#gaps,
      skipped: this.#skipped,
      problems: this.#problems,
      refusal: this.#refusal,
      comments: this.#rows.comments,
      withVoltage: this.#rows.withVoltage,
    };
  }

  #row(timeS: number, currentA: number, voltageV: number): RowRefusal | null {
    if (!(timeS > this.#lastS)) return { code: 'time-not-rising', role: 'time', why: words.sDoesNotCome(timeS, this.#lastS) };
    const at = this.#filled;
    this.#currentA[at] = currentA;
    this.#voltageV[at] = voltageV;
    if (!Number.isFinite(this.#currentA[at])) return { code: 'bad-row', role: 'current', why: words.aIsBeyondWhat(currentA) };
    if (!Number.isFinite(this.#voltageV[at])) return { code: 'bad-row', role: 'voltage', why: words.vIsBeyondWhat(voltageV) };
    this.#timeS[at] = timeS;
    this.#lastS = timeS;
    this.#filled++;
    this.#samples++;
    if (this.#filled === BLOCK_ROWS) this.#emit(BLOCK_ROWS - KEEP_ROWS);
    return null;
  }

  /** Hands on the first `count` rows in pieces between holes and moves the rest to the front. */
  #emit(count: number): void {
    const timeS = this.#timeS;
    if (this.#holeAhead && count > 0) this.#gaps.push({ startS: this.#lastEmittedS, endS: timeS[0] });
    const holes = new Set(findHoles(timeS, 0, this.#filled));
    let from = 0;
    for (let i = 1; i <= count; i++) {
      const hole = holes.has(i);
      if (i !== count && !hole) continue;
      this.#onBlock({
        timeS: timeS.slice(from, i),
        currentA: this.#currentA.slice(from, i),
        voltageV: this.#rows.withVoltage ? this.#voltageV.slice(from, i) : null,
      });
      if (i !== count) this.#gaps.push({ startS: timeS[i - 1], endS: timeS[i] });
      from = i;
    }
    this.#holeAhead = holes.has(count);
    if (count > 0) this.#lastEmittedS = timeS[count - 1];
    timeS.copyWithin(0, count, this.#filled);
    this.#currentA.copyWithin(0, count, this.#filled);
    this.#voltageV.copyWithin(0, count, this.#filled);
    this.#filled -= count;
  }

  #bad(refusal: RowRefusal & { line: number; column: number; name: string }): boolean {
    const where = refusal.column > 0 ? words.lineColumn(refusal.line, refusal.column, refusal.name) : words.line(refusal.line);
    const problem: Problem = { code: refusal.code, text: `${where}: ${refusal.why}.` };
    if (!this.#skipBad) {
      this.#refusal = { code: refusal.code, text: words.correctTheRowOr(problem.text) };
      return false;
    }
    this.#skipped++;
    if (this.#skipped <= LISTED_BAD_ROWS) this.#problems.push(problem);
    return true;
  }
}

/** First lines of a file in the own form. Comments must not hold line breaks; they are written one a line. */
export function csvHeader(withVoltage: boolean, comments: readonly string[] = []): string {
  const lines = comments.map((comment) => `# ${comment.replaceAll(/[\r\n]+/g, ' ')}\n`).join('');
  return `${lines}time_s,current_a${withVoltage ? ',voltage_v' : ''}\n`;
}

/** Rows of one block; numbers are as short as they can be and still read back as the same float64 time and float32 values. */
export function csvRows(block: SampleBlock, withVoltage: boolean): string {
  const { timeS, currentA } = block;
  const voltageV = withVoltage ? block.voltageV : null;
  let text = '';
  for (let i = 0; i < timeS.length; i++) {
    text += `${timeS[i]},${shortest(currentA[i])}${voltageV === null ? '\n' : `,${shortest(voltageV[i])}\n`}`;
  }
  return text;
}

/** A float32 needs at most 9 significant digits (IEEE 754-2019, 5.12.2). */
function shortest(value: number): string {
  for (let digits = 7; digits < 9; digits++) {
    const rounded = Number(value.toPrecision(digits));
    if (Math.fround(rounded) === value) return String(rounded);
  }
  return String(Number(value.toPrecision(9)));
}
