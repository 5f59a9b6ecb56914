import { FUSE_TYPES, fuseTypeOf } from '../../reference/blade-fuses.ts';
import type { FuseReading } from './types.ts';
import { NumberCell, type CellFault } from '../../tracefile/csv/number.ts';
import { csvCells, csvDelimiter } from '../../tracefile/csv/cells.ts';
import { language } from '../../present/language.ts';

const words = language.fuseList;

/** Fuses of one list; a vehicle has a few dozen. */
const MAX_FUSES = 1000;
const MAX_LABEL = 80;
const NEEDED = ['label', 'type', 'rating_a', 'mv'] as const;

interface FuseListRead {
  readonly readings: readonly FuseReading[];
  /** a sentence with line and column; null when the whole list could be read */
  readonly error: string | null;
}

const FAULTS: Readonly<Record<CellFault, string>> = {
  empty: words.itIsEmpty,
  'not-a-number': words.itIsNotANumber,
  'not-finite': words.itIsNotA,
  'mixed-marks': words.itHasASecond,
};

/** Reads a list of fuse drops: header `label,type,rating_a,mv` and optionally `ohm`. One bad cell refuses the list, with its line and column. */
export function readFuseList(bytes: Uint8Array, text: string): FuseListRead {
  if (bytes.includes(0)) return refused(words.itIsNotPlain);
  const lines = text.replace(/^\uFEFF/, '').split(/\r\n|\r|\n/);
  const headerAt = lines.findIndex((line) => line.trim() !== '' && !line.startsWith('#'));
  const header = lines[headerAt];
  if (header === undefined) return refused(words.itIsEmptyIt);
  const delimiter = csvDelimiter(header);
  const names = csvCells(header, delimiter).map((cell) => cell.toLowerCase());
  const missing = NEEDED.filter((name) => !names.includes(name));
  if (missing.length > 0) return refused(words.lineTheHeaderHas(headerAt + 1, missing.join(', ')));
  const readings: FuseReading[] = [];
  for (let at = headerAt + 1; at < lines.length; at++) {
    const line = lines[at];
    if (line.trim() === '' || line.startsWith('#')) continue;
    if (readings.length === MAX_FUSES) return refused(words.lineThereAreMore(at + 1, MAX_FUSES));
    const row = csvCells(line, delimiter);
    if (row.length !== names.length) return refused(words.lineItHasCells(at + 1, row.length, names.length));
    const reading = readRow({ row, names, line: at + 1 });
    if (typeof reading === 'string') return refused(reading);
    readings.push(reading);
  }
  return readings.length === 0 ? refused(words.itHasAHeader) : { readings, error: null };
}

interface Row {
  readonly row: readonly string[];
  readonly names: readonly string[];
  readonly line: number;
}

function readRow(cells: Row): FuseReading | string {
  const label = textOf(cells, 'label').slice(0, MAX_LABEL);
  if (label === '') return where(cells, 'label', words.itIsEmptyGive);
  const rating = numberOf(cells, 'rating_a');
  if (typeof rating === 'string') return rating;
  if (!(rating > 0)) return where(cells, 'rating_a', words.aRatingIsAboveZero);
  const millivolts = numberOf(cells, 'mv');
  if (typeof millivolts === 'string') return millivolts;
  const own = cells.names.includes('ohm') && textOf(cells, 'ohm') !== '' ? numberOf(cells, 'ohm') : null;
  if (typeof own === 'string') return own;
  if (own !== null && !(own > 0)) return where(cells, 'ohm', words.aResistanceIsAboveZero);
  const typeWord = textOf(cells, 'type');
  const type = fuseTypeOf(typeWord);
  if (type === null && own === null) return where(cells, 'type', words.itNamesNoType(FUSE_TYPES.join(', ')));
  return { label, type, typeWord, ratingA: rating, dropV: millivolts / 1000, ownOhm: own };
}

function textOf({ row, names }: Row, name: string): string {
  return row[names.indexOf(name)] ?? '';
}

function numberOf(cells: Row, name: string): number | string {
  const text = textOf(cells, name);
  const cell = new NumberCell();
  const bytes = Uint8Array.from(text, (letter) => Math.min(letter.charCodeAt(0), 0xff));
  if (cell.read(bytes, 0, bytes.length)) return cell.value;
  return where(cells, name, FAULTS[cell.fault ?? 'not-a-number']);
}

function where(cells: Row, name: string, why: string): string {
  const text = textOf(cells, name);
  return words.lineColumn(cells.line, cells.names.indexOf(name) + 1, name, text === '' ? '' : words.says(text.slice(0, 40)), why);
}

function refused(error: string): FuseListRead {
  return { readings: [], error };
}
