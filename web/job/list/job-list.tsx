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
import { language } from '../../../src/core/present/language.ts';

const texts = language.screens.job.list.jobList;

const SHOWN: readonly { readonly value: Shown; readonly name: string }[] = [{ value: 'open', name: texts.open }, { value: 'closed', name: texts.closed }, { value: 'archived', name: texts.archived }, { value: 'all', name: texts.all }];
const MOST_ROWS = 200;

/** Every job, newest first, found by any word of it. */
export function JobList() {
  const words = useSignal('');
  const shown = useSignal<Shown>('open');
  const all = jobs.value;
  const found = all === null ? [] : findJobs(all, words.value, shown.value);
  return (
    <section class="stack" aria-label={texts.jobs}>
      <div class="list-head">
        <h2 class="section-name">{texts.jobs}</h2>
        <ImportJob />
      </div>
      {storedError.value !== '' && <p class="notice notice-fault"><Glyph shape="fault" size={18} />{storedError.value}</p>}
      {all !== null && all.length === 0 && <div class="plate empty"><p>{texts.noJobYet((text) => <a href={hrefOf('test')}>{text}</a>)}</p></div>}
      {all !== null && all.length > 0 && (
        <div class="list-find">
          <label class="field search">
            <span class="field-name">{texts.find}</span>
            <input type="search" placeholder={texts.plateVehicleAnyWord} value={words} onInput={(event) => (words.value = event.currentTarget.value)} />
          </label>
          <div class="segmented" role="group" aria-label={texts.whichJobs}>
            {SHOWN.map(({ value, name }) => <button type="button" key={value} aria-pressed={shown.value === value} onClick={() => (shown.value = value)}>{name}</button>)}
          </div>
        </div>
      )}
      {all !== null && all.length > 0 && <p class="fine" role="status">{found.length === 0 ? texts.noJobHereHas : texts.of(found.length, all.length)}</p>}
      <ul class="job-list">{found.slice(0, MOST_ROWS).map((view) => <JobRow view={view} key={view.job.id} />)}</ul>
      {found.length > MOST_ROWS && <p class="fine">{texts.theNewestAreListed(MOST_ROWS)}</p>}
      <RemovedJobs />
    </section>
  );
}

function JobRow({ view: { job, traces } }: { view: JobView }) {
  const state = stateOf(job);
  const facts = [job.plate, job.customer, formatDate(job.created), traces === 1 ? texts.oneTrace : texts.traces(traces), state === 'open' ? '' : state, settings.value?.jobId === job.id ? texts.recordingsGoHere : ''];
  return (
    <li>
      <a class="plate job-row" href={state === 'open' ? hrefOf('job', job.id) : hrefOf('job', job.id, 'story')} data-state={state}>
        <b>{job.vehicle || texts.unnamedVehicle}</b>
        <span>{job.complaint || texts.noComplaintWritten}</span>
        <span class="fine">{facts.filter((fact) => fact !== '').join(', ')}</span>
      </a>
    </li>
  );
}
