import { useSignal } from '@preact/signals';
import { supplyReversal, type WayState } from '../../../src/core/analysis/readings/supply-reversal.ts';
import { decimal, language } from '../../../src/core/present/language.ts';
import type { JobRecord, LeadFields } from '../../../src/core/tracefile/record.ts';
import { Glyph } from '../../app/glyph.tsx';
import { NumberField } from '../../set-up/fields.tsx';
import { hasReading, reading } from '../../state/live.ts';
import { change } from '../case-state.ts';

const words = language.screens.job.readings.reversalPart;

type Way = 'forward' | 'reverse';
interface Leads {
  a: number | null;
  b: number | null;
  currentA: number | null;
}
const WAYS: readonly { readonly way: Way; readonly title: string }[] = [{ way: 'forward', title: words.pressedOneWay }, { way: 'reverse', title: words.pressedTheOtherWay }];
const STATE_WORDS: Readonly<Record<WayState, string>> = { fed: words.theFullSupply, weak: words.tooFewVolts, 'open-return': words.bothLeadsLive, none: 'nothing' };

/** The +12/-12 check: both leads of a two-way motor, both ways pressed. */
export function ReversalPart({ job }: { job: JobRecord }) {
  const kept = job.reversal;
  const state = useSignal<Readonly<Record<Way, Leads>>>({ forward: leadsOf(kept?.forward), reverse: leadsOf(kept?.reverse) });
  const set = (way: Way, more: Partial<Leads>): void => {
    state.value = { ...state.value, [way]: { ...state.value[way], ...more } };
    const forward = fieldsOf(state.value.forward);
    const reverse = fieldsOf(state.value.reverse);
    void change(job, () => ({ reversal: forward === null || reverse === null ? null : { forward, reverse } }));
  };
  return (
    <div class="two">
      <section class="plate form" aria-label={words.supplyReversal}>
        <h2>{words.doesTheSupplyReverse}</h2>
        <p class="fine">{words.motorPluggedInBack}</p>
        {WAYS.map(({ way, title }) => (
          <fieldset class="points" key={way}>
            <legend>{title}</legend>
            <LeadField name={words.leadA} value={state.value[way].a} set={(a) => set(way, { a })} />
            <LeadField name={words.leadB} value={state.value[way].b} set={(b) => set(way, { b })} />
            <NumberField name={words.currentIfClamped} unit="A" value={state.value[way].currentA} set={(currentA) => set(way, { currentA })} min={-10000} max={10000} />
          </fieldset>
        ))}
      </section>
      <Outcome job={job} />
    </div>
  );
}

function LeadField({ name, value, set }: { name: string; value: number | null; set: (v: number | null) => void }) {
  const live = hasReading.value ? (reading.value?.voltageV ?? null) : null;
  return (
    <div class="point">
      <NumberField name={name} unit="V" value={value} set={set} min={-100} max={100} />
      {live !== null && <button type="button" class="tool" aria-label={words.takeV(decimal(live, 2), name)} onClick={() => set(Math.round(live * 100) / 100)}>{words.take}</button>}
    </div>
  );
}

function Outcome({ job: { reversal } }: { job: JobRecord }) {
  if (reversal === null) return <section class="plate empty" aria-label={words.whatItSays}><p>{words.bothLeadsBothWays}</p></section>;
  const of = ({ a_v: aV, b_v: bV, current_a: currentA }: LeadFields) => ({ aV, bV, currentA });
  const { outcome, forward, reverse, forwardV, reverseV } = supplyReversal({ forward: of(reversal.forward), reverse: of(reversal.reverse) });
  const { title, text } = language.reason.reversal[outcome];
  return (
    <section class="plate card" aria-label={words.whatItSays} role="status">
      <h2 class="card-finding"><Glyph shape={outcome === 'both-ways' ? 'good' : outcome === 'cannot-tell' ? 'open' : 'fault'} size={26} />{title}</h2>
      <p class="card-sentence">{text}</p>
      <dl class="facts">
        <div><dt>{words.oneWay}</dt><dd>{signed(forwardV)} V, {STATE_WORDS[forward]}</dd></div>
        <div><dt>{words.theOtherWay}</dt><dd>{signed(reverseV)} V, {STATE_WORDS[reverse]}</dd></div>
      </dl>
    </section>
  );
}

function signed(v: number): string {
  return `${v < -0.05 ? '\u2212' : v > 0.05 ? '+' : ''}${decimal(Math.abs(v), 1)}`;
}

function leadsOf(fields: LeadFields | undefined): Leads {
  return { a: fields?.a_v ?? null, b: fields?.b_v ?? null, currentA: fields?.current_a ?? null };
}

function fieldsOf({ a, b, currentA }: Leads): LeadFields | null {
  return a === null || b === null ? null : { a_v: a, b_v: b, current_a: currentA };
}
