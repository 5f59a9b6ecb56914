import { useSignal } from '@preact/signals';
import type { TraceView } from '../../src/core/wire/api.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { findTrace, refOf } from '../compare/choice.ts';
import { learnKnownGood } from '../compare/compare-api.ts';
import { TraceChecks } from '../compare/trace-checks.tsx';
import { TextField } from '../set-up/fields.tsx';
import { jobs, wordsOf } from '../state/stored.ts';

interface Props {
  /** null: a new one */
  readonly set: KnownGoodSet | null;
  readonly traces: readonly TraceView[];
  /** null: nothing was kept */
  readonly done: (set: KnownGoodSet | null) => void;
}

/** Which circuit, and which traces of vehicles in order stand for it. */
export function SetForm({ set, traces, done }: Props) {
  const circuit = useSignal(set?.circuit ?? circuitOf(traces));
  const chosen = useSignal<readonly string[]>((set?.members ?? []).map(({ jobId, traceId }) => `${jobId}/${traceId}`).filter((key) => findTrace(traces, key) !== undefined));
  const working = useSignal(false);
  const error = useSignal('');
  const keep = async (): Promise<void> => {
    if (circuit.value.trim() === '' || chosen.value.length === 0) {
      error.value = circuit.value.trim() === '' ? 'Name the circuit first.' : 'Choose at least one trace.';
      return;
    }
    error.value = '';
    working.value = true;
    try {
      done(await learnKnownGood(set?.id ?? null, circuit.value.trim(), chosen.value.map(refOf)));
    } catch (failure) {
      error.value = wordsOf(failure);
      working.value = false;
    }
  };
  const lost = (set?.members.length ?? 0) - (set === null ? 0 : set.members.filter(({ jobId, traceId }) => findTrace(traces, `${jobId}/${traceId}`) !== undefined).length);
  return (
    <form
      class="plate form" aria-label={set === null ? 'New known-good set' : 'Change the known-good set'}
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <h2>{set === null ? 'New set' : 'Change the set'}<span class="count">{chosen.value.length} chosen</span></h2>
      <TextField name="Circuit" value={circuit.value} set={(value) => (circuit.value = value)} placeholder="side step motor, minibus" />
      {lost > 0 && <p class="fine">{lost === 1 ? 'One trace of this set is' : `${lost} traces of this set are`} no longer in the list: learning again leaves it out.</p>}
      <TraceChecks name="Traces known to be good" traces={traces} jobs={jobs.value ?? []} chosen={chosen.value} set={(keys) => (chosen.value = keys)} />
      <p class="fine">{countWords(chosen.value.length)}</p>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      <div class="form-end">
        <button type="submit" class="button" disabled={working.value}>{working.value ? 'Learning' : 'Learn limits'}</button>
        <button type="button" class="button button-quiet" onClick={() => done(null)}>Cancel</button>
      </div>
      {working.value && <progress aria-label="Learning" />}
    </form>
  );
}

/** What so many traces can say; one a vehicle, since presses within a trace share vehicle, day and hand. */
function countWords(count: number): string {
  if (count <= 1) return 'One trace is too few for limits: its own values ±20 % are used instead, and marked as such.';
  if (count < 5) return `${count} traces make wide limits: with few, little is known of how good vehicles differ.`;
  if (count < 93) return `${count} traces: limits that hold 95 % of good vehicles with 95 % confidence, taking their figures as normally distributed.`;
  return `${count} traces: the range they span holds 95 % of good vehicles with 95 % confidence, whatever the distribution.`;
}

/** Of the newest trace's job; empty when it has none. */
export function circuitOf(traces: readonly TraceView[]): string {
  const newest = traces[0];
  return jobs.value?.find(({ job }) => job.id === newest?.jobId)?.job.circuit ?? '';
}
