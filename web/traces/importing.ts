import { computed, signal } from '@preact/signals';
import type { TestKind } from '../../src/core/analysis/results.ts';
import { go, refreshRoute, route } from '../app/route.ts';
import type { ImportOptions } from '../net/api.ts';
import { importFile, isAbort, updateTrace } from '../net/api.ts';
import { shareOf } from '../state/live.ts';
import { refreshStored, traces, wordsOf } from '../state/stored.ts';
import { forThePage } from './csv-preview.ts';

/** A file that is brought in. It goes on while another screen is looked at, and is found again on the screen it was begun on. */

/** the file that questions are asked about */
export const asked = signal<File | null>(null);
/** why the last one was not taken; empty when it was */
export const error = signal('');
const running = signal<{ readonly name: string; readonly upload: string; readonly stopper: AbortController } | null>(null);

/** The file that is on its way, and how much of it is done. */
export const work = computed(() => {
  const now = running.value;
  return now === null ? null : { name: now.name, share: shareOf('import', '', now.upload) };
});

/** A zip is taken in at once; of any other file it is asked first what it holds. */
export function look(file: File): void {
  error.value = '';
  if (/\.zip$/i.test(file.name)) void beginImport(file, null, null);
  else asked.value = file;
}

export async function beginImport(file: File, test: TestKind | null, options: ImportOptions | null): Promise<void> {
  if (running.peek() !== null) return;
  const stopper = new AbortController();
  const upload = crypto.getRandomValues(new Uint32Array(2)).join('-');
  running.value = { name: file.name, upload, stopper };
  error.value = '';
  try {
    const record = await importFile(file, upload, options, stopper.signal);
    asked.value = null;
    await refreshStored();
    const found = traces.value?.find((trace) => trace.record.id === record.id);
    if (found !== undefined && test !== null) await updateTrace({ jobId: found.jobId, traceId: record.id }, { test });
    // who has gone on to another screen meanwhile is not fetched away from it, nor who is just going: the address is ahead of its event
    refreshRoute();
    if (found !== undefined && route.peek().screen === 'traces') go('trace', found.jobId, record.id);
  } catch (failure) {
    if (!isAbort(failure)) error.value = forThePage(wordsOf(failure));
  }
  running.value = null;
}

/** The file that is asked about is not brought in after all. */
export function leave(): void {
  asked.value = null;
  error.value = '';
}

export function giveUp(): void {
  running.peek()?.stopper.abort();
}
