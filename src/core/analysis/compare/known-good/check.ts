import { KNOWN_GOOD_SCHEMA, type KnownGood, type KnownGoodLimit } from './known-good.ts';

/**
 * A known-good document out of whatever a file held; a sentence that says what is wrong with it otherwise. The file may come from
 * anywhere, so every field is looked at.
 */
export function checkKnownGood(document: unknown): KnownGood | string {
  const { schema, circuit, limits } = (document ?? {}) as { schema?: unknown; circuit?: unknown; limits?: unknown };
  if (schema !== KNOWN_GOOD_SCHEMA || !Array.isArray(limits)) return `it holds no limits (its schema is not ${KNOWN_GOOD_SCHEMA})`;
  const bad = limits.findIndex((limit) => !isLimit(limit));
  if (bad >= 0) return `limit number ${bad + 1} is not whole (direction, metric, low below high)`;
  return { schema: KNOWN_GOOD_SCHEMA, circuit: typeof circuit === 'string' ? circuit : '', limits: limits as KnownGoodLimit[], problems: [] };
}

function isLimit(limit: unknown): boolean {
  const { direction, metric, low, high } = (limit ?? {}) as Partial<Record<keyof KnownGoodLimit, unknown>>;
  return (direction === 'forward' || direction === 'reverse') && typeof metric === 'string' && typeof low === 'number' && typeof high === 'number' && low <= high;
}
