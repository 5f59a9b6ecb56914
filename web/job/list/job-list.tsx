import { useSignal } from '@preact/signals';
import type { JobView } from '../../../src/core/wire/api.ts';
import { Glyph } from '../../app/glyph.tsx';
import { hrefOf } from '../../app/route.ts';
import { formatDate } from '../../reading/format.ts';
import { settings } from '../../state/live.ts';
import { jobs, storedError } from '../../state/stored.ts';
import { findJobs, stateOf, type Shown } from './find-jobs.ts';
import { ImportJob } from './import-job.tsx';
import { RemovedJobs } from './removed-jobs.tsx';

const SHOWN: readonly { readonly value: Shown; readonly name: string }[] = [{ value: 'open', name: 'Open' }, { value: 'closed', name: 'Closed' }, { value: 'archived', name: 'Archived' }, { value: 'all', name: 'All' }];
const MOST_ROWS = 200;

/** Every job, newest first, found by any word of it. */
export function JobList() {
  const words = useSignal('');
  const shown = useSignal<Shown>('open');
  const all = jobs.value;
  const found = all === null ? [] : findJobs(all, words.value, shown.value);
  return (
    <section class="stack" aria-label="Jobs">
      <div class="list-head">
        <h2 class="section-name">Jobs</h2>
        <ImportJob />
      </div>
      {storedError.value !== '' && <p class="notice notice-fault"><Glyph shape="fault" size={18} />{storedError.value}</p>}
      {all !== null && all.length === 0 && <div class="plate empty"><p>No job yet. Write the first one down here, or go straight to <a href={hrefOf('test')}>Test</a>: a trace can be put to a job later.</p></div>}
      {all !== null && all.length > 0 && (
        <div class="list-find">
          <label class="field search">
            <span class="field-name">Find</span>
            <input type="search" placeholder="plate, vehicle, customer, complaint" value={words} onInput={(event) => (words.value = event.currentTarget.value)} />
          </label>
          <div class="segmented" role="group" aria-label="Which jobs">
            {SHOWN.map(({ value, name }) => <button type="button" key={value} aria-pressed={shown.value === value} onClick={() => (shown.value = value)}>{name}</button>)}
          </div>
        </div>
      )}
      {all !== null && all.length > 0 && <p class="fine" role="status">{found.length === 0 ? 'No job here has all of these words.' : `${found.length} of ${all.length}`}</p>}
      <ul class="job-list">{found.slice(0, MOST_ROWS).map((view) => <JobRow view={view} key={view.job.id} />)}</ul>
      {found.length > MOST_ROWS && <p class="fine">The {MOST_ROWS} newest are listed. Add a word to narrow the search.</p>}
      <RemovedJobs />
    </section>
  );
}

function JobRow({ view: { job, traces } }: { view: JobView }) {
  const state = stateOf(job);
  const facts = [job.plate, job.customer, formatDate(job.created), traces === 1 ? '1 trace' : `${traces} traces`, state === 'open' ? '' : state, settings.value?.jobId === job.id ? 'recordings go here' : ''];
  return (
    <li>
      <a class="plate job-row" href={state === 'open' ? hrefOf('job', job.id) : hrefOf('job', job.id, 'story')} data-state={state}>
        <b>{job.vehicle || 'Unnamed vehicle'}</b>
        <span>{job.complaint || 'no complaint written'}</span>
        <span class="fine">{facts.filter((fact) => fact !== '').join(', ')}</span>
      </a>
    </li>
  );
}
