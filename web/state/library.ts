import { signal } from '@preact/signals';
import type { KnownGoodSet, KnownGoodImported, TypedCircuit } from '../../src/core/wire/prove.ts';
import { request } from '../net/api.ts';
import { saveBlob } from '../net/download.ts';
import { wordsOf } from './stored.ts';

/** Known-good sets and usual currents, as last asked for. null = not asked yet. */
export const library = signal<readonly KnownGoodSet[] | null>(null);
export const libraryError = signal('');

export async function refreshLibrary(): Promise<readonly KnownGoodSet[]> {
  try {
    library.value = await ask<KnownGoodSet[]>('GET', '/api/known-good');
    libraryError.value = '';
  } catch (failure) {
    libraryError.value = wordsOf(failure);
  }
  return library.value ?? [];
}

/** `id` null: a new one. Throws ApiFailure, as what follows. */
export const keepUsual = (id: string | null, circuit: TypedCircuit): Promise<KnownGoodSet> =>
  id === null ? ask('POST', '/api/known-good/usual', circuit) : ask('PUT', `/api/known-good/${encodeURIComponent(id)}/usual`, circuit);

export const importLibrary = (file: Blob): Promise<KnownGoodImported> => ask('POST', '/api/known-good/import', file);

/** One circuit as `analyse --known-good` takes it, or all of them. */
export function exportLibrary(sets: readonly KnownGoodSet[], name: string): void {
  const document = sets.length === 1 ? sets[0] : { schema: 'amptrail-known-good-list/1', sets };
  saveBlob(new Blob([`${JSON.stringify(document, null, 2)}\n`], { type: 'application/json' }), name);
}

async function ask<Answer>(method: string, path: string, body?: unknown): Promise<Answer> {
  return (await (await request(method, path, body)).json()) as Answer;
}
