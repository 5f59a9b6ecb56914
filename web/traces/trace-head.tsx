import { useSignal } from '@preact/signals';
import type { TestKind } from '../../src/core/analysis/results.ts';
import { language } from '../../src/core/present/language.ts';
import { go } from '../app/route.ts';
import { formatDate } from '../reading/format.ts';
import { jobs } from '../state/stored.ts';
import type { OpenedTrace } from './opened-trace.ts';

const words = language.screens.traces.traceHead;

/** Name, job and test of a stored trace; all three can be changed. */
export function TraceHead({ trace }: { trace: OpenedTrace }) {
  const { record } = trace.detail.value!;
  const editing = useSignal(false);
  const typed = useSignal(record.title);
  const test = trace.result.value?.test ?? record.test ?? 'actuation';
  const rename = async (): Promise<void> => {
    editing.value = false;
    if (typed.value.trim() !== record.title) await trace.change({ title: typed.value.trim() });
  };
  return (
    <header class="trace-head">
      {editing.value ? (
        <form class="form-row" onSubmit={(event) => {
          event.preventDefault();
          void rename();
        }}>
          <label class="field field-wide"><span class="field-name">{words.nameOfThisTrace}</span>
            <input type="text" maxLength={200} value={typed} ref={(input) => input?.focus()} onInput={(event) => (typed.value = event.currentTarget.value)} onKeyDown={(event) => event.key === 'Escape' && (editing.value = false)} />
          </label>
          <button type="submit" class="button">{words.save}</button>
        </form>
      ) : (
        <div class="trace-title">
          <h1>{record.title || words.untitledTrace}</h1>
          {record.simulated && <p class="strip-virtual">{language.pages.strip.virtual}</p>}
          <button type="button" class="tool" onClick={() => {
            typed.value = record.title;
            editing.value = true;
          }}>{words.rename}</button>
        </div>
      )}
      <p class="fine"><time dateTime={record.start}>{formatDate(record.start, true)}</time></p>
      {record.thinning !== null && <p class="fine">{record.thinning.policy}</p>}
      <div class="trace-choices">
        <label class="field">
          <span class="field-name">{words.job}</span>
          <select value={trace.ref.jobId} disabled={record.end === 'running'} onChange={async (event) => {
            const jobId = event.currentTarget.value;
            if (await trace.move(jobId)) go('trace', jobId, trace.ref.traceId);
          }}>
            {!(jobs.value ?? []).some(({ job }) => job.id === trace.ref.jobId) && <option value={trace.ref.jobId}>{words.noJob}</option>}
            {(jobs.value ?? []).map(({ job }) => <option value={job.id} key={job.id}>{[job.vehicle, job.complaint].filter(Boolean).join(': ') || job.id}</option>)}
          </select>
        </label>
        <label class="field">
          <span class="field-name">{words.readAs}</span>
          <select value={test} onChange={(event) => {
            const next = event.currentTarget.value as TestKind;
            void trace.change({ test: next }).then(() => trace.analyse(next));
          }}>
            <option value="actuation">{words.motorOrMechanism}</option>
            <option value="drain">{words.keyOffDrain}</option>
          </select>
        </label>
      </div>
    </header>
  );
}
