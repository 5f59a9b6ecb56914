import type { ColumnChoice } from '../test/line-columns.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.traces.csvPreview;

/** The beginning of a CSV file as a person sees it before it is read. */
export interface CsvPreview {
  readonly names: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** by the project's own names of columns; everything else is for the person to say */
  readonly choices: readonly ColumnChoice[];
  /** as many numbers as were read, for the rate */
  readonly columns: readonly (readonly number[])[];
}

const SHOWN_ROWS = 4;
const OWN_NAMES: Readonly<Record<string, ColumnChoice>> = { time_s: 'time:s', current_a: 'current:A', voltage_v: 'voltage:V' };
const FACTORS: Readonly<Record<string, number>> = { s: 1, ms: 1e-3, us: 1e-6 };

/** `text` is the beginning of the file; its last line may be cut and is left out. Null where there is no row. */
export function previewCsv(text: string): CsvPreview | null {
  const lines = text.replace(/^\uFEFF/, '').split(/\r?\n/).slice(0, -1).filter((line) => line.trim() !== '' && !line.startsWith('#') && !line.startsWith('sep='));
  if (lines.length === 0) return null;
  const delimiter = [';', '\t', ','].find((one) => lines[0]!.includes(one)) ?? ',';
  const cells = lines.map((line) => line.split(delimiter).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1')));
  const head = cells[0]!;
  const hasHeader = head.every((cell) => !Number.isFinite(numberOf(cell)));
  const rows = hasHeader ? cells.slice(1) : cells;
  return {
    names: hasHeader ? head : head.map((_, i) => words.column(i + 1)),
    rows: rows.slice(0, SHOWN_ROWS),
    choices: head.map((name) => (hasHeader ? (OWN_NAMES[name.toLowerCase()] ?? 'skip') : 'skip')),
    columns: head.map((_, i) => rows.map((row) => numberOf(row[i] ?? ''))),
  };
}

/** Readings a second by the column chosen as time; null where there is none or it does not rise. */
export function rateOf(preview: CsvPreview, choices: readonly ColumnChoice[]): number | null {
  const at = choices.findIndex((choice) => choice.startsWith('time'));
  if (at < 0) return null;
  const times = preview.columns[at]!;
  const lengthS = (times[times.length - 1]! - times[0]!) * FACTORS[choices[at]!.slice('time:'.length)]!;
  return lengthS > 0 && times.length > 1 ? (times.length - 1) / lengthS : null;
}

/** In the words the daemon reads: `time=1:ms,current=3:mA`. Null without exactly one current and at most one of the others. */
export function columnsOf(choices: readonly ColumnChoice[]): string | null {
  const count = (role: string): number => choices.filter((choice) => choice.startsWith(role)).length;
  if (count('current') !== 1 || count('time') > 1 || count('voltage') > 1) return null;
  return choices.flatMap((choice, i) => (choice === 'skip' ? [] : [choice.replace(':', `=${i + 1}:`)])).join(',');
}

/** What the daemon says to a person at a page: without the advice for a command line. */
export function forThePage(text: string): string {
  return text.split(/(?<=[.!?])\s+/).map((sentence) => sentence.replace(/,? for example --.*$/, '.')).filter((sentence) => !/(^|\s)--\w/.test(sentence)).join(' ');
}

/** A decimal comma is one too. */
function numberOf(cell: string): number {
  return cell === '' ? NaN : Number(cell.replace(',', '.'));
}
