import { readFile } from 'node:fs/promises';
import { KNOWN_GOOD_SCHEMA, type KnownGood, type KnownGoodLimit } from '../core/analysis/compare/known-good.ts';
import { InputError } from './io.ts';

/** Limits are a page of text: what is larger is something else. */
const MAX_LIMITS_BYTES = 1 << 20;

/** Reads a file made by `amptrail limits`. Every field is checked: the file may come from anywhere. */
export async function readKnownGood(path: string): Promise<KnownGood> {
  let document: unknown;
  try {
    const text = await readFile(path, 'utf8');
    if (text.length > MAX_LIMITS_BYTES) throw new Error('too large');
    document = JSON.parse(text);
  } catch {
    throw new InputError(`${path} cannot be read as limits: make the file with amptrail limits TRACE… --out FILE`);
  }
  const { schema, circuit, limits } = document as { schema?: unknown; circuit?: unknown; limits?: unknown };
  if (schema !== KNOWN_GOOD_SCHEMA || !Array.isArray(limits)) {
    throw new InputError(`${path} holds no limits (its schema is not ${KNOWN_GOOD_SCHEMA}): make the file with amptrail limits TRACE… --out FILE`);
  }
  const bad = limits.findIndex((limit) => !isLimit(limit));
  if (bad >= 0) throw new InputError(`${path}: limit number ${bad + 1} is not whole (direction, metric, low below high): make the file again`);
  return { schema: KNOWN_GOOD_SCHEMA, circuit: typeof circuit === 'string' ? circuit : '', limits: limits as KnownGoodLimit[], problems: [] };
}

function isLimit(limit: unknown): boolean {
  const { direction, metric, low, high } = (limit ?? {}) as Partial<Record<keyof KnownGoodLimit, unknown>>;
  return (direction === 'forward' || direction === 'reverse') && typeof metric === 'string' && typeof low === 'number' && typeof high === 'number' && low <= high;
}
