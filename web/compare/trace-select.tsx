import type { Signal } from '@preact/signals';
import type { JobView, TraceView } from '../../src/core/wire/api.ts';
import { judgedWords } from '../../src/core/present/wording/finding-words.ts';
import { formatDay, formatTime } from '../reading/format.ts';
import { keyOf } from './choice.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.traceSelect;

interface Props {
  readonly name: string;
  readonly chosen: Signal<string>;
  readonly traces: readonly TraceView[];
  readonly jobs: readonly JobView[];
  /** words of the entry for no trace */
  readonly none: string;
}

/** One trace out of the list, by job, newest first. */
export function TraceSelect({ name, chosen, traces, jobs, none }: Props) {
  const groups = new Map<string, TraceView[]>();
  for (const trace of traces) {
    const group = groups.get(trace.jobId);
    if (group === undefined) groups.set(trace.jobId, [trace]);
    else group.push(trace);
  }
  return (
    <label class="field">
      <span class="field-name">{name}</span>
      <select value={chosen.value} onChange={(event) => (chosen.value = event.currentTarget.value)}>
        <option value="">{none}</option>
        {[...groups].map(([jobId, members]) => (
          <optgroup key={jobId} label={jobName(jobId, jobs)}>
            {members.map((trace) => <option key={keyOf(trace)} value={keyOf(trace)} selected={keyOf(trace) === chosen.value}>{wordsFor(trace)}</option>)}
          </optgroup>
        ))}
      </select>
    </label>
  );
}

function jobName(jobId: string, jobs: readonly JobView[]): string {
  const job = jobs.find((one) => one.job.id === jobId)?.job;
  return job === undefined ? words.noJob : [job.vehicle, job.complaint].filter(Boolean).join(': ') || words.untitledJob;
}

/** What tells two of one day apart comes first: a narrow list shows no more than that. */
function wordsFor({ record, finding, basis }: TraceView): string {
  const found = finding === null ? '' : judgedWords(finding, basis).title.toLowerCase();
  return [record.title, formatTime(record.start), found, formatDay(record.start)].filter((part) => part !== '').join(', ');
}
