import { useSignal } from '@preact/signals';
import { language } from '../../src/core/present/language.ts';
import type { Cause } from '../../src/core/reason/types.ts';
import type { JobRecord, Repair } from '../../src/core/tracefile/record.ts';
import { go } from '../app/route.ts';
import { choosePairOf } from '../compare/choice.ts';
import { TextField } from '../set-up/fields.tsx';
import { traces } from '../state/stored.ts';
import { answer, change } from './case-state.ts';
import { isProven, LeftCard, type CauseView } from './left-card.tsx';
import { NextCard } from './next-card.tsx';

const words = language.screens.job.repairPart;

/** What was done, and what the traces since then say of it. */
export function RepairPart({ job }: { job: JobRecord }) {
  return (
    <div class="two">
      <RepairForm job={job} key={job.repair?.at ?? 'none'} />
      <div class="stack">
        {job.repair !== null && !isProven(answer.value) && <NextCard job={job} />}
        <LeftCard />
        {job.repair !== null && <HandOver job={job} repair={job.repair} />}
      </div>
    </div>
  );
}

function RepairForm({ job }: { job: JobRecord }) {
  const likeliest = answer.value?.causes[0]?.cause ?? null;
  const chosen = useSignal<Cause | '' | null>(job.repair === null ? null : (job.repair.cause ?? ''));
  const part = useSignal(job.repair?.part ?? '');
  const work = useSignal(job.repair?.work ?? '');
  const at = useSignal(job.repair?.at ?? '');
  const said = useSignal('');
  const cause = chosen.value ?? likeliest ?? '';
  // which cause is likeliest is not known yet: none is kept by a tap that comes too early
  const unread = answer.value === null && chosen.value === null;
  const keep = async (): Promise<void> => {
    await change(job, () => ({ repair: written(at.value || nowWords()) }));
    said.value = words.savedNowRecordThe;
  };
  const written = (when: string): Repair => ({ cause: cause === '' ? null : cause, part: part.value, work: work.value, at: when });
  const earlier = (now: JobRecord): Repair[] => (now.repair === null ? now.earlier_repairs : [...now.earlier_repairs, now.repair]);
  // one that was tested and did not help was done all the same, and stays in the story
  const failed = job.repair !== null && answer.value?.proof?.state === 'still-open';
  return (
    <form class="plate form" aria-label={words.repair} onSubmit={(event) => {
      event.preventDefault();
      void keep();
    }}>
      <h2>{words.repair}</h2>
      <label class="field">
        <span class="field-name">{words.whatWasAtFault}</span>
        <select value={cause} onChange={(event) => (chosen.value = event.currentTarget.value as Cause | '')}>
          {(answer.value?.causes ?? []).map((one, at) => <option value={one.cause} key={one.cause}>{causeWords(one, at === 0)}</option>)}
          <option value="">{unread ? language.screens.job.leftCard.readingTheTracesOf : words.somethingElseOrNotKnown}</option>
        </select>
      </label>
      <TextField name={words.whatWasDone} long value={work.value} set={(value) => (work.value = value)} placeholder={words.workExample} />
      <TextField name={words.part} value={part.value} set={(value) => (part.value = value)} placeholder={words.noneOrItsNumber} />
      {job.repair !== null && (
        <label class="field">
          <span class="field-name">{words.repairedOn}</span>
          <input type="datetime-local" step={1} required value={localWords(at.value)} onChange={(event) => {
            const ms = Date.parse(event.currentTarget.value);
            if (!Number.isNaN(ms)) at.value = new Date(ms).toISOString();
          }} />
        </label>
      )}
      <p class="fine">{job.repair === null ? words.tracesRecordedFromNow : words.tracesSinceThen}</p>
      <div class="form-end">
        {failed && <button type="button" class="button" onClick={() => void change(job, (now) => ({ repair: written(nowWords()), earlier_repairs: earlier(now) }))}>{words.repairedAgainNow}</button>}
        <button type="submit" class={failed ? 'button button-quiet' : 'button'} disabled={unread}>{job.repair === null ? words.repairedNow : words.save}</button>
        {job.repair !== null && <button type="button" class="button button-quiet" onClick={() => void change(job, (now) => ({ repair: null, ...(failed ? { earlier_repairs: earlier(now) } : {}) }))}>{words.notRepairedYet}</button>}
      </div>
      <p class="fine" role="status">{said.value}</p>
    </form>
  );
}

function nowWords(): string {
  return new Date().toISOString();
}

/** A moment as the browser's own field takes it: local, to the second. */
function localWords(at: string): string {
  const date = new Date(at);
  return new Date(date.getTime() - date.getTimezoneOffset() * 60_000).toISOString().slice(0, 19);
}

function causeWords({ cause, state }: CauseView, isFirst: boolean): string {
  const name = language.reason.causes[cause];
  return isFirst ? words.likeliest(name) : state === 'open' ? name : `${name} (${language.reason.states[state]})`;
}

/** On to the page for the customer, with the traces before and after put in. */
function HandOver({ job, repair }: { job: JobRecord; repair: Repair }) {
  const test = answer.value?.test;
  const all = traces.value ?? [];
  if (test === undefined || !all.some(({ jobId, record }) => jobId === job.id && record.end !== 'running' && record.test === test && Date.parse(record.start) >= Date.parse(repair.at))) return null;
  return (
    <section class="plate" aria-label={words.handOver}>
      <h2>{words.handOver}</h2>
      <p>{words.whatWasWrongWhat}</p>
      <div class="form-end">
        <button type="button" class="button" onClick={() => {
          choosePairOf(all, job, test, true);
          go('prove');
        }}>{words.pageForTheCustomer}</button>
      </div>
    </section>
  );
}
