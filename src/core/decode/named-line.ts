import { unitFactor } from '../units.ts';
import type { ColumnRole, ColumnSpec } from './columns.ts';

/**
 * Lines in which each number has its name before it, as sketches print them for people: `I=2.4A U=12V`, `I: 2.40 mA, U: 12.1 V`. Each pair is looked up by its
 * name, wherever in the line it comes; a unit that is printed counts, so that a reading which goes from mA to A with its size is read right. A line in which
 * anything with a digit in it is no pair, or a name comes twice, is refused: `I=2,4A` may be 2.4 A or two columns. Where no number has a name, each is called by
 * the quantity of its unit: `0.52 A 12.6 V`, `-520mA, 12.6V` hold an A and a V.
 */
interface NamedNumber {
  readonly name: string;
  /** the pair as it was printed */
  readonly text: string;
  /** as it was printed, before its unit */
  readonly value: number;
  /** as it was printed; empty where there is none */
  readonly unit: string;
}

/** What a column list may call a pair: a word, as programs name their values. */
const NAME = /^[A-Za-z_]\w{0,19}$/;
/** More pairs than any logger of this kind prints in a line. */
const MAX_PAIRS = 16;

const SEPARATORS = /[\s,;|]*/y;
const PAIR = /([A-Za-z_]\w{0,19})\s?[=:]\s?([+-]?(?:\d{1,15}(?:\.\d{0,15})?|\.\d{1,15})(?:[eE][+-]?\d{1,2})?)(?:\s?([^\s,;|=:.\d+\-eE][^\s,;|=:.\d+-]{0,5}))?(?=[\s,;|]|$)(?!\s*[=:])/y;
/** A word without a digit says nothing that could be taken for a reading. */
const WORD = /[^\s,;|=:\d]+(?=[\s,;|]|$)/y;

const WITH_UNIT = /([+-]?(?:\d{1,15}(?:\.\d{0,15})?|\.\d{1,15}))\s?([A-Za-zµμ]{1,6})(?=[\s,;|]|$)/y;

/** The pairs of a line in their order; null where it is no such line. */
export function namedNumbers(line: string): readonly NamedNumber[] | null {
  return pairsOf(line, PAIR, ([text, name = '', digits = '', unit = '']) => ({ text, name, value: Number(digits), unit })) ?? pairsOf(line, WITH_UNIT, ([text, digits = '', unit = '']) => {
    const role = roleOfUnit(unit);
    return { text, name: role === null ? unit : SYMBOLS[role], value: Number(digits), unit };
  });
}

function pairsOf(line: string, pattern: RegExp, pairOf: (found: RegExpExecArray) => NamedNumber): readonly NamedNumber[] | null {
  const pairs: NamedNumber[] = [];
  const names = new Set<string>();
  let at = 0;
  const next = (pattern: RegExp): RegExpExecArray | null => {
    pattern.lastIndex = at;
    const found = pattern.exec(line);
    if (found !== null) at = pattern.lastIndex;
    return found;
  };
  next(SEPARATORS);
  while (at < line.length) {
    const found = next(pattern);
    if (found !== null) {
      const pair = pairOf(found);
      if (names.has(pair.name) || pairs.length === MAX_PAIRS) return null;
      names.add(pair.name);
      pairs.push(pair);
    } else if (next(WORD) === null) return null;
    next(SEPARATORS);
  }
  return pairs.length === 0 ? null : pairs;
}

/** Which pair is what, by name; in the numbers of a line they lie in this order. */
export type LineNames = readonly { readonly role: Exclude<ColumnRole, 'skip'>; readonly name: string; readonly unitFactor: number }[];

const SYMBOLS = { time: 's', current: 'A', voltage: 'V' } as const;

/** The numbers of a line as its columns ask for them, each in the unit that was asked for; null where one is missing, or is of another quantity. */
export function readNamed(line: string, names: LineNames): number[] | null {
  const pairs = namedNumbers(line);
  if (pairs === null) return null;
  const numbers: number[] = [];
  for (const { role, name, unitFactor: asked } of names) {
    const pair = pairs.find((one) => one.name === name);
    if (pair === undefined) return null;
    // a unit in a word that is none of ours, such as Amps, is what the person said who chose it
    const printed = pair.unit === '' || (pair.name === pair.unit && roleOfUnit(pair.unit) === null) ? asked : factorOf(role, pair.unit);
    if (printed === null) return null;
    numbers.push(printed === asked ? pair.value : (pair.value * printed) / asked);
  }
  return numbers;
}

/** The role that a printed unit fits; null for one that is neither a current's nor a voltage's nor a time's. */
export function roleOfUnit(unit: string): Exclude<ColumnRole, 'skip'> | null {
  return (['time', 'current', 'voltage'] as const).find((role) => factorOf(role, unit) !== null) ?? null;
}

function factorOf(role: Exclude<ColumnRole, 'skip'>, unit: string): number | null {
  return unit.endsWith(SYMBOLS[role]) ? unitFactor(unit) : null;
}

/** The names a column list looks for; null where it names columns by their number, or none. */
export function lineNames(columns: readonly ColumnSpec[]): LineNames | null {
  const asked = columns.filter(({ role }) => role !== 'skip');
  if (!asked.every(({ name }) => name !== null && NAME.test(name))) return null;
  return asked.map(({ role, name, unit }) => ({ role: role as Exclude<ColumnRole, 'skip'>, name: name ?? '', unitFactor: unit ?? 1 }));
}
