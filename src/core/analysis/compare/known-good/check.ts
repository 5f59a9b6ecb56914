import { KNOWN_GOOD_LIST_SCHEMA, KNOWN_GOOD_SCHEMA, type KnownGood, type KnownGoodLimit } from './known-good.ts';
import { checkUsual, usualLimits } from './usual.ts';
import { language } from '../../../present/language.ts';

const texts = language.knownGoodFile;

/** Names are shown in lists and become part of a file name. */
const MAX_TEXT = 200;
const METHODS: readonly KnownGoodLimit['method'][] = ['normal', 'range', 'single', 'typed'];

/**
 * A known-good document out of whatever a file held; a sentence that says what is wrong with it otherwise. The file may come from
 * anywhere, so every field is looked at. Limits of typed currents are worked out from these, whatever is beside them.
 */
export function checkKnownGood(document: unknown): KnownGood | string {
  const { schema, circuit, limits, vehicle_type: vehicleType, place, usual } = (document ?? {}) as Record<string, unknown>;
  if (schema !== KNOWN_GOOD_SCHEMA) return texts.noLimits(KNOWN_GOOD_SCHEMA);
  const named = { schema: KNOWN_GOOD_SCHEMA, circuit: textOf(circuit), ...optional('vehicle_type', vehicleType), ...optional('place', place) } as const;
  if (usual !== undefined) {
    const currents = checkUsual(usual);
    return typeof currents === 'string' ? currents : { ...named, usual: currents, limits: usualLimits(currents), problems: [] };
  }
  if (!Array.isArray(limits)) return texts.noLimits(KNOWN_GOOD_SCHEMA);
  const read = limits.map(limitOf);
  const bad = read.indexOf(null);
  if (bad >= 0) return texts.broken(bad + 1);
  return { ...named, limits: read as KnownGoodLimit[], problems: [] };
}

/** One circuit or a list of them, out of whatever a file held. */
export function checkKnownGoodFile(document: unknown): readonly KnownGood[] | string {
  const { schema, sets } = (document ?? {}) as { schema?: unknown; sets?: unknown };
  if (schema !== KNOWN_GOOD_LIST_SCHEMA) {
    const one = checkKnownGood(document);
    return typeof one === 'string' ? one : [one];
  }
  if (!Array.isArray(sets) || sets.length === 0) return texts.empty;
  const read: KnownGood[] = [];
  for (const [at, set] of sets.entries()) {
    const known = checkKnownGood(set);
    if (typeof known === 'string') return texts.circuit(at + 1, known);
    read.push(known);
  }
  return read;
}

/** Null where something is missing that limits cannot do without; one that says not how it was learnt was typed. */
function limitOf(limit: unknown): KnownGoodLimit | null {
  const { direction, metric, low, high, traces, coverage, confidence, method } = (limit ?? {}) as Partial<Record<keyof KnownGoodLimit, unknown>>;
  const isWhole = (direction === 'forward' || direction === 'reverse') && typeof metric === 'string' && metric.length <= MAX_TEXT && isFigure(low) && isFigure(high) && low <= high;
  if (!isWhole) return null;
  const figure = (value: unknown): number => (isFigure(value) ? value : 0);
  return { direction, metric, low, high, traces: figure(traces), coverage: figure(coverage), confidence: figure(confidence), method: METHODS.find((known) => known === method) ?? 'typed' };
}

function isFigure(value: unknown): value is number {
  return Number.isFinite(value);
}

function textOf(value: unknown): string {
  return typeof value === 'string' ? value.trim().slice(0, MAX_TEXT) : '';
}

function optional<Name extends string>(name: Name, value: unknown): { readonly [Key in Name]?: string } {
  const text = textOf(value);
  return (text === '' ? {} : { [name]: text }) as { readonly [Key in Name]?: string };
}
