import { readFile } from 'node:fs/promises';
import { checkKnownGoodFile } from '../core/analysis/compare/known-good/check.ts';
import type { KnownGood } from '../core/analysis/compare/known-good/known-good.ts';
import { InputError, UsageError } from './io.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.knownGoodFile;

/** A library of some hundred circuits; what is larger is something else. */
const MAX_LIMITS_BYTES = 4 << 20;

/**
 * Reads a file made by `amptrail limits`, a set that the pages keep in the data folder, or a library that they export; of several circuits the one called
 * `circuit`.
 */
export async function readKnownGood(path: string, circuit?: string): Promise<KnownGood> {
  let document: unknown;
  try {
    const text = await readFile(path, 'utf8');
    if (text.length > MAX_LIMITS_BYTES) throw new Error(words.tooLarge);
    document = JSON.parse(text);
  } catch {
    throw new InputError(words.cannotBeReadAs(path));
  }
  const found = checkKnownGoodFile(document);
  if (typeof found === 'string') throw new InputError(words.makeTheFileWith(path, found));
  const named = circuit === undefined ? found : found.filter((known) => sameName(known.circuit, circuit));
  const [one] = named;
  if (one !== undefined && named.length === 1) return one;
  const all = found.map((known) => `"${[known.circuit, known.vehicle_type].filter(Boolean).join(', ')}"`).join(', ');
  throw new UsageError(circuit === undefined ? words.sayWhichCircuit(path, found.length, all) : words.circuitsCalled(path, named.length, circuit, all));
}

function sameName(one: string, other: string): boolean {
  return one.trim().toLowerCase() === other.trim().toLowerCase();
}
