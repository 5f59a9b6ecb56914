import { useSignal } from '@preact/signals';
import type { TraceView } from '../../src/core/wire/api.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { findTrace, refOf } from '../compare/choice.ts';
import { learnKnownGood } from '../compare/compare-api.ts';
import { TraceChecks } from '../compare/trace-checks.tsx';
import { TextField } from '../set-up/fields.tsx';
import { jobs, wordsOf } from '../state/stored.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.knownGood.setForm;

interface Props {
  /** null: a new one */
  readonly set: KnownGoodSet | null;
  readonly traces: readonly TraceView[];
  /** null: nothing was kept */
  readonly done: (set: KnownGoodSet | null) => void;
}

/** Which circuit, and which traces of good vehicles it is learnt from. */
export function SetForm({ set, traces, done }: Props) {
  const circuit = useSignal(set?.circuit ?? circuitOf(traces));
  const chosen = useSignal<readonly string[]>((set?.members ?? []).map(({ jobId, traceId }) => `${jobId}/${traceId}`).filter((key) => findTrace(traces, key) !== undefined));
  const working = useSignal(false);
  const error = useSignal('');
  const keep = async (): Promise<void> => {
    if (circuit.value.trim() === '' || chosen.value.length === 0) {
      error.value = circuit.value.trim() === '' ? words.nameTheCircuitFirst : words.chooseAtLeastOneTrace;
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
      class="plate form" aria-label={set === null ? words.newKnownGoodSet : words.changeTheKnownGoodSet}
      onSubmit={(event) => {
        event.preventDefault();
        void keep();
      }}
    >
      <h2>{set === null ? words.newSet : words.changeTheSet}<span class="count">{words.chosen(chosen.value.length)}</span></h2>
      <TextField name={words.circuit} value={circuit.value} set={(value) => (circuit.value = value)} placeholder={words.circuitExample} />
      {lost > 0 && <p class="fine">{lost === 1 ? words.oneTraceOfThis : words.tracesOfThisSetAre(lost)} {words.noLongerInThe}</p>}
      <TraceChecks name={words.tracesKnownToBeGood} traces={traces} jobs={jobs.value ?? []} chosen={chosen.value} set={(keys) => (chosen.value = keys)} />
      <p class="fine">{countWords(chosen.value.length)}</p>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      <div class="form-end">
        <button type="submit" class="button" disabled={working.value}>{working.value ? words.learning : words.learnLimits}</button>
        <button type="button" class="button button-quiet" onClick={() => done(null)}>{words.cancel}</button>
      </div>
      {working.value && <progress aria-label={words.learning} />}
    </form>
  );
}

/** What so many traces can say; one a vehicle, since presses within a trace share vehicle, day and hand. */
function countWords(count: number): string {
  if (count <= 1) return words.oneTraceIsToo;
  if (count < 5) return words.tracesMakeWideLimits(count);
  if (count < 93) return words.tracesLimitsThatHold(count);
  return words.tracesTheRangeThey(count);
}

/** Of the newest trace's job; empty when it has none. */
export function circuitOf(traces: readonly TraceView[]): string {
  const newest = traces[0];
  return jobs.value?.find(({ job }) => job.id === newest?.jobId)?.job.circuit ?? '';
}
