import type { Signal } from '@preact/signals';
import type { JobView, TraceView } from '../../src/core/wire/api.ts';
import { findingWords } from '../../src/core/present/finding-words.ts';
import { formatDate } from '../reading/format.ts';
import { keyOf } from './choice.ts';
import { en } from '../../src/core/present/en/index.ts';

const words = en.screens.compare.traceSelect;

interface Props {
  readonly name: string;
  readonly chosen: Signal<string>;
  readonly traces: readonly TraceView[];
  readonly jobs: readonly JobView[];
  /** words of the entry that stands for no trace */
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

function wordsFor({ record, finding }: TraceView): string {
  const found = finding === null ? '' : `, ${findingWords(finding).title.toLowerCase()}`;
  return `${record.title || words.untitled}, ${formatDate(record.start)}${found}`;
}
