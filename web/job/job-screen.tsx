import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import type { JobFields } from '../../src/core/wire/api.ts';
import { Allowed } from '../app/allowed.tsx';
import { Glyph } from '../app/glyph.tsx';
import { go, hrefOf } from '../app/route.ts';
import { clashOf, createJob, updateJob } from '../net/api.ts';
import { downloadFile } from '../net/download.ts';
import { changeSettings } from '../state/actions.ts';
import { mayWork, settings } from '../state/live.ts';
import { jobs, refreshStored, wordsOf } from '../state/stored.ts';
import { NumberField, TextField } from '../set-up/fields.tsx';
import { answer, caseError, clash, keepChosen, openedJob, useCase } from './case-state.ts';
import { ClashCard } from './clash-card.tsx';
import { FusesPart } from './readings/fuses-part.tsx';
import { JobTraces } from './job-traces.tsx';
import { LeftCard } from './left-card.tsx';
import { JobList } from './list/job-list.tsx';
import { NextCard } from './next-card.tsx';
import { RepairPart } from './repair-part.tsx';
import { ReversalPart } from './readings/reversal-part.tsx';
import { SignsCard } from './signs-card.tsx';
import { StoryPart } from './story/story-part.tsx';
import { VoltsPart } from './readings/volts-part.tsx';
import './job.css';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.job.jobScreen;

const EMPTY: JobFields = { depot: '', vehicle: '', complaint: '', circuit: '', fuse_rating_a: null, technician: '', note: '', plate: '', vin: '', odometer_km: null, customer: '' };

const PARTS = [
  { path: '', name: words.complaintAndSigns },
  { path: 'volts', name: words.voltageDropWalk },
  { path: 'reversal', name: words.supplyReversal },
  { path: 'fuses', name: words.fuseSurvey },
  { path: 'repair', name: words.repairAndProof },
  { path: 'story', name: words.story },
] as const;

/** The complaint: one vehicle and what is said to be wrong with it; what is left of the causes; and the jobs there are. */
export function JobScreen({ jobId, part }: { jobId: string | null; part: string }) {
  useEffect(() => void refreshStored(), []);
  const all = jobs.value;
  const opened = all?.find(({ job }) => job.id === jobId)?.job ?? null;
  if (opened !== null) return <OpenedJob job={opened} part={part} key={opened.id} />;
  return (
    <div class="page">
      <div class="page-head"><h1>{words.job}</h1></div>
      <div class="two">
        <JobForm key="new" jobId={null} start={EMPTY} />
        <JobList />
      </div>
    </div>
  );
}

function OpenedJob({ job: kept, part }: { job: JobRecord; part: string }) {
  useCase(kept);
  // until it has followed, it is the job that was open before
  const job = openedJob.value?.id === kept.id ? openedJob.value : kept;
  const here = PARTS.find(({ path }) => path === part)?.path ?? '';
  return (
    <div class="page">
      <div class="page-head">
        <h1>{job.vehicle || words.job}</h1>
        <a href={hrefOf('job')}>{words.allJobsOrA}</a>
        <nav class="parts" aria-label={words.partsOfThisJob}>{PARTS.map(({ path, name }) => <a key={path} href={path === '' ? hrefOf('job', job.id) : hrefOf('job', job.id, path)} aria-current={here === path ? 'page' : undefined}>{name}</a>)}</nav>
      </div>
      {caseError.value !== '' && here !== '' && <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} />{caseError.value}</p>}
      {clash.value !== null && <ClashCard {...clash.value} save={(fields) => void keepChosen(fields)} />}
      <JobPart job={job} part={here} />
    </div>
  );
}

function JobPart({ job, part }: { job: JobRecord; part: (typeof PARTS)[number]['path'] }) {
  switch (part) {
    case 'volts':
      return <Allowed to="change"><VoltsPart job={job} /></Allowed>;
    case 'reversal':
      return <Allowed to="change"><ReversalPart job={job} /></Allowed>;
    case 'fuses':
      return <Allowed to="change"><FusesPart job={job} /></Allowed>;
    case 'repair':
      return <Allowed to="change"><RepairPart job={job} /></Allowed>;
    case 'story':
      return <Allowed to="change"><StoryPart job={job} /></Allowed>;
    case '':
      return (
        <>
          <NextCard job={job} />
          <div class="two two-even">
            <Allowed to="change"><SignsCard job={job} test={answer.value?.test ?? job.test ?? 'actuation'} /></Allowed>
            <div class="stack">
              <LeftCard />
              <JobTraces job={job} />
              <JobForm jobId={job.id} start={job} />
            </div>
          </div>
        </>
      );
  }
}

