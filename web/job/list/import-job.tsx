import { useSignal } from '@preact/signals';
import { FileButton } from '../../app/file-button.tsx';
import { go } from '../../app/route.ts';
import { importJob } from '../../net/job-api.ts';
import { refreshStored } from '../../state/stored.ts';
import { language } from '../../../src/core/present/language.ts';

const words = language.screens.job.list.importJob;

/** Brings in a job that another amptrail handed over as one zip. */
export function ImportJob() {
  const error = useSignal('');
  const bringIn = async (file: File): Promise<void> => {
    const { job } = await importJob(file);
    await refreshStored();
    go('job', job.id, 'story');
  };
  return (
    <div class="list-import">
      <FileButton field={words.jobAsAZipFile} accept=".zip,application/zip" text={words.importAJobZip} busy={words.importing} bringIn={bringIn} failed={(text) => (error.value = text)} />
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </div>
  );
}
