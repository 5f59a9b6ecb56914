import { signal, useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { JobView } from '../../../src/core/wire/api.ts';
import { Allowed } from '../../app/allowed.tsx';
import { go } from '../../app/route.ts';
import { listRemoved, removeJob, restoreJob } from '../../net/job-api.ts';
import { formatDate } from '../../reading/format.ts';
import { jobs, refreshStored, wordsOf } from '../../state/stored.ts';
import { language } from '../../../src/core/present/language.ts';

const words = language.screens.job.list.removedJobs;

/** The job removed last on this page, with the way back. */
const justRemoved = signal<{ readonly id: string; readonly name: string } | null>(null);

/** Puts a job aside and goes to the list, where one tap brings it back. Throws ApiFailure. */
export async function putAside(jobId: string, name: string): Promise<void> {
  const { removed } = await removeJob(jobId);
  justRemoved.value = { id: removed, name };
  await refreshStored();
  go('job');
}

/** Removed jobs are kept whole until somebody deletes their folder by hand. */
export function RemovedJobs() {
  const list = useSignal<readonly JobView[]>([]);
  const error = useSignal('');
  const known = jobs.value;
  useEffect(() => void listRemoved().then((found) => (list.value = found), () => undefined), [known]);
  const bringBack = async (removedId: string): Promise<void> => {
    error.value = '';
    try {
      await restoreJob(removedId);
      if (justRemoved.value?.id === removedId) justRemoved.value = null;
      await refreshStored();
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  const last = justRemoved.value;
  return (
    <>
      {last !== null && <p class="notice" role="status"><span>{words.wasRemoved(last.name)}</span><button type="button" class="button button-quiet" onClick={() => void bringBack(last.id)}>{words.undo}</button></p>}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      {list.value.length > 0 && (
        <details class="plate">
          <summary>{words.removedJobs} <span class="count">{list.value.length}</span></summary>
          <ul class="removed-list">
            {list.value.map(({ job, traces }) => (
              <li key={job.id}>
                <span><b>{job.vehicle || words.unnamedVehicle}</b> <span class="fine">{[job.complaint, formatDate(job.created), traces === 1 ? words.oneTrace : words.traces(traces)].filter((fact) => fact !== '').join(', ')}</span></span>
                <Allowed to="change"><button type="button" class="tool" aria-label={words.bringBack(job.vehicle || words.unnamedVehicle)} onClick={() => void bringBack(job.id)}>{words.bringBackShort}</button></Allowed>
              </li>
            ))}
          </ul>
        </details>
      )}
    </>
  );
}
