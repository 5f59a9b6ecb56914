import { parseColumns, type ColumnSpec } from '../../core/decode/columns.ts';
import { lineLayout } from '../../core/decode/number-line.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.sources.spec;

/** The words of a source are wrong; the text says which and what would be right. A command ends with exit code 2. */
export class SourceSpecError extends Error {
  override name = 'SourceSpecError';
}

type ParsedSpec =
  | { readonly kind: 'auto' }
  /** `baud` null = find out */
  | { readonly kind: 'serial'; readonly path: string; readonly baud: number | null; readonly columns: readonly ColumnSpec[] | null }
  | { readonly kind: 'sim'; readonly scenario: string; readonly speed: number; readonly seed: number }
  | { readonly kind: 'replay'; readonly path: string; readonly speed: number };

const FORMS = words.aSourceIsAuto;
/** 50 is the slowest speed of old teleprinters, 20 Mbaud above any USB bridge. */
const BAUD = { min: 50, max: 20_000_000 };
/** Above this the computer, not the factor, sets the pace. */
const SPEED = { min: 0.01, max: 10_000 };

/** Takes a source's words apart. Throws SourceSpecError. */
export function parseSpec(spec: string): ParsedSpec {
  const text = spec.trim();
  if (text === 'auto') return { kind: 'auto' };
  const colon = text.indexOf(':');
  const kind = colon < 0 ? text : text.slice(0, colon);
  if (colon < 0 || !['serial', 'sim', 'replay'].includes(kind)) throw new SourceSpecError(words.isNoSource(shorten(text), FORMS));
  const { target, options } = takeApart(kind, text.slice(colon + 1));
  switch (kind) {
    case 'serial': {
      if (target === '') throw new SourceSpecError(words.serialNeedsTheDevice);
      const baud = options.has('baud') ? readNumber('baud', options.get('baud')!, BAUD, true) : null;
      return { kind: 'serial', path: target, baud, columns: options.has('columns') ? readColumns(options.get('columns')!) : null };
    }
    case 'sim': {
      if (target === '') throw new SourceSpecError(words.simNeedsAScenario);
      const speed = readNumber('speed', options.get('speed') ?? '1', SPEED, false);
      return { kind: 'sim', scenario: target, speed, seed: readNumber('seed', options.get('seed') ?? '1', { min: 0, max: 2 ** 32 - 1 }, true) };
    }
    default:
      if (target === '') throw new SourceSpecError(words.replayNeedsATrace);
      return { kind: 'replay', path: target, speed: readNumber('speed', options.get('speed') ?? '1', SPEED, false) };
  }
}

const OPTIONS: Readonly<Record<string, readonly string[]>> = { serial: ['baud', 'columns'], sim: ['speed', 'seed'], replay: ['speed'] };

/** Splits at the last `?` that is followed by options; a path may hold a question mark of its own. */
function takeApart(kind: string, rest: string): { target: string; options: Map<string, string> } {
  const known = OPTIONS[kind] ?? [];
  const mark = rest.lastIndexOf('?');
  const options = new Map<string, string>();
  if (mark < 0 || (kind === 'replay' && !rest.slice(mark + 1).includes('='))) return { target: rest, options };
  for (const piece of rest.slice(mark + 1).split('&')) {
    const equals = piece.indexOf('=');
    const name = equals < 0 ? piece : piece.slice(0, equals);
    if (equals < 0 || !known.includes(name)) {
      throw new SourceSpecError(words.hasNoOptionItHas(kind, shorten(name), known.map((option) => `${option}=…`).join(' and ')));
    }
    if (options.has(name)) throw new SourceSpecError(words.wasGivenTwice(kind, name));
    options.set(name, piece.slice(equals + 1));
  }
  return { target: rest.slice(0, mark), options };
}

function readNumber(name: string, text: string, range: { min: number; max: number }, whole: boolean): number {
  const value = /^\d+(\.\d+)?$/.test(text) ? Number(text) : Number.NaN;
  if (!(value >= range.min && value <= range.max) || (whole && !Number.isInteger(value))) {
    throw new SourceSpecError(words.cannotBeItIs(name, shorten(text), whole ? words.wholeNumber : 'number', range.min, range.max));
  }
  return value;
}

function readColumns(text: string): readonly ColumnSpec[] {
  const answer = parseColumns(text);
  if (!answer.ok) throw new SourceSpecError(answer.text);
  const layout = lineLayout(answer.columns);
  if (typeof layout === 'string') throw new SourceSpecError(layout);
  return answer.columns;
}

function shorten(text: string): string {
  return text.length > 80 ? `${text.slice(0, 80)}…` : text;
}
