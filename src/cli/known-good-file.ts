import { readFile } from 'node:fs/promises';
import { checkKnownGood } from '../core/analysis/compare/known-good/check.ts';
import type { KnownGood } from '../core/analysis/compare/known-good/known-good.ts';
import { InputError } from './io.ts';
import { en } from '../core/present/en/index.ts';

const words = en.cli.results.knownGoodFile;

/** Limits are a page of text: what is larger is something else. */
const MAX_LIMITS_BYTES = 1 << 20;

/** Reads a file made by `amptrail limits`, or a set that the pages keep in the data folder. */
export async function readKnownGood(path: string): Promise<KnownGood> {
  let document: unknown;
  try {
    const text = await readFile(path, 'utf8');
    if (text.length > MAX_LIMITS_BYTES) throw new Error(words.tooLarge);
    document = JSON.parse(text);
  } catch {
    throw new InputError(words.cannotBeReadAs(path));
  }
  const known = checkKnownGood(document);
  if (typeof known === 'string') throw new InputError(words.makeTheFileWith(path, known));
  return known;
}
