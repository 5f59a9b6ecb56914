import { Allowed } from '../app/allowed.tsx';
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { formatCurrent, language } from '../../src/core/present/language.ts';
import type { TraceView } from '../../src/core/wire/api.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { Glyph } from '../app/glyph.tsx';
import { route } from '../app/route.ts';
import { learnKnownGood, removeKnownGood } from '../compare/compare-api.ts';
import { formatDate } from '../reading/format.ts';
import { figuresOf, USUAL } from '../set-up/usual-pick.tsx';
import { importLibrary, library, libraryError, refreshLibrary } from '../state/library.ts';
import { settings } from '../state/live.ts';
import { jobs, wordsOf } from '../state/stored.ts';
import './known-good.css';
import { LibraryFiles } from './library-files.tsx';
import { PlacePanel } from './place-panel.tsx';
import { circuitOf, SetForm } from './set-form.tsx';
import { UsualForm } from './usual-form.tsx';

const words = language.screens.knownGood.knownGoodScreen;

/** Limits learnt from traces that a person called good, usual currents as a person knows them, and traces placed against both. */
export function KnownGoodScreen({ traces }: { traces: readonly TraceView[] }) {
  const motor = traces.filter(({ record }) => record.test !== 'drain');
  const sets = library.value;
  const chosenId = useSignal('');
  const changing = useSignal<KnownGoodSet | 'learn' | 'enter' | null>(null);
  const removed = useSignal<KnownGoodSet | null>(null);
  const error = useSignal('');
  const load = async (show?: string): Promise<void> => {
    const now = await refreshLibrary();
    const has = (id: string | undefined): boolean => now.some((set) => set.id === id);
    chosenId.value = show ?? (has(chosenId.value) ? chosenId.value : ((now.find(({ circuit }) => circuit !== '' && circuit === circuitOf(motor)) ?? now[0])?.id ?? ''));
    if (now.length === 0 && libraryError.value === '') changing.value = motor.length === 0 || route.value.rest[1] === USUAL ? 'enter' : 'learn';
  };
  useEffect(() => void load(), []);
  const chosen = sets?.find(({ id }) => id === chosenId.value) ?? null;
  const attempt = async (work: () => Promise<string | undefined>): Promise<void> => {
    try {
      error.value = '';
      await load(await work());
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  const remove = (set: KnownGoodSet): Promise<void> => attempt(async () => {
    await removeKnownGood(set.id);
    removed.value = set;
    return undefined;
  });
  const bringBack = (set: KnownGoodSet): Promise<void> => attempt(async () => {
    removed.value = null;
    return set.members.length > 0 ? (await learnKnownGood(null, set.circuit, set.members.map(({ jobId, traceId }) => ({ jobId, traceId })))).id : (await importLibrary(new Blob([JSON.stringify(set)]))).taken[0]?.id;
  });
  const done = (set: KnownGoodSet | null): void => {
    changing.value = null;
    if (set !== null) void load(set.id);
  };
  const fault = error.value || libraryError.value;
  const form = changing.value;
  return (
    <>
      {fault !== '' && <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} /><span>{fault}</span></p>}
      <div class="compared">
        <div class="compared-side">
          <section class="plate form">
            <h2>{words.knownGoodSets}</h2>
            {sets !== null && sets.length === 0 && <p class="fine">{language.library.empty}</p>}
            <ul class="set-list">{(sets ?? []).map((set) => <Row set={set} chosen={set.id === chosenId.value} choose={() => (chosenId.value = set.id)} key={set.id} />)}</ul>
            <div class="form-end"><Allowed to="change">
              {motor.length > 0 && <button type="button" class="button button-quiet" onClick={() => (changing.value = 'learn')}>{words.newSet}</button>}
              <button type="button" class="button button-quiet" onClick={() => (changing.value = 'enter')}>{language.library.enter}</button>
              {chosen !== null && <button type="button" class="tool" onClick={() => (changing.value = chosen)}>{words.change}</button>}
              {chosen !== null && <button type="button" class="tool" onClick={() => void remove(chosen)}>{words.remove}</button>}
            </Allowed></div>
            {removed.value !== null && <p role="status">{language.library.removed(removed.value.circuit)} <button type="button" class="link" onClick={() => void bringBack(removed.value!)}>{language.library.undo}</button></p>}
            <LibraryFiles sets={sets ?? []} chosen={chosen} changed={(show) => void load(show)} />
          </section>
          {form !== null && (form === 'enter' || (form !== 'learn' && form.usual !== undefined)
            ? <UsualForm key={form === 'enter' ? 'enter' : form.id} set={form === 'enter' ? null : form} begin={{ circuit: jobCircuit(), run: settings.value?.actuation.runLimitsA ?? null }} done={done} />
            : <SetForm key={form === 'learn' ? 'learn' : form.id} set={form === 'learn' ? null : form} traces={motor} done={done} />)}
        </div>
        <div class="compared-main">{chosen !== null && <PlacePanel set={chosen} traces={motor} key={`${chosen.id} ${JSON.stringify(chosen.usual ?? null)}`} />}</div>
      </div>
    </>
  );
}

function Row({ set, chosen, choose }: { set: KnownGoodSet; chosen: boolean; choose: () => void }) {
  return (
    <li>
      <label class="check">
        <input type="radio" name="known-good" checked={chosen} onChange={choose} />
        <span class="check-words"><b>{[set.circuit || words.unnamedCircuit, set.vehicle_type].filter(Boolean).join(', ')}</b><span class="fine">{wordsFor(set)}</span></span>
      </label>
    </li>
  );
}

/** Of the job that recordings go to. */
function jobCircuit(): string {
  return jobs.value?.find(({ job }) => job.id === settings.value?.jobId)?.job.circuit ?? '';
}

function wordsFor(set: KnownGoodSet): string {
  const { members, limits, run_limits_a: run, created, usual } = set;
  if (usual !== undefined) return [language.library.typed, figuresOf(set)].join(': ');
  const traces = Math.max(members.length, ...limits.map((limit) => limit.traces), 0);
  return [traces === 1 ? words.oneTrace : words.traces(traces), run === null ? '' : words.runsTo(formatCurrent(run[0]), formatCurrent(run[1])), created === '' ? '' : formatDate(created)].filter(Boolean).join(', ');
}
