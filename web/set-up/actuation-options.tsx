import { useSignal } from '@preact/signals';
import type { ActuationOptions } from '../../src/core/analysis/options.ts';
import { ripplesPerRevolution } from '../../src/core/reference/motor.ts';
import { awgAreaMm2 } from '../../src/core/reference/wire.ts';
import { changeSettings } from '../state/actions.ts';
import { NumberField } from './fields.tsx';
import { RunRange } from './run-range.tsx';
import { UsualPick } from './usual-pick.tsx';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.setUp.actuationOptions;

/** The inrush of a healthy mechanism's motor is over by then, s. Common practice, no published source. */
const INRUSH_HOLD_S = 0.3;

type Wire = NonNullable<ActuationOptions['wire']>;

/** What is known of a motor circuit. Everything may stay empty; nothing is guessed in its place. */
export function ActuationOptionsForm({ options }: { options: ActuationOptions }) {
  const set = (change: { readonly [Key in keyof ActuationOptions]?: ActuationOptions[Key] | undefined }): void => {
    const next = { ...options, ...change };
    changeSettings({ actuation: Object.fromEntries(Object.entries(next).filter(([, value]) => value !== undefined)) as ActuationOptions });
  };
  return (
    <section class="plate form" aria-label={words.whatIsKnownOf}>
      <h2>{words.whatIsKnownOf}</h2>
      <p class="fine">{words.mayStayEmpty}</p>
      <UsualPick
        holds={(one) => one.run_limits_a !== null}
        isChosen={(one) => one.run_limits_a?.join() === options.runLimitsA?.join()}
        choose={({ run_limits_a: run, usual }) => run !== null && set({ runLimitsA: [run[0], run[1]], runLimitsFrom: usual === undefined ? 'known-good' : undefined })}
      />
      <RunRange key={options.runLimitsA?.join() ?? ''} range={options.runLimitsA ?? null} set={(run) => set({ runLimitsA: run ?? undefined, runLimitsFrom: undefined })} />
      <div class="form-grid">
        <NumberField name={words.flagReadingsAbove} unit="A" value={options.flagLimitA ?? null} set={(value) => set({ flagLimitA: value ?? undefined, flagHoldS: value === null ? undefined : (options.flagHoldS ?? INRUSH_HOLD_S) })} min={0} max={10000} help={words.drawnAsALine} />
        {options.flagLimitA !== undefined && <NumberField name={words.forLongerThan} unit="s" value={options.flagHoldS ?? 0} set={(value) => set({ flagHoldS: value ?? 0 })} min={0} max={600} help={words.aHealthyInrushIs} />}
        <NumberField name={words.fuseRating} unit="A" value={options.fuseRatingA ?? null} set={(value) => set({ fuseRatingA: value ?? undefined })} min={0.5} max={1000} />
        <NumberField name={words.sensorBandwidth} unit="Hz" value={options.sensorBandwidthHz ?? null} set={(value) => set({ sensorBandwidthHz: value ?? undefined })} min={0.1} max={1e7} help={words.fromItsDatasheetElse} />
      </div>
      <Commutator key={options.commutationsPerRevolution ?? ''} ripples={options.commutationsPerRevolution ?? null} set={(ripples) => set({ commutationsPerRevolution: ripples ?? undefined })} />
      <WireFields key={options.wire === undefined ? '' : 'wire'} wire={options.wire ?? null} set={(wire) => set({ wire: wire ?? undefined })} />
    </section>
  );
}

/** Ripples per revolution, typed in or worked out from brushes and segments. */
function Commutator({ ripples, set }: { ripples: number | null; set: (ripples: number | null) => void }) {
  const brushes = useSignal<number | null>(null);
  const segments = useSignal<number | null>(null);
  const apply = (): void => {
    if (brushes.value !== null && segments.value !== null) set(ripplesPerRevolution(Math.round(brushes.value), Math.round(segments.value)));
  };
  return (
    <div class="form-grid">
      <NumberField name={words.ripplesPerRevolution} unit="" value={ripples} set={(value) => set(value === null ? null : Math.max(1, Math.round(value)))} min={1} max={1000} help={words.givesSpeedTurnsAnd} />
      <NumberField name={words.orBrushes} unit="" value={brushes.value} set={(value) => { brushes.value = value; apply(); }} min={2} max={24} />
      <NumberField name={words.andCommutatorSegments} unit="" value={segments.value} set={(value) => { segments.value = value; apply(); }} min={3} max={500} />
    </div>
  );
}

/** The feed's wire: tells how much of the voltage drop it explains. */
function WireFields({ wire, set }: { wire: Wire | null; set: (wire: Wire | null) => void }) {
  const area = useSignal(wire?.areaMm2 ?? null);
  const gauge = useSignal<number | null>(null);
  const length = useSignal(wire?.lengthM ?? null);
  const temperature = useSignal(wire?.temperatureC ?? null);
  const apply = (): void => {
    if (area.value !== null && length.value !== null) set({ areaMm2: area.value, lengthM: length.value, temperatureC: temperature.value ?? 20 });
    else if (area.value === null && length.value === null && wire !== null) set(null);
  };
  return (
    <div class="form-grid">
      <NumberField name={words.wireSection} unit="mm²" value={area.value} set={(value) => { area.value = value; apply(); }} min={0.05} max={500} />
      <NumberField name={words.orGauge} unit="AWG" value={gauge.value} set={(value) => { gauge.value = value; area.value = value === null ? null : Number(awgAreaMm2(value).toPrecision(4)); apply(); }} min={-3} max={40} />
      <NumberField name={words.wireLengthThereAndBack} unit="m" value={length.value} set={(value) => { length.value = value; apply(); }} min={0.05} max={500} />
      <NumberField name={words.wireTemperature} unit="°C" value={temperature.value} set={(value) => { temperature.value = value; apply(); }} placeholder="20" min={-60} max={200} help={words.tellsHowMuchOf} />
    </div>
  );
}
