import { Allowed } from '../app/allowed.tsx';
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import type { TraceView } from '../../src/core/wire/api.ts';
import type { KnownGoodSet } from '../../src/core/wire/prove.ts';
import { formatCurrent } from '../../src/core/units.ts';
import { Glyph } from '../app/glyph.tsx';
import { listKnownGood, removeKnownGood } from '../compare/compare-api.ts';
import { formatDate } from '../reading/format.ts';
import { wordsOf } from '../state/stored.ts';
import './known-good.css';
import { PlacePanel } from './place-panel.tsx';
import { circuitOf, SetForm } from './set-form.tsx';
import { en } from '../../src/core/present/en/index.ts';

const words = en.screens.knownGood.knownGoodScreen;

/** Limits learnt from traces that a person called good, and traces placed against them. */
export function KnownGoodScreen({ traces }: { traces: readonly TraceView[] }) {
  const motor = traces.filter(({ record }) => record.test !== 'drain');
  const sets = useSignal<readonly KnownGoodSet[] | null>(null);
  const chosenId = useSignal('');
  const changing = useSignal<KnownGoodSet | 'new' | null>(null);
  const error = useSignal('');
  const load = async (show?: string): Promise<void> => {
    try {
      sets.value = await listKnownGood();
      chosenId.value = show ?? (sets.value.some(({ id }) => id === chosenId.value) ? chosenId.value : ((sets.value.find(({ circuit }) => circuit !== '' && circuit === circuitOf(motor)) ?? sets.value[0])?.id ?? ''));
      if (sets.value.length === 0) changing.value = 'new';
      error.value = '';
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  useEffect(() => void load(), []);
  const chosen = sets.value?.find(({ id }) => id === chosenId.value) ?? null;
  const remove = async ({ id }: KnownGoodSet): Promise<void> => {
    try {
      await removeKnownGood(id);
      await load();
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  return (
    <>
      {error.value !== '' && <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} /><span>{error.value}</span></p>}
      <div class="compared">
        <div class="compared-side">
          <section class="plate form">
            <h2>{words.knownGoodSets}</h2>
            {sets.value !== null && sets.value.length === 0 && <p class="fine">{words.noneYetChooseTraces}</p>}
            <ul class="set-list">
              {(sets.value ?? []).map((set) => (
                <li key={set.id}>
                  <label class="check">
                    <input type="radio" name="known-good" checked={set.id === chosenId.value} onChange={() => (chosenId.value = set.id)} />
                    <span class="check-words"><b>{set.circuit || words.unnamedCircuit}</b><span class="fine">{wordsFor(set)}</span></span>
                  </label>
                </li>
              ))}
            </ul>
            <div class="form-end"><Allowed to="change">
              <button type="button" class="button button-quiet" onClick={() => (changing.value = 'new')}>{words.newSet}</button>
              {chosen !== null && <button type="button" class="tool" onClick={() => (changing.value = chosen)}>{words.change}</button>}
              {chosen !== null && <button type="button" class="tool" onClick={() => void remove(chosen)}>{words.remove}</button>}
            </Allowed></div>
          </section>
          {changing.value !== null && (
            <SetForm
              key={changing.value === 'new' ? 'new' : changing.value.id} set={changing.value === 'new' ? null : changing.value} traces={motor}
              done={(set) => {
                changing.value = null;
                if (set !== null) void load(set.id);
              }}
            />
          )}
        </div>
        <div class="compared-main">{chosen !== null && <PlacePanel set={chosen} traces={motor} key={chosen.id} />}</div>
      </div>
    </>
  );
}

function wordsFor({ members, limits, run_limits_a: run, created }: KnownGoodSet): string {
  const traces = Math.max(members.length, ...limits.map((limit) => limit.traces), 0);
  return [traces === 1 ? words.oneTrace : words.traces(traces), run === null ? '' : words.runsTo(formatCurrent(run[0]), formatCurrent(run[1])), created === '' ? '' : formatDate(created)].filter(Boolean).join(', ');
}
