import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { Allowed } from '../../app/allowed.tsx';
import { go } from '../../app/route.ts';
import { importJob } from '../../net/job-api.ts';
import { refreshStored, wordsOf } from '../../state/stored.ts';
import { en } from '../../../src/core/present/en/index.ts';

const words = en.screens.job.importJob;

/** Takes in a job that another amptrail handed over as one zip. */
export function ImportJob() {
  const file = useRef<HTMLInputElement>(null);
  const error = useSignal('');
  const working = useSignal(false);
  const take = async (chosen: File | undefined): Promise<void> => {
    if (chosen === undefined) return;
    error.value = '';
    working.value = true;
    try {
      const { job } = await importJob(chosen);
      await refreshStored();
      go('job', job.id, 'story');
    } catch (failure) {
      error.value = wordsOf(failure);
    } finally {
      working.value = false;
      if (file.current !== null) file.current.value = '';
    }
  };
  return (
    <div class="list-import">
      <input ref={file} type="file" class="unseen" tabIndex={-1} aria-label={words.jobAsAZipFile} accept=".zip,application/zip" onChange={(event) => void take(event.currentTarget.files?.[0])} />
      <Allowed to="change"><button type="button" class="tool" aria-disabled={working.value} onClick={() => !working.value && file.current?.click()}>{working.value ? words.importing : words.importAJobZip}</button></Allowed>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </div>
  );
}
