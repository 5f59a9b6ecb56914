import { signal, useSignal } from '@preact/signals';
import type { Placement } from '../../src/core/analysis/compare/known-good/known-good.ts';
import { metricWords } from '../../src/core/present/wording/compare-words.ts';
import { placeWords, placeMethodWords } from '../../src/core/present/wording/place-words.ts';
import { findingWords } from '../../src/core/present/wording/finding-words.ts';
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
import { figuresOf } from '../set-up/usual-pick.tsx';
import { Problems } from '../reading/reading-card.tsx';
import { changeSettings } from '../state/actions.ts';
import { settings } from '../state/live.ts';
import { jobs, refreshStored, wordsOf } from '../state/stored.ts';
import { LimitsBar } from './limits-bar.tsx';
import { FigureTable } from '../app/figure-table.tsx';
import { formatCurrent, language } from '../../src/core/present/language.ts';

const texts = language.screens.knownGood.placePanel;

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
  const state = askedState(asked, texts.placing, '', texts.chooseTheTraceTo);
  const answer = asked.answer.value;
  const run = set.run_limits_a;
  const asleep = set.usual?.asleep_a ?? null;
  const forSetUp = (): void => {
    if (run === null || settings.value === null) return;
    const { runLimitsFrom: _, ...actuation } = settings.value.actuation;
    changeSettings({ test: 'actuation', actuation: { ...actuation, runLimitsA: [run[0], run[1]], ...(set.usual === undefined ? { runLimitsFrom: 'known-good' as const } : {}) } });
    said.value = texts.setUpNowHas(formatCurrent(run[0]), formatCurrent(run[1]));
  };
  const forNight = (limitA: number): void => {
    if (settings.value === null) return;
    changeSettings({ test: 'drain', drain: { ...settings.value.drain, limitA } });
    said.value = language.library.nightLimit(formatCurrent(limitA));
  };
  const forTrace = async (): Promise<void> => {
    const record = findTrace(traces, key)?.record;
    if (run === null || record === undefined) return;
    try {
      await updateTrace(refOf(key), { actuation_options: { ...record.actuation_options, runLimitsA: [run[0], run[1]] } });
      await refreshStored();
      said.value = texts.theTraceNowCarries;
    } catch (failure) {
      said.value = wordsOf(failure);
    }
  };
  return (
    <>
      <section class="plate form">
        <h2>{set.circuit}</h2>
        {set.usual !== undefined && <p>{[set.vehicle_type, figuresOf(set)].filter(Boolean).join(': ')}</p>}
        <Problems problems={set.problems} />
        {set.limits.length > 0 && <div class="form-row"><TraceSelect name={texts.traceToPlace} chosen={placedKey} traces={traces} jobs={jobs.value ?? []} none={texts.chooseATrace} /></div>}
        {run !== null && (
          <div class="form-end">
            <Allowed to="work"><button type="button" class="button" disabled={settings.value === null} onClick={forSetUp}>{texts.useForTheNext}</button></Allowed>
            {key !== '' && <Allowed to="change"><button type="button" class="tool" onClick={() => void forTrace()}>{texts.saveWithThisTrace}</button></Allowed>}
          </div>
        )}
        {asleep !== null && <div class="form-end"><Allowed to="work"><button type="button" class="button" disabled={settings.value === null} onClick={() => forNight(asleep[1])}>{language.library.useAsleep}</button></Allowed></div>}
        <p class="fine" role="status">{said.value}{said.value !== '' && <> <a href={hrefOf('setup')}>{texts.toSetUp}</a></>}</p>
      </section>
      {set.limits.length > 0 && state}
      {set.limits.length > 0 && state === null && answer !== null && <Placed answer={answer} set={set} />}
    </>
  );
}

function Placed({ answer: { placements, finding, member }, set }: { answer: PlaceAnswer; set: KnownGoodSet }) {
  const words = placeWords(placements);
  const methods = [...new Set(set.limits.map(({ method }) => placeMethodWords(method)))];
  return (
    <section class={`plate card card-${words.tone}`} aria-label={texts.place}>
      <h2 class="card-finding" data-place={words.tone}><Glyph shape={words.tone} size={26} />{words.title}</h2>
      <p class="card-sentence">{texts.readAgainstTheseLimits(words.sentence, findingWords(finding).title.toLowerCase())}</p>
      {member && <p class="fine">{texts.thisTraceIsPart}</p>}
      <FigureTable class="placed" name={texts.figuresAgainstTheLimits} heads={[texts.figure, texts.place, texts.here95, texts.limits, <span class="unseen">{texts.picture}</span>]}>
        <tbody>{placements.map((place) => <Row place={place} key={`${place.metric} ${place.direction}`} />)}</tbody>
      </FigureTable>
      <p class="fine">{methods.join('; ')}.</p>
    </section>
  );
}

function Row({ place }: { place: Placement }) {
  const { here, limits, where } = placeWords([place]).rows[0]!;
  return (
    <tr class={place.place === 'inside' ? '' : 'is-moved'}>
      <th scope="row">{metricWords(place.metric)}, {language.names.ways[place.direction]}</th>
      <td>{where}</td>
      <td>{here}</td>
      <td class="tight">{limits}</td>
      <td><LimitsBar place={place} /></td>
    </tr>
  );
}
