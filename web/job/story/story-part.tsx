import { useSignal } from '@preact/signals';
import { judgedWords } from '../../../src/core/present/wording/finding-words.ts';
import { formatCount, language } from '../../../src/core/present/language.ts';
import { SIGNS } from '../../../src/core/reason/types.ts';
import type { JobRecord } from '../../../src/core/tracefile/record.ts';
import { Glyph } from '../../app/glyph.tsx';
import { hrefOf } from '../../app/route.ts';
import { setJobState } from '../../net/job-api.ts';
import { formatDate } from '../../reading/format.ts';
import { traces } from '../../state/stored.ts';
import { answer } from '../case-state.ts';
import { stateOf } from '../list/find-jobs.ts';
import { putAside } from '../list/removed-jobs.tsx';
import { useKeep } from './keep.ts';
import { NoteEntry, NoteForm } from './notes.tsx';
import { PhotoEntry, PhotoForm } from './photos.tsx';
import { storyOf, type StoryEntry } from './story-entries.ts';
import './story.css';

const words = language.screens.job.story.storyPart;

/** The job from the complaint to the day it was closed, as one who opens it a year later reads it. */
export function StoryPart({ job }: { job: JobRecord }) {
  return (
    <div class="two two-even">
      <section class="plate" aria-label={words.story}>
        <h2>{words.story}</h2>
        <Facts job={job} />
        <ol class="story">{storyOf(job, traces.value ?? []).map((entry) => <Entry job={job} entry={entry} key={`${entry.kind} ${entry.at}`} />)}</ol>
      </section>
      <div class="stack">
        <NoteForm job={job} />
        <PhotoForm job={job} />
        <StateCard job={job} />
      </div>
    </div>
  );
}

function Facts({ job }: { job: JobRecord }) {
  const rows: readonly (readonly [string, string])[] = [
    [words.plate, job.plate], ['VIN', job.vin], [words.odometer, job.odometer_km === null ? '' : `${formatCount(job.odometer_km)} km`], [words.customer, job.customer], [words.depot, job.depot], [words.circuit, job.circuit],
    [words.fuse, job.fuse_rating_a === null ? '' : `${job.fuse_rating_a} A`], [words.technician, job.technician],
  ];
  return <dl class="story-facts">{rows.filter(([, value]) => value !== '').map(([name, value]) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>;
}

const NAMES: Readonly<Record<StoryEntry['kind'], string>> = { complaint: words.complaint, trace: words.recorded, note: words.note, photo: words.photo, repair: words.repair, closed: words.closed, archived: words.archived };

function Entry({ job, entry }: { job: JobRecord; entry: StoryEntry }) {
  return (
    <li class={`story-entry story-${entry.kind}`}>
      <p class="story-when"><b>{NAMES[entry.kind]}</b> <time dateTime={entry.at}>{formatDate(entry.at)}</time></p>
      <EntryBody job={job} entry={entry} />
    </li>
  );
}

function EntryBody({ job, entry }: { job: JobRecord; entry: StoryEntry }) {
  switch (entry.kind) {
    case 'complaint':
      return (
        <>
          <p>{job.complaint || words.noComplaintWritten}</p>
          <ul class="card-because">{SIGNS.flatMap((sign) => {
            const given = job.signs[sign];
            if (given === undefined) return [];
            const own = job.sign_words[sign];
            return [<li key={sign}>{capital(language.reason.signs[sign][given])}{own === undefined ? '' : `: ${own}`}</li>];
          })}</ul>
          {job.note !== '' && <p>{job.note}</p>}
        </>
      );
    case 'trace': {
      const { record, finding, basis } = entry.trace;
      return <p><a href={hrefOf('trace', job.id, record.id)}>{record.title || words.trace}</a>{finding === null ? words.notAnalysedYet : `: ${judgedWords(finding, basis).title.toLowerCase()}`}{record.simulated ? words.madeByTheVirtualVehicle : ''}</p>;
    }
    case 'note':
      return <NoteEntry job={job} note={entry.note} />;
    case 'photo':
      return <PhotoEntry job={job} photo={entry.photo} />;
    case 'repair':
      return <RepairEntry repair={entry.repair} last={entry.last} />;
    default:
      return null;
  }
}

function RepairEntry({ repair: { cause, work, part }, last }: { repair: NonNullable<JobRecord['repair']>; last: boolean }) {
  const proof = last ? (answer.value?.proof ?? null) : null;
  return (
    <>
      {cause !== null && <p>{words.cause(language.reason.causes[cause])}</p>}
      <p>{work || words.workNotWrittenDown}</p>
      {part !== '' && <p>{words.part(part)}</p>}
      {!last && <p class="fine">{words.theFaultStayed}</p>}
      {proof !== null && <p class={`left-proof left-proof-${proof.state}`}><Glyph shape={proof.state === 'still-open' ? 'fault' : proof.state === 'confirmed' || proof.state.startsWith('works') ? 'good' : 'open'} size={20} /><span>{proof.text}</span></p>}
    </>
  );
}

function StateCard({ job }: { job: JobRecord }) {
  const { error, keep } = useKeep();
  const asking = useSignal(false);
  const state = stateOf(job);
  const name = job.vehicle || words.theJob;
  return (
    <section class="plate form" aria-label={words.stateOfTheJob}>
      <h2>{state === 'open' ? words.open : state === 'closed' ? words.closedOn(formatDate(job.closed!)) : words.archivedOn(formatDate(job.archived!))}</h2>
      <div class="form-end">
        <button type="button" class="button" onClick={() => void keep(() => setJobState(job.id, { closed: job.closed === null }))}>{job.closed === null ? words.closeTheJob : words.reopenTheJob}</button>
        <button type="button" class="button button-quiet" onClick={() => void keep(() => setJobState(job.id, { archived: job.archived === null }))}>{job.archived === null ? words.archive : words.takeOutOfTheArchive}</button>
        <button type="button" class="button button-quiet" onClick={() => (asking.value = true)}>{words.remove}</button>
      </div>
      {asking.value && (
        <div class="notice" role="alert">
          <p>{words.removeWithAllIts(name)}</p>
          <button type="button" class="button" onClick={() => void keep(() => putAside(job.id, name))}>{words.removeIt}</button>
          <button type="button" class="button button-quiet" onClick={() => (asking.value = false)}>{words.keepIt}</button>
        </div>
      )}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </section>
  );
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
