import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { nextLabel, SteadyReading } from '../../../src/core/analysis/readings/steady.ts';
import { decimal, language } from '../../../src/core/present/language.ts';
import { withMinus } from '../../../src/core/present/numbers.ts';
import { FUSE_RATINGS_A, FUSE_TYPES, fuseOhm, type FuseType } from '../../../src/core/reference/blade-fuses.ts';
import type { FuseFields } from '../../../src/core/tracefile/record.ts';
import { NumberField, TextField } from '../../set-up/fields.tsx';
import { hasReading, reading } from '../../state/live.ts';

const words = language.screens.job.readings.fuseEntry;

/** The next fuse: its name, kind and millivolts, typed or taken from the voltage channel, a tap a fuse or hands free. */
export function FuseEntry({ fuses, add }: { fuses: readonly FuseFields[]; add: (fuse: FuseFields) => void }) {
  const label = useSignal(nextLabel(fuses.at(-1)?.label ?? ''));
  const type = useSignal<FuseType>('ato');
  const rating = useSignal(10);
  const own = useSignal<number | null>(null);
  const millivolts = useSignal<number | null>(null);
  const known = fuseOhm(type.value, rating.value);
  const setMillivolts = (mv: number): void => {
    add({ label: label.value.trim() || 'F?', type: type.value, rating_a: rating.value, mv, ohm: own.value === null ? null : own.value / 1000 });
    label.value = nextLabel(label.value.trim());
    millivolts.value = null;
  };
  return (
    <form class="plate form" aria-label={words.nextFuse} onSubmit={(event) => {
      event.preventDefault();
      if (millivolts.value !== null) setMillivolts(millivolts.value);
    }}>
      <h2>{words.nextFuse}</h2>
      <div class="form-grid">
        <TextField name={words.fuse} value={label.value} set={(value) => (label.value = value)} maxLength={80} />
        <label class="field">
          <span class="field-name">{words.type}</span>
          <select value={type} onChange={(event) => {
            type.value = event.currentTarget.value as FuseType;
            const ratings = FUSE_RATINGS_A[type.value];
            if (!ratings.includes(rating.value)) rating.value = ratings[0]!;
          }}>{FUSE_TYPES.map((one) => <option value={one} key={one}>{language.fuses.types[one]}</option>)}</select>
        </label>
        <label class="field">
          <span class="field-name">{words.rating}</span>
          <select value={String(rating.value)} onChange={(event) => (rating.value = Number(event.currentTarget.value))}>{FUSE_RATINGS_A[type.value].map((one) => <option value={String(one)} key={one}>{one} A</option>)}</select>
        </label>
        <NumberField name={words.yourOwnResistance} unit="mΩ" value={own.value} set={(value) => (own.value = value)} min={0.01} max={10000} placeholder={known === null ? words.neededForThisOne : decimal(known.ohm * 1000, 2)} />
        <NumberField name={words.acrossIt} unit="mV" value={millivolts.value} set={(value) => (millivolts.value = value)} min={-100000} max={100000} required />
      </div>
      <p class="fine">{known === null ? words.noResistanceOfThis : words.resistance(known.source, Math.round(known.spread * 100))}</p>
      <div class="form-end"><button type="submit" class="button">{words.addToTheList}</button></div>
      <FromChannel onReading={setMillivolts} label={label.value} />
    </form>
  );
}

/** More than this across a fuse is an open fuse, or the leads are elsewhere: see analysis/readings/fuse-survey.ts. */
const MOST_ACROSS_V = 1;

/** The logger's voltage leads across the fuse. Hands free: what keeps still for two seconds is entered, and the name counts on. */
function FromChannel({ onReading, label }: { onReading: (mv: number) => void; label: string }) {
  const handsFree = useSignal(false);
  const said = useSignal('');
  const steady = useRef(new SteadyReading());
  const volts = hasReading.value ? (reading.value?.voltageV ?? null) : null;
  const atS = reading.value?.atS ?? 0;
  useEffect(() => {
    if (!handsFree.value || volts === null || Math.abs(volts) > MOST_ACROSS_V) return;
    const v = steady.current.push(atS, volts);
    if (v === null) return;
    said.value = words.mvTaken(label, decimal(v * 1000, 2));
    onReading(v * 1000);
  }, [atS]);
  if (volts === null) return <p class="fine">{words.noVoltageChannelEnter}</p>;
  const across = Math.abs(volts) <= MOST_ACROSS_V;
  return (
    <div class="from-channel">
      <p class="from-reading"><span class="fine">{words.voltageChannelNow}</span><strong>{withMinus(across ? `${decimal(volts * 1000, 2)} mV` : `${decimal(volts, 1)} V`)}</strong></p>
      {!across && <p class="fine">{words.thatIsNoVoltage}</p>}
      <button type="button" class="button button-quiet" aria-disabled={!across} onClick={() => across && onReading(volts * 1000)}>{words.takeThisReading}</button>
      <label class="check"><input type="checkbox" checked={handsFree.value} onChange={(event) => {
        handsFree.value = event.currentTarget.checked;
        steady.current = new SteadyReading();
      }} />{words.handsFreeTakeThe}</label>
      <p class="fine" role="status">{said.value}</p>
    </div>
  );
}
