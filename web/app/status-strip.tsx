import { language } from '../../src/core/present/language.ts';
import { formatClock } from '../reading/format.ts';
import { changeSettings } from '../state/actions.ts';
import { freshness, isDrain, link, mayWork, recordedS, recording, settings, simulated } from '../state/live.ts';
import { jobs } from '../state/stored.ts';
import { hrefOf } from './route.ts';
import { showLogger } from './show-logger.ts';

const words = language.pages.strip;

/** What is true on every screen: whose job recordings go to, whether anything is recorded, and that the readings are made up where they are. */
export function StatusStrip() {
  if (settings.value === null || link.value.state === 'no-token' || link.value.state === 'refused') return null;
  return (
    <section class="strip" aria-label={words.name}>
      <ActiveJob />
      {simulated.value && <a class="strip-virtual" href={hrefOf('setup')} onClick={showLogger}>{words.virtualLive}</a>}
      <RecordingState />
    </section>
  );
}

/** The job, and another one by one choice; a running recording stays with its own. */
function ActiveJob() {
  const running = recording.value;
  const jobId = settings.value?.jobId ?? null;
  const all = jobs.value ?? [];
  if (running !== null) return <p class="strip-job"><span class="strip-name">{words.recordedInto}</span><a href={hrefOf('job', running.jobId)}>{jobName(running.jobId)}</a></p>;
  return (
    <div class="strip-job">
      <label class="strip-name" for="active-job">{words.job}</label>
      <select id="active-job" disabled={!mayWork.value} value={jobId ?? ''} onChange={(event) => changeSettings({ jobId: event.currentTarget.value === '' ? null : event.currentTarget.value })}>
        <option value="">{words.noJob}</option>
        {jobId !== null && !all.some(({ job }) => job.id === jobId) && <option value={jobId}>{jobId}</option>}
        {all.map(({ job }) => <option value={job.id} key={job.id}>{jobName(job.id)}</option>)}
      </select>
      {jobId !== null && <a class="strip-open" href={hrefOf('job', jobId)}>{words.open}</a>}
    </div>
  );
}

/** Vehicle and complaint of a job, as people call it. */
export function jobName(jobId: string): string {
  const job = jobs.value?.find((one) => one.job.id === jobId)?.job;
  if (job === undefined) return jobId === 'unfiled' ? words.noJob : jobId;
  return `${job.vehicle || words.unnamed}${job.complaint === '' ? '' : `: ${job.complaint}`}`;
}

function RecordingState() {
  const { state } = freshness.value;
  if (recording.value === null) return <p class={isDrain.value ? 'strip-state strip-fault' : 'strip-state'}>{words.notRecording}</p>;
  if (state !== 'fresh') return <p class="strip-state strip-fault" role="alert">{language.pages.old[state].recording}</p>;
  return <p class="strip-state"><span class="step-live" aria-hidden="true" />{words.recording} <b>{formatClock(recordedS.value)}</b></p>;
}
