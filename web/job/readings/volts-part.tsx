import { useSignal } from '@preact/signals';
import { walkOf, type WalkPoint, type WalkSection, type WalkWire } from '../../../src/core/analysis/readings/drop-walk.ts';
import { decimal, formatCurrent, language, significant } from '../../../src/core/present/language.ts';
import { isSinceRepair, readingKey } from '../../../src/core/reason/answered.ts';
import { POINTS, type Moment, type Point } from '../../../src/core/reason/types.ts';
import type { JobRecord, WireFields } from '../../../src/core/tracefile/record.ts';
import { NumberField } from '../../set-up/fields.tsx';
import { hasReading, reading } from '../../state/live.ts';
import { change } from '../case-state.ts';
import { WalkLine } from './walk-line.tsx';

const words = language.screens.job.readings.voltsPart;

/** What can be read beside the walk, each at its own moment. */
const OTHERS: readonly { readonly moment: Moment; readonly points: readonly Point[]; readonly title: string }[] = [
  { moment: 'released', points: ['fuse-in', 'fuse-out', 'switch-in'], title: words.withTheSwitchOpen },
  { moment: 'parked', points: ['battery'], title: words.parkedAndRestedSixHours },
  { moment: 'running', points: ['battery'], title: words.engineRunning },
];

/** Volts at points along feed and ground while it is pressed: the section that loses them has the fault. */
export function VoltsPart({ job }: { job: JobRecord }) {
  const volts = Object.fromEntries(job.readings.filter((one) => one.while === 'pressed').map(({ point, v }) => [point, v])) as Partial<Record<WalkPoint, number>>;
  const wire = (fields: WireFields | null | undefined): WalkWire | null => (fields == null ? null : { areaMm2: fields.area_mm2, lengthM: fields.length_m });
  const walk = walkOf({ volts, currentA: job.walk?.current_a ?? null, feedWire: wire(job.walk?.feed), backWire: wire(job.walk?.back) });
  return (
    <div class="two">
      <div class="stack">
        <section class="plate" aria-label={words.voltageDropWalk}>
          <h2>{words.voltageDropWalk}</h2>
          {walk.sections.length < 2 ? <p class="fine">{words.enterVoltsAtTwo}</p> : <WalkLine walk={walk} volts={volts} />}
          <Verdict walk={walk} currentA={job.walk?.current_a ?? null} />
        </section>
        {walk.sections.length > 1 && <Sections sections={walk.sections} />}
      </div>
      <section class="plate form" aria-label={words.voltsWhilePressed}>
        <h2>{words.voltsWhilePressed}</h2>
        <p class="fine">{words.switchHeldMotorRunning}</p>
        <div class="points">{POINTS.map((point) => <PointField job={job} point={point} moment="pressed" key={point} />)}</div>
        <h3>{words.besideIt}</h3>
        <Beside job={job} />
        {OTHERS.map(({ moment, points, title }) => (
          <div class="points" key={moment}><h3>{title}</h3>{points.map((point) => <PointField job={job} point={point} moment={moment} key={point} />)}</div>
        ))}
      </section>
    </div>
  );
}

function Verdict({ walk, currentA }: { walk: ReturnType<typeof walkOf>; currentA: number | null }) {
  const { worst, feed, back } = walk;
  const side = (name: string, one: typeof feed): string => (one === null ? '' : words.losesV(name, decimal(one.lossV, 2), one.wireV === null ? '' : words.itsWireAloneWould(decimal(one.wireV, 2))));
  const gains = walk.sections.some(({ state }) => state === 'gains');
  return (
    <div role="status" class="walk-verdict">
      {worst !== null && <p><strong>{words.worstLoses(nameOf(worst), decimal(worst.lossV, 2))}</strong>{worst.ohm !== null && worst.lowOhm !== null && worst.highOhm !== null ? words.thatIsToAt(milliohm(worst.ohm), milliohm(worst.lowOhm), milliohm(worst.highOhm), formatCurrent(currentA ?? 0)) : ''}</p>}
      {worst === null && walk.sections.length > 1 && <p>{words.noSectionLosesMore}</p>}
      {gains && <p class="error">{words.voltsRiseAlongThe}</p>}
      {[side(words.theFeed, feed), side(words.theWayBack, back)].filter((line) => line !== '').map((line) => <p class="fine" key={line}>{line}</p>)}
    </div>
  );
}

