import { useSignal } from '@preact/signals';
import { DEFAULT_DRAIN_LIMIT_A } from '../../src/core/analysis/options.ts';
import type { DrainOptions } from '../../src/core/analysis/options.ts';
import { DRAIN_LIMITS, reserveCapacityLimitA } from '../../src/core/reference/drain-limits.ts';
import { changeSettings } from '../state/actions.ts';
import { fuseLabels } from '../state/preferences.ts';
import { NumberField } from './fields.tsx';
import { UsualPick } from './usual-pick.tsx';
import { formatCurrent, formatDuration, language } from '../../src/core/present/language.ts';

const words = language.screens.setUp.drainOptions;

/** What is known of the vehicle and its battery for a key-off test. */
export function DrainOptionsForm({ options }: { options: DrainOptions }) {
  const set = (change: { readonly [Key in keyof DrainOptions]?: DrainOptions[Key] | undefined }): void => {
    const next = { ...options, ...change };
    changeSettings({ drain: Object.fromEntries(Object.entries(next).filter(([, value]) => value !== undefined)) as DrainOptions });
  };
  const limitA = options.limitA ?? DEFAULT_DRAIN_LIMIT_A;
  const preset = DRAIN_LIMITS.find((one) => one.limitA === limitA);
  const reserve = options.reserveCapacityMin;
  return (
    <section class="plate form" aria-label={words.whatIsKnownOf}>
      <h2>{words.whatIsKnownOf}</h2>
      <p class="fine">{words.mayStayEmpty}</p>
      <UsualPick
        holds={({ usual }) => (usual?.asleep_a ?? null) !== null}
        isChosen={({ usual }) => usual?.asleep_a?.[1] === options.limitA}
        choose={({ usual }) => set({ limitA: usual?.asleep_a?.[1] })}
      />
      <label class="field field-wide">
        <span class="field-name">{words.limitWhenAsleep}</span>
        <select value={preset?.name ?? 'own'} onChange={(event) => {
          const chosen = DRAIN_LIMITS.find((one) => one.name === event.currentTarget.value);
          if (chosen !== undefined) set({ limitA: chosen.limitA, settlingS: chosen.settlingS ?? undefined });
        }}>
          {DRAIN_LIMITS.map((one) => <option value={one.name} key={one.name}>{one.text} ({one.source})</option>)}
          {preset === undefined && <option value="own">{words.ownFigure(formatCurrent(limitA))}</option>}
        </select>
        {preset?.settlingS != null && <span class="fine">{words.itsSourceReadsAfter(formatDuration(preset.settlingS))}</span>}
      </label>
      <div class="form-grid">
        <NumberField name={words.orOwnLimit} unit="mA" value={Number((limitA * 1000).toPrecision(6))} set={(value) => set({ limitA: value === null ? undefined : value / 1000 })} min={0.1} max={100000} />
        <NumberField name={words.batteryCapacity} unit="Ah" value={options.batteryAh ?? null} set={(value) => set({ batteryAh: value ?? undefined })} min={1} max={10000} help={words.n20HFigureOn} />
        <NumberField name={words.reserveCapacity} unit="min" value={reserve ?? null} set={(value) => set({ reserveCapacityMin: value ?? undefined })} min={1} max={10000} help={reserve === undefined ? words.minutesAt25A : words.oneMakersRuleA(formatCurrent(reserveCapacityLimitA(reserve)))} />
        <NumberField name={words.restedVoltage} unit="V" value={options.restedV ?? null} set={(value) => set({ restedV: value ?? undefined })} min={0} max={100} help={words.afterSixHoursWithoutLoad} />
        <NumberField name={words.timeToSettle} unit="min" value={options.settlingS === undefined ? null : options.settlingS / 60} set={(value) => set({ settlingS: value === null ? undefined : value * 60 })} min={1} max={1440} help={words.whatThisVehiclesMaker} />
        <NumberField name={words.temperature} unit="°C" value={options.temperatureC ?? null} set={(value) => set({ temperatureC: value ?? undefined })} min={-60} max={100} />
      </div>
      <FuseList />
    </section>
  );
}

function FuseList() {
  const typed = useSignal(fuseLabels.value.join(', '));
  return (
    <label class="field field-wide">
      <span class="field-name">{words.fusesToPullInOrder}</span>
      <input
        type="text" placeholder={words.fusesExample} autocomplete="off" value={typed} onInput={(event) => (typed.value = event.currentTarget.value)}
        onChange={() => (fuseLabels.value = [...new Set(typed.value.split(/[,;\s]+/).map((label) => label.trim().slice(0, 20)).filter(Boolean))].slice(0, 60))}
      />
      <span class="fine">{words.keptInThisBrowser}</span>
    </label>
  );
}
