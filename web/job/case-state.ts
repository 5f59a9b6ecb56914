import { signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { withTimes, type AnswerKey } from '../../src/core/reason/answered.ts';
import type { JobEvidence, JobRecord } from '../../src/core/tracefile/record.ts';
import type { JobNext } from '../../src/core/wire/api.ts';
import { changeEvidence, clashOf, getNext, isAbort } from '../net/api.ts';
import { jobs, refreshStored, traces, wordsOf } from '../state/stored.ts';

/** The opened job as this page shows it: what the daemon keeps, and changes that are on their way to it. */
export const openedJob = signal<JobRecord | null>(null);
/** What is left of the opened job; null while it is being worked out for the first time. */
export const answer = signal<JobNext | null>(null);
export const caseError = signal('');
/** a change of this page and one of somebody else's that clash; both are shown until one is chosen */
export const clash = signal<{ was: Partial<JobEvidence>; mine: Partial<JobEvidence>; now: JobRecord } | null>(null);
/** a trace of the job is being analysed, or a change is on its way */
export const working = signal(true);

let asked: AbortController | null = null;
let pending = 0;

async function ask(jobId: string): Promise<void> {
  asked?.abort();
  const mine = new AbortController();
  asked = mine;
  working.value = true;
  try {
    answer.value = await getNext(jobId, mine.signal);
    caseError.value = '';
  } catch (error) {
    if (!isAbort(error)) caseError.value = wordsOf(error);
  } finally {
    if (asked === mine) working.value = false;
  }
}

/** Keeps `openedJob` and `answer` at what the job says; asks again when its traces have changed. */
export function useCase(kept: JobRecord): void {
  const { id } = kept;
  const traceKey = (traces.value ?? []).filter((trace) => trace.jobId === id).map(({ record, finding }) => `${record.id} ${record.end} ${finding ?? ''}`).join(',');
  useEffect(() => () => {
    asked?.abort();
    openedJob.value = answer.value = clash.value = null;
    caseError.value = '';
    working.value = true;
  }, [id]);
  useEffect(() => void ask(id), [id, traceKey]);
  useEffect(() => {
    // a list that was asked for before the last tap knows nothing of it; a tap for another job is none of this one's
    if (pending === 0 || !isOpen(id)) openedJob.value = kept;
  }, [kept]);
}

/** Keeps a change with the job and when it was made, then asks what it leaves. `make` gets the job as it is after the taps before this one; `again`: what was answered, even where it is as before. */
export async function change(job: JobRecord, make: (now: JobRecord) => Partial<JobEvidence>, again: readonly AnswerKey[] = []): Promise<void> {
  const before = openedJob.value ?? job;
  const changes = withTimes(before, make(before), new Date().toISOString(), again);
  return keep(before, changes, onlyThose(before, changes));
}

/** What was chosen of two versions. */
export function keepChosen(fields: JobEvidence): Promise<void> {
  const { now, mine } = clash.value!;
  clash.value = null;
  return keep(now, onlyThose(fields, mine), onlyThose(now, mine));
}

function onlyThose(job: JobEvidence, names: Partial<JobEvidence>): Partial<JobEvidence> {
  return Object.fromEntries(Object.keys(names).map((name) => [name, job[name as keyof JobEvidence]]));
}

function isOpen(jobId: string): boolean {
  return openedJob.peek()?.id === jobId;
}

/** An answer that comes after its job was left goes into the list alone: the job that is open now has an answer of its own, which would be given up for that of the other. */
async function keep(before: JobRecord, changes: Partial<JobEvidence>, was: Partial<JobEvidence>): Promise<void> {
  openedJob.value = { ...before, ...changes };
  pending++;
  working.value = true;
  try {
    const kept = await changeEvidence(before.id, changes, was);
    pending--;
    if (pending > 0) return;
    jobs.value = (jobs.value ?? []).map((view) => (view.job.id === kept.id ? { ...view, job: kept } : view));
    if (isOpen(before.id)) await ask(before.id);
  } catch (error) {
    pending--;
    void refreshStored();
    const now = clashOf(error);
    if (!isOpen(before.id)) {
      caseError.value = wordsOf(error);
      return;
    }
    openedJob.value = now ?? before;
    working.value = false;
    if (now !== null) clash.value = { was, mine: changes, now };
    else caseError.value = wordsOf(error);
  }
}
