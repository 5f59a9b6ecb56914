import type { JobRecord } from '../../src/core/tracefile/record.ts';
import { judgedWords } from '../../src/core/present/wording/finding-words.ts';
import { Allowed } from '../app/allowed.tsx';
import { hrefOf } from '../app/route.ts';
import { formatDate } from '../reading/format.ts';
import { traces } from '../state/stored.ts';
import { change } from './case-state.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.job.jobTraces;

/** The traces of this job, newest first, and whether the mechanism was on. */
export function JobTraces({ job }: { job: JobRecord }) {
  const own = (traces.value ?? []).filter(({ jobId }) => jobId === job.id);
  if (own.length === 0) return null;
  const tick = (id: string, on: boolean): void => void change(job, ({ uncoupled }) => ({ uncoupled: on ? [...uncoupled, id] : uncoupled.filter((one) => one !== id) }));
  return (
    <section class="plate" aria-label={words.tracesOfThisJob}>
      <h2>{words.traces} <span class="count">{own.length}</span></h2>
      <ul class="case-traces">
        {own.map(({ record, finding, basis }) => (
          <li key={record.id}>
            <a href={hrefOf('trace', job.id, record.id)}><b>{record.title || formatDate(record.start)}</b> <span class="fine">{finding === null ? words.notAnalysedYet : judgedWords(finding, basis).title.toLowerCase()}</span></a>
            {record.test !== 'drain' && (
              <Allowed to="change"><label class="check"><input type="checkbox" checked={job.uncoupled.includes(record.id)} onChange={(event) => tick(record.id, event.currentTarget.checked)} />{words.mechanismUncoupled}</label></Allowed>
            )}
          </li>
        ))}
      </ul>
    </section>
  );
}