function Sections({ sections }: { sections: readonly WalkSection[] }) {
  return (
    <section class="plate" aria-label={words.sections}>
      <h2>{words.sectionBySection}</h2>
      <div class="table-wrap" tabIndex={0} role="region" aria-label={words.sectionBySection}>
        <table class="figures">
          <thead><tr><th scope="col">{words.section}</th><th scope="col">{words.loses}</th><th scope="col">{words.resistance}</th><th scope="col">{words.bounds}</th></tr></thead>
          <tbody>
            {sections.map((one) => (
              <tr key={one.from} class={one.state === 'loses' ? 'is-telling' : ''}>
                <th scope="row">{nameOf(one)}</th><td class="tight">{decimal(one.lossV, 2)} V{one.state === 'load' ? words.theMotorItself : ''}</td>
                <td class="tight">{one.ohm === null ? '' : milliohm(one.ohm)}</td><td class="beside">{one.lowOhm === null || one.highOhm === null ? '' : words.range(milliohm(one.lowOhm), milliohm(one.highOhm))}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function nameOf({ from, to }: WalkSection): string {
  return words.rangeOf(language.reason.pointNames[from], language.reason.pointNames[to].toLowerCase());
}

function milliohm(ohm: number): string {
  return ohm < 1 ? `${significant(ohm * 1000, 3)} mΩ` : `${significant(ohm, 3)} Ω`;
}

/** One point: typed in, or taken from the voltage channel. */
function PointField({ job, point, moment }: { job: JobRecord; point: Point; moment: Moment }) {
  const value = job.readings.find((one) => one.point === point && one.while === moment)?.v ?? null;
  const key = readingKey({ point, while: moment });
  const set = (v: number | null): void => {
    void change(job, ({ readings }) => {
      const others = readings.filter((one) => one.point !== point || one.while !== moment);
      return { readings: v === null ? others : [...others, { point, v, while: moment }] };
    }, v === null ? [] : [key]);
  };
  const live = hasReading.value ? (reading.value?.voltageV ?? null) : null;
  const name = language.reason.pointNames[point];
  return (
    <div class="point">
      <NumberField name={name} unit="V" value={value} set={set} min={-100} max={100} {...(value !== null && !isSinceRepair(job, key) ? { help: words.beforeTheRepair } : {})} />
      {live !== null && <button type="button" class="tool" aria-label={words.takeV(decimal(live, 2), name)} onClick={() => set(Math.round(live * 100) / 100)}>{words.take}</button>}
    </div>
  );
}

const NO_WALK = { current_a: null, feed: null, back: null };

/** The current meanwhile, and the wire of supply and return. */
function Beside({ job }: { job: JobRecord }) {
  const walk = job.walk ?? NO_WALK;
  const live = hasReading.value ? (reading.value?.currentA ?? null) : null;
  const set = (more: Partial<NonNullable<JobRecord['walk']>>): void => void change(job, (now) => ({ walk: { ...(now.walk ?? NO_WALK), ...more } }));
  return (
    <div class="points">
      <div class="point">
        <NumberField name={words.currentMeanwhile} unit="A" value={walk.current_a} set={(value) => set({ current_a: value })} min={0} max={10000} />
        {live !== null && <button type="button" class="tool" aria-label={words.takeAFromTheClamp(decimal(Math.abs(live), 2))} onClick={() => set({ current_a: Math.round(Math.abs(live) * 100) / 100 })}>{words.take}</button>}
      </div>
      <WireField name={words.wireOfTheFeed} value={walk.feed} set={(feed) => set({ feed })} />
      <WireField name={words.wireOfTheWayBack} value={walk.back} set={(back) => set({ back })} />
    </div>
  );
}

function WireField({ name, value, set }: { name: string; value: WireFields | null; set: (wire: WireFields | null) => void }) {
  const area = useSignal(value?.area_mm2 ?? null);
  const length = useSignal(value?.length_m ?? null);
  const put = (): void => set(area.value === null || length.value === null ? null : { area_mm2: area.value, length_m: length.value });
  return (
    <div class="wire">
      <NumberField name={name} unit="mm²" value={area.value} set={(next) => { area.value = next; put(); }} min={0.05} max={500} />
      <NumberField name={words.itsLength} unit="m" value={length.value} set={(next) => { length.value = next; put(); }} min={0.01} max={200} />
    </div>
  );
}