function JobForm({ jobId, start }: { jobId: string | null; start: JobFields }) {
  const fields = useSignal(fieldsOf(start));
  // what the form began from: what somebody else saves meanwhile is found by it
  const began = useSignal(fields.value);
  const kept = useSignal<JobRecord | null>(null);
  const error = useSignal('');
  const said = useSignal('');
  const set = (change: Partial<JobFields>): void => {
    fields.value = { ...fields.value, ...change };
  };
  const current = settings.value?.jobId === jobId && jobId !== null;
  const keep = async (thenSetUp: boolean): Promise<void> => {
    error.value = said.value = '';
    try {
      const job = jobId === null ? await createJob(fields.value) : await updateJob(jobId, fields.value, began.value);
      if (jobId !== null) began.value = fields.value = fieldsOf(job);
      await refreshStored();
      const rating = job.fuse_rating_a;
      const now = settings.value;
      // another page works the logger: its choice of job stays
      if (now !== null && mayWork.peek()) changeSettings({ jobId: job.id, ...(rating === null ? {} : { actuation: { ...now.actuation, fuseRatingA: rating } }) });
      said.value = mayWork.peek() ? words.savedRecordingsNowGo : words.saved;
      if (thenSetUp) go('setup');
      else if (jobId === null) go('job', job.id);
    } catch (failure) {
      kept.value = clashOf(failure);
      if (kept.value === null) error.value = wordsOf(failure);
    }
  };
  const saveChosen = (chosen: JobFields): void => {
    began.value = fieldsOf(kept.value!);
    fields.value = chosen;
    kept.value = null;
    void keep(false);
  };
  const handOver = async (): Promise<void> => {
    error.value = '';
    try {
      await downloadFile(`/api/jobs/${encodeURIComponent(jobId!)}/export.zip`, `${jobId}.zip`);
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  const { depot, vehicle, complaint, circuit, fuse_rating_a: rating, technician, note, plate = '', vin = '', odometer_km: odometerKm = null, customer = '' } = fields.value;
  return (
    <>
    {kept.value !== null && <ClashCard<JobFields> was={began.value} mine={fields.value} now={fieldsOf(kept.value)} save={saveChosen} />}
    <form
      class="plate form" aria-label={jobId === null ? words.newJob : words.job}
      onSubmit={(event) => {
        event.preventDefault();
        void keep(true);
      }}
    >
      <h2>{jobId === null ? words.newJob : words.thisJob}</h2>
      <Allowed to="change"><div class="form-grid">
        <TextField name={words.vehicle} value={vehicle} set={(value) => set({ vehicle: value })} placeholder={words.vehicleExample} />
        <TextField name={words.plate} value={plate} set={(value) => set({ plate: value })} placeholder={words.plateExample} />
        <TextField name={words.complaint} long value={complaint} set={(value) => set({ complaint: value })} placeholder={words.inTheCustomersWords} />
        <TextField name={words.circuit} value={circuit} set={(value) => set({ circuit: value })} placeholder={words.circuitExample} />
        <NumberField name={words.fuseRating} unit="A" value={rating} set={(value) => set({ fuse_rating_a: value })} min={0.5} max={1000} />
        <TextField name={words.customer} value={customer} set={(value) => set({ customer: value })} />
        <TextField name={words.depot} value={depot} set={(value) => set({ depot: value })} />
        <NumberField name={words.odometer} unit="km" value={odometerKm} set={(value) => set({ odometer_km: value })} min={0} max={100000000} />
        <TextField name={words.vin} value={vin} set={(value) => set({ vin: value.toUpperCase() })} placeholder={words.vinExample} />
        <TextField name={words.technician} value={technician} set={(value) => set({ technician: value })} />
        <TextField name={words.note} long value={note} set={(value) => set({ note: value })} />
      </div></Allowed>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      <div class="form-end">
        <Allowed to="change">
          <button type="submit" class="button">{words.saveAndSetUp}</button>
          <button type="button" class="button button-quiet" onClick={() => void keep(false)}>{words.save}</button>
        </Allowed>
        {jobId !== null && !current && <button type="button" class="button button-quiet" disabled={!mayWork.value} onClick={() => changeSettings({ jobId })}>{words.recordToThisJob}</button>}
        {jobId !== null && <button type="button" class="button button-quiet" title={words.theJobWithAll} onClick={() => void handOver()}>{words.exportTheJobZip}</button>}
        {current && <button type="button" class="button button-quiet" disabled={!mayWork.value} onClick={() => changeSettings({ jobId: null })}>{words.recordWithoutAJob}</button>}
      </div>
      {jobId === null && <p class="fine">{words.saveOpens}</p>}
      <p class="fine" role="status">{said.value}</p>
    </form>
    </>
  );
}

function fieldsOf({ depot, vehicle, complaint, circuit, fuse_rating_a, technician, note, plate = '', vin = '', odometer_km = null, customer = '' }: JobFields): JobFields {
  return { depot, vehicle, complaint, circuit, fuse_rating_a, technician, note, plate, vin, odometer_km, customer };
}
