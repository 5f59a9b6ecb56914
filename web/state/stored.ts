import { computed, signal } from '@preact/signals';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import type { JobView, TraceView } from '../../src/core/wire/api.ts';
import { ApiFailure, listJobs, listTraces } from '../net/api.ts';
import { settings } from './live.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.stored;

/** Jobs and traces on disk, as last asked for. null = not asked yet. */
export const jobs = signal<readonly JobView[] | null>(null);
export const traces = signal<readonly TraceView[] | null>(null);
export const storedError = signal('');

/** The job that recordings go to; null where they go to none, or it is not known yet. */
export const activeJob = computed<JobRecord | null>(() => jobs.value?.find(({ job }) => job.id === settings.value?.jobId)?.job ?? null);

let asked = 0;
let shown = 0;

/** Asks anew. Of two answers that cross on their way, the one that was asked for later is shown: the earlier one knows nothing of what has ended since. */
export async function refreshStored(): Promise<void> {
  const turn = ++asked;
  const show = (what: () => void): void => {
    if (turn < shown) return;
    shown = turn;
    what();
  };
  try {
    const [nextJobs, nextTraces] = await Promise.all([listJobs(), listTraces()]);
    show(() => {
      jobs.value = nextJobs;
      traces.value = nextTraces;
      storedError.value = '';
    });
  } catch (error) {
    show(() => (storedError.value = wordsOf(error)));
  }
}

/** What went wrong, for people. */
export function wordsOf(error: unknown): string {
  if (error instanceof ApiFailure) return error.message;
  return error instanceof Error ? words.somethingWentWrongOn(error.message) : words.somethingWentWrongOnThis;
}
