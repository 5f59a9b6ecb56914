import { signal, useSignal } from '@preact/signals';
import type { Placement } from '../../src/core/analysis/compare/known-good/known-good.ts';
import { metricWords } from '../../src/core/present/compare-words.ts';
import { placeWords, placeMethodWords } from '../../src/core/present/place-words.ts';
import { findingWords } from '../../src/core/present/finding-words.ts';
import { formatCurrent } from '../../src/core/units.ts';
import type { TraceView } from '../../src/core/wire/api.ts';
import type { KnownGoodSet, PlaceAnswer } from '../../src/core/wire/prove.ts';
import { Allowed } from '../app/allowed.tsx';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { askedState, useAsked } from '../compare/asked.tsx';
import { findTrace, keyOf, refOf } from '../compare/choice.ts';
import { placeTrace } from '../compare/compare-api.ts';
import { TraceSelect } from '../compare/trace-select.tsx';
import { updateTrace } from '../net/api.ts';
import { Problems } from '../reading/reading-card.tsx';
import { changeSettings } from '../state/actions.ts';
import { settings } from '../state/live.ts';
import { jobs, refreshStored, wordsOf } from '../state/stored.ts';
import { LimitsBar } from './limits-bar.tsx';

const placedKey = signal('');

/** One set: its limits, what can be done with them, and a trace placed against them. */
export function PlacePanel({ set, traces }: { set: KnownGoodSet; traces: readonly TraceView[] }) {
  const said = useSignal('');
  const own = new Set(set.members.map(({ jobId, traceId }) => `${jobId}/${traceId}`));
  if (findTrace(traces, placedKey.value) === undefined) {
    const newest = traces.find((trace) => trace.record.end !== 'running' && !own.has(keyOf(trace)));
    placedKey.value = newest === undefined ? '' : keyOf(newest);
  }
  const key = placedKey.value;
  const asked = useAsked(key === '' ? '' : `${set.id} ${key} ${set.limits.length} ${set.members.length}`, (signalled) => placeTrace(set.id, refOf(key), signalled));
  const state = askedState(asked, 'Placing', '', 'Choose the trace to compare with the set.');
  const answer = asked.answer.value;
  const run = set.run_limits_a;
  const forSetUp = (): void => {
    if (run === null || settings.value === null) return;
    changeSettings({ test: 'actuation', actuation: { ...settings.value.actuation, runLimitsA: [run[0], run[1]] } });
    said.value = `Set up now has ${formatCurrent(run[0])} to ${formatCurrent(run[1])} as the usual running range; the live chart draws both as lines.`;
  };
  const forTrace = async (): Promise<void> => {
    const record = findTrace(traces, key)?.record;
    if (run === null || record === undefined) return;
    try {
      await updateTrace(refOf(key), { actuation_options: { ...record.actuation_options, runLimitsA: [run[0], run[1]] } });
      await refreshStored();
      said.value = 'The trace now carries these limits: its page draws them as lines and reads the trace against them.';
    } catch (failure) {
      said.value = wordsOf(failure);
    }
  };
  return (
    <>
      <section class="plate form">
        <h2>{set.circuit}</h2>
        <Problems problems={set.problems} />
        <div class="form-row"><TraceSelect name="Trace to place" chosen={placedKey} traces={traces} jobs={jobs.value ?? []} none="Choose a trace" /></div>
        {run !== null && (
          <div class="form-end">
            <Allowed to="work"><button type="button" class="button" disabled={settings.value === null} onClick={forSetUp}>Use for the next set-up</button></Allowed>
            {key !== '' && <Allowed to="change"><button type="button" class="tool" onClick={() => void forTrace()}>Save with this trace</button></Allowed>}
          </div>
        )}
        <p class="fine" role="status">{said.value}{said.value !== '' && <> <a href={hrefOf('setup')}>To set-up</a></>}</p>
      </section>
      {state}
      {state === null && answer !== null && <Placed answer={answer} set={set} />}
    </>
  );
}

function Placed({ answer: { placements, finding, member }, set }: { answer: PlaceAnswer; set: KnownGoodSet }) {
  const words = placeWords(placements);
  const methods = [...new Set(set.limits.map(({ method }) => placeMethodWords(method)))];
  return (
    <section class={`plate card card-${words.tone}`} aria-label="Place">
      <h2 class="card-finding" data-place={words.tone}><Glyph shape={words.tone} size={26} />{words.title}</h2>
      <p class="card-sentence">{words.sentence} Read against these limits: {findingWords(finding).title.toLowerCase()}.</p>
      {member && <p class="fine">This trace is part of the set, so lying inside its limits proves little.</p>}
      <div class="table-wrap placed" tabIndex={0} role="region" aria-label="Figures against the limits">
        <table class="figures">
          <thead><tr><th scope="col">Figure</th><th scope="col">Place</th><th scope="col">Here, 95 %</th><th scope="col">Limits</th><th scope="col"><span class="unseen">Picture</span></th></tr></thead>
          <tbody>{placements.map((place) => <Row place={place} key={`${place.metric} ${place.direction}`} />)}</tbody>
        </table>
      </div>
      <p class="fine">{methods.join('; ')}.</p>
    </section>
  );
}

function Row({ place }: { place: Placement }) {
  const { here, limits, where } = placeWords([place]).rows[0]!;
  return (
    <tr class={place.place === 'inside' ? '' : 'is-moved'}>
      <th scope="row">{metricWords(place.metric)}, {place.direction}</th>
      <td>{where}</td>
      <td>{here}</td>
      <td class="tight">{limits}</td>
      <td><LimitsBar place={place} /></td>
    </tr>
  );
}
