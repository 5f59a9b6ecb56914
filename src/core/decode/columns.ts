import { unitFactor } from '../units.ts';
import { language } from '../present/language.ts';

const words = language.files.columns;

/**
 * The words by which a person says what the columns of other people's numbers are; one grammar for a logger's lines
 * (`columns=time:ms,current:mA`) and for CSV files (`--columns time=NAME:ms,current=2:mA`):
 *
 *     columns = entry *("," entry)
 *     entry   = ("time" | "current" | "voltage" | "skip") ["=" name] [":" unit ["*" scale]]
 *     name    = a header's text, the name before a number in a logger's line (current=I for I=2.4A), or a column's number counted from 1; in double quotes when it holds a comma or a colon
 *     unit    = "s" "ms" "us" "ns" "min" "h" | "A" "mA" "uA" | "V" "mV" "uV"
 *
 *     scale   = what one of the printed numbers is in that unit: a clamp of 100 mV for 1 A whose volts are printed is current:A*10
 *
 * Without a unit the value is in s, A or V. Without a name an entry means the next column: the first entry the first, and so on.
 */
export type ColumnRole = 'time' | 'current' | 'voltage' | 'skip';

export interface ColumnSpec {
  readonly role: ColumnRole;
  /** as typed; null = by its place in the list */
  readonly name: string | null;
  /** value × factor is in s, A or V */
  readonly factor: number;
  /** what the unit alone is in s, A or V, without a scale; absent where none was given */
  readonly unit?: number;
}

type ColumnsAnswer = { readonly ok: true; readonly columns: readonly ColumnSpec[] } | { readonly ok: false; readonly text: string };

const UNITS: Readonly<Record<Exclude<ColumnRole, 'skip'>, readonly string[]>> = {
  time: ['s', 'ms', 'us', 'ns', 'min', 'h'],
  current: ['A', 'mA', 'uA'],
  voltage: ['V', 'mV', 'uV'],
};

/** More columns, and longer lists, than anybody types; bounds on strangers' words. */
const MAX_ENTRIES = 64;
const MAX_LIST_LENGTH = 2000;

/** Reads a column list; the text of a refusal says which entry is wrong and what would be right. */
export function parseColumns(text: string): ColumnsAnswer {
  if (text.length > MAX_LIST_LENGTH) return refuse(words.theColumnListIs(text.length, MAX_LIST_LENGTH));
  const entries = splitEntries(text);
  if (entries === null) return refuse(words.theColumnListHas(shorten(text)));
  if (entries.length > MAX_ENTRIES) return refuse(words.theColumnListNames(entries.length, MAX_ENTRIES));
  const columns: ColumnSpec[] = [];
  for (const entry of entries) {
    const answer = parseEntry(entry);
    if (typeof answer === 'string') return refuse(answer);
    if (answer.role !== 'skip' && columns.some((column) => column.role === answer.role)) {
      return refuse(words.theColumnListNamesTwice(answer.role));
    }
    columns.push(answer);
  }
  if (!columns.some((column) => column.role === 'current')) {
    return refuse(words.theColumnListHasNo);
  }
  return { ok: true, columns };
}

function parseEntry(entry: string): ColumnSpec | string {
  const match = /^\s*([a-z]+)\s*(?:=\s*("[^"]*"|[^"]*?))?\s*(?::\s*([^:"\s*]*)(?:\*([^:"\s]*))?)?\s*$/i.exec(entry);
  const example = words.writeForExampleTime;
  if (match === null) return words.theColumnEntryCannot(shorten(entry), example);
  const role = match[1]!.toLowerCase();
  if (role !== 'time' && role !== 'current' && role !== 'voltage' && role !== 'skip') {
    return words.theColumnEntryBegins(shorten(entry), shorten(match[1]!), example);
  }
  const name = match[2] === undefined ? null : match[2].replace(/^"|"$/g, '');
  if (name === '') return words.theColumnEntryHas(shorten(entry), example);
  const unit = match[3];
  if (role === 'skip') return unit === undefined ? { role, name, factor: 1 } : words.aSkippedColumnHas(shorten(entry));
  if (unit === undefined) return { role, name, factor: 1 };
  const factor = UNITS[role].includes(unit) ? unitFactor(unit) : null;
  if (factor === null) return words.isNoUnitOf(shorten(unit), role, UNITS[role].join(', '));
  const scale = match[4] === undefined ? 1 : readScale(match[4]);
  if (scale === null) return words.isNoScale(shorten(match[4]!));
  return { role, name, factor: factor * scale, unit: factor };
}

/** Beyond these a scale is a slip of the finger. */
const SCALE = { least: 1e-9, most: 1e9 };

function readScale(text: string): number | null {
  const scale = /^-?\d{1,15}(\.\d{1,15})?(e-?\d{1,2})?$/i.test(text) ? Number(text) : 0;
  return Math.abs(scale) >= SCALE.least && Math.abs(scale) <= SCALE.most ? scale : null;
}

/** Splits at commas outside double quotes; null when a quote is left open. */
function splitEntries(text: string): string[] | null {
  const entries: string[] = [];
  let quoted = false;
  let start = 0;
  for (let i = 0; i < text.length; i += 1) {
    if (text[i] === '"') quoted = !quoted;
    else if (text[i] === ',' && !quoted) {
      entries.push(text.slice(start, i));
      start = i + 1;
    }
  }
  entries.push(text.slice(start));
  return quoted ? null : entries;
}

function refuse(text: string): ColumnsAnswer {
  return { ok: false, text };
}

function shorten(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}
