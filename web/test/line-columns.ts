import { parseColumns } from '../../src/core/decode/columns.ts';
import { namedNumbers, roleOfUnit } from '../../src/core/decode/named-line.ts';
import { unitFactor } from '../../src/core/units.ts';

/** What one column of a logger's lines holds, as chosen on the page. */
export type ColumnChoice = 'skip' | 'time:s' | 'time:ms' | 'time:us' | 'current:A' | 'current:mA' | 'voltage:V' | 'voltage:mV';

export const COLUMN_CHOICES: readonly ColumnChoice[] = ['skip', 'time:s', 'time:ms', 'time:us', 'current:A', 'current:mA', 'voltage:V', 'voltage:mV'];

/** A column as chosen; `scale`: what one printed number is in the unit. */
export interface ColumnUse {
  readonly choice: ColumnChoice;
  readonly scale: number | null;
}

/** More columns than any logger of this kind prints. */
const MAX_COLUMNS = 16;

/** What lines of so many numbers are read as, where nobody said. */
const USUAL: Readonly<Record<number, readonly ColumnChoice[]>> = { 1: ['current:A'], 2: ['current:A', 'voltage:V'], 3: ['time:s', 'current:A', 'voltage:V'] };

/** One field of a line: a number, or a word; `name`: that before its number, or the quantity of its unit, by which it is then found. */
export interface LineField {
  readonly text: string;
  readonly name?: string;
  /** as printed behind a named number */
  readonly unit?: string;
}

/** What lines that are no readings call for: another speed, other lines (without a number, or with numbers that cannot be told apart), or columns chosen for them. */
type OddKind = 'noise' | 'words' | 'mixed' | 'columns';

/** Of a wrong speed more than half of the characters occur in no text; a name with accents or a degree sign stays far below this part. */
const NOISE_PART = 0.1;

/** A digit that is no part of a name such as A0 or v2.1. */
const FREE_DIGIT = /(?:^|[^\w.])[+-]?[.,]?\d/;

export function oddKind(lines: readonly string[], fields: readonly LineField[]): OddKind {
  const all = lines.join('');
  if (all.replaceAll(/[\t\x20-\x7e]/g, '').length > NOISE_PART * all.length) return 'noise';
  if (fields.some(isNumber)) return 'columns';
  return lines.some((line) => FREE_DIGIT.test(line)) ? 'mixed' : 'words';
}

/** Digits with a sign, a point or a comma, and whatever unit follows is no number. */
export function isNumber({ text, name }: LineField): boolean {
  return name !== undefined || /^[+-]?(\d+([.,]\d*)?|[.,]\d+)(e[+-]?\d+)?$/i.test(text);
}

/** The fields of the line that has most of them, split as the decoder splits. */
export function fieldsOf(lines: readonly string[]): readonly LineField[] {
  let fields: LineField[] = [];
  for (const line of lines) {
    const split = namedNumbers(line)?.map(({ text, name, unit }) => ({ text, name, unit })) ?? line.split(',').map((field) => ({ text: field.trim() }));
    if (split.length > fields.length) fields = split;
  }
  return fields.slice(0, MAX_COLUMNS);
}

/** The spec of the port in use; one that was found by itself is named by its path. Null where the source is no port. */
export function serialSpec(source: { readonly spec: string; readonly port?: string } | null): string | null {
  if (source === null) return null;
  if (source.spec.startsWith('serial:')) return source.spec;
  return source.port === undefined ? null : `serial:${source.port}`;
}

/** How the columns of the lines are read now. */
export function usesOf(spec: string, fields: readonly LineField[]): readonly ColumnUse[] {
  const none: ColumnUse = { choice: 'skip', scale: null };
  const given = optionOf(spec, 'columns');
  const named = fields.some(({ name }) => name !== undefined);
  if (given === null) return named ? usesByUnit(fields) : fields.map((_, i) => ({ choice: USUAL[fields.length]?.[i] ?? 'skip', scale: null }));
  const uses = fields.map(() => none);
  const parsed = parseColumns(given);
  for (const [i, { role, name, factor }] of (parsed.ok ? parsed.columns : []).entries()) {
    const at = named ? fields.findIndex((field) => field.name === name) : name === null ? i : Number(name) - 1;
    if (role !== 'skip' && at >= 0 && at < uses.length) uses[at] = useOf(role, factor);
  }
  return uses;
}

/** The first of each quantity by the units that are printed; a person says which it is where there are several. */
function usesByUnit(fields: readonly LineField[]): readonly ColumnUse[] {
  const found = new Set<string>();
  return fields.map(({ unit = '' }) => {
    const role = roleOfUnit(unit);
    const choice = role === null ? undefined : COLUMN_CHOICES.find((one) => one === `${role}:${unit}`);
    if (role === null || choice === undefined || found.has(role)) return { choice: 'skip', scale: null };
    found.add(role);
    return { choice, scale: null };
  });
}

/** The unit that is named with the least to multiply. */
function useOf(role: 'time' | 'current' | 'voltage', factor: number): ColumnUse {
  const choices = COLUMN_CHOICES.filter((choice) => choice.startsWith(role));
  const plain = choices.find((choice) => unitOf(choice) === factor);
  if (plain !== undefined) return { choice: plain, scale: null };
  return { choice: choices[0]!, scale: Number((factor / unitOf(choices[0]!)).toPrecision(12)) };
}

function unitOf(choice: ColumnChoice): number {
  return unitFactor(choice.split(':')[1] ?? '') ?? 1;
}

/** The spec of the same port with these columns; null where the source is no port, or not exactly one column is the current. `fields`: those of named numbers are found by their names. */
export function withColumns(spec: string, uses: readonly ColumnUse[], fields: readonly LineField[] = []): string | null {
  if (!spec.startsWith('serial:') || uses.filter(({ choice }) => choice.startsWith('current')).length !== 1) return null;
  if (fields.some(({ name }) => name !== undefined)) {
    return withOption(spec, 'columns', uses.flatMap((use, i) => (use.choice === 'skip' ? [] : [columnOf(use).replace(':', `=${fields[i]?.name ?? ''}:`)])).join(','));
  }
  return withOption(spec, 'columns', uses.map(columnOf).join(','));
}

function columnOf({ choice, scale }: ColumnUse): string {
  return choice === 'skip' || scale === null || scale === 1 ? choice : `${choice}*${scale}`;
}

/** The spec of the same port at this speed; null finds it out. */
export function withBaud(spec: string, baud: number | null): string {
  return withOption(spec, 'baud', baud === null ? null : String(baud));
}

export function baudOf(spec: string): number | null {
  const baud = optionOf(spec, 'baud');
  return baud === null ? null : Number(baud);
}

function optionOf(spec: string, name: string): string | null {
  return spec.split('?', 2)[1]?.split('&').find((part) => part.startsWith(`${name}=`))?.slice(name.length + 1) ?? null;
}

function withOption(spec: string, name: string, value: string | null): string {
  const [port = '', query = ''] = spec.split('?', 2);
  const parts = [...query.split('&').filter((part) => part !== '' && !part.startsWith(`${name}=`)), ...(value === null ? [] : [`${name}=${value}`])];
  return parts.length === 0 ? port : `${port}?${parts.join('&')}`;
}
