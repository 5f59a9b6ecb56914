import { StoreError } from './store-error.ts';
import { language } from '../../../core/present/language.ts';

const texts = language.daemon.store.names;

/** Where captures that belong to no job yet lie. */
export const UNFILED = 'unfiled';

/** Letters, digits, dash and underscore: safe on every file system and in every URL, and no way out of a folder. */
const SAFE = /^[A-Za-z0-9_-]{1,120}$/;
/** Names that Windows keeps for devices, with or without an ending (Microsoft, "Naming Files, Paths, and Namespaces"). */
const DEVICE = /^(con|prn|aux|nul|com\d|lpt\d)$/i;

export function isSafeName(name: string): boolean {
  return SAFE.test(name) && !DEVICE.test(name);
}

/** Throws StoreError `bad-name` for anything that could name a place outside the data folder. */
export function checkName(name: string, what: string): string {
  if (!isSafeName(name)) {
    throw new StoreError('bad-name', texts.cannotBeTheName(name.slice(0, 60), what));
  }
  return name;
}

/** A name that sorts by time and still tells a person something: `2026-03-01T14-15-30Z-minibus-side-step`. */
export function timedName(at: Date, words: string): string {
  const time = at.toISOString().replace(/\.\d+Z$/, 'Z').replaceAll(':', '-');
  const plain = words
    .normalize('NFKD')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .slice(0, 60)
    .replaceAll(/^-+|-+$/g, '');
  return plain === '' ? time : `${time}-${plain}`;
}

/** Tries `name`, `name-2`, `name-3` … until `make` succeeds; `make` answers false when the name is taken. */
export async function withFreeName(name: string, make: (name: string) => Promise<boolean>): Promise<string> {
  for (let count = 1; count <= 1000; count++) {
    const tried = count === 1 ? name : `${name}-${count}`;
    if (await make(tried)) return tried;
  }
  throw new StoreError('exists', texts.thereAreAThousand(name));
}
