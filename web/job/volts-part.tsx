import { useSignal } from '@preact/signals';
import { walkOf, type WalkPoint, type WalkSection, type WalkWire } from '../../src/core/analysis/readings/drop-walk.ts';
import { en } from '../../src/core/present/en/index.ts';
import { POINTS, type Moment, type Point } from '../../src/core/reason/types.ts';
import type { JobRecord, WireFields } from '../../src/core/tracefile/record.ts';
import { formatCurrent, significant } from '../../src/core/units.ts';
import { NumberField } from '../set-up/fields.tsx';
import { hasReading, reading } from '../state/live.ts';
import { change } from './case-state.ts';
import { WalkLine } from './walk-line.tsx';

/** What can be read beside the walk, each at its own moment. */
const OTHERS: readonly { readonly moment: Moment; readonly points: readonly Point[]; readonly title: string }[] = [
  { moment: 'released', points: ['fuse-in', 'fuse-out', 'switch-in'], title: 'With the switch open' },
  { moment: 'parked', points: ['battery'], title: 'Parked and rested six hours' },
  { moment: 'running', points: ['battery'], title: 'Engine running' },
];

/** Volts at points along feed and ground while it is pressed: the section that loses them has the fault. */
export function VoltsPart({ job }: { job: JobRecord }) {
  const volts = Object.fromEntries(job.readings.filter((one) => one.while === 'pressed').map(({ point, v }) => [point, v])) as Partial<Record<WalkPoint, number>>;
  const wire = (fields: WireFields | null | undefined): WalkWire | null => (fields == null ? null : { areaMm2: fields.area_mm2, lengthM: fields.length_m });
  const walk = walkOf({ volts, currentA: job.walk?.current_a ?? null, feedWire: wire(job.walk?.feed), backWire: wire(job.walk?.back) });
  return (
    <div class="two">
      <div class="stack">
        <section class="plate" aria-label="Voltage-drop walk">
          <h2>Voltage-drop walk</h2>
          {walk.sections.length < 2 ? <p class="fine">Enter volts at two points at least. Black lead on the battery's negative post, motor running.</p> : <WalkLine walk={walk} volts={volts} />}
          <Verdict walk={walk} currentA={job.walk?.current_a ?? null} />
        </section>
        {walk.sections.length > 1 && <Sections sections={walk.sections} />}
      </div>
      <section class="plate form" aria-label="Volts while pressed">
        <h2>Volts while pressed</h2>
        <p class="fine">Switch held, motor running or trying to. Keep to the points you can reach. Tap Take to use the logger's voltage lead.</p>
        <div class="points">{POINTS.map((point) => <PointField job={job} point={point} moment="pressed" key={point} />)}</div>
        <h3>Beside it</h3>
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
  const side = (name: string, one: typeof feed): string => (one === null ? '' : `${name} loses ${one.lossV.toFixed(2)} V${one.wireV === null ? '' : `, its wire alone would lose ${one.wireV.toFixed(2)} V`}.`);
  const gains = walk.sections.some(({ state }) => state === 'gains');
  return (
    <div role="status" class="walk-verdict">
      {worst !== null && <p><strong>{nameOf(worst)} loses {worst.lossV.toFixed(2)} V.</strong>{worst.ohm !== null && worst.lowOhm !== null && worst.highOhm !== null ? ` That is ${milliohm(worst.ohm)} (${milliohm(worst.lowOhm)} to ${milliohm(worst.highOhm)}) at ${formatCurrent(currentA ?? 0)}.` : ''}</p>}
      {worst === null && walk.sections.length > 1 && <p>No section loses more than a good one does: half a volt in the feed, 0.2 V on the way back.</p>}
      {gains && <p class="error">Volts rise along the way: these were not read at the same load. Read them again, one after the other, while it runs.</p>}
      {[side('The feed', feed), side('The way back', back)].filter((line) => line !== '').map((line) => <p class="fine" key={line}>{line}</p>)}
    </div>
  );
}

function Sections({ sections }: { sections: readonly WalkSection[] }) {
  return (
    <section class="plate" aria-label="Sections">
      <h2>Section by section</h2>
      <div class="table-wrap">
        <table class="figures">
          <thead><tr><th scope="col">Section</th><th scope="col">Loses</th><th scope="col">Resistance</th><th scope="col">Bounds</th></tr></thead>
          <tbody>
            {sections.map((one) => (
              <tr key={one.from} class={one.state === 'loses' ? 'is-telling' : ''}>
                <th scope="row">{nameOf(one)}</th><td>{one.lossV.toFixed(2)} V{one.state === 'load' ? ', the motor itself' : ''}</td>
                <td>{one.ohm === null ? '' : milliohm(one.ohm)}</td><td class="beside">{one.lowOhm === null || one.highOhm === null ? '' : `${milliohm(one.lowOhm)} to ${milliohm(one.highOhm)}`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function nameOf({ from, to }: WalkSection): string {
  return `${en.reason.pointNames[from]} to ${en.reason.pointNames[to].toLowerCase()}`;
}

function milliohm(ohm: number): string {
  return ohm < 1 ? `${significant(ohm * 1000, 3)} mΩ` : `${significant(ohm, 3)} Ω`;
}

/** One point: typed in, or taken from the voltage channel. */
function PointField({ job, point, moment }: { job: JobRecord; point: Point; moment: Moment }) {
  const value = job.readings.find((one) => one.point === point && one.while === moment)?.v ?? null;
  const set = (v: number | null): void => {
    void change(job, ({ readings }) => {
      const others = readings.filter((one) => one.point !== point || one.while !== moment);
      return { readings: v === null ? others : [...others, { point, v, while: moment }] };
    });
  };
  const live = hasReading.value ? (reading.value?.voltageV ?? null) : null;
  const name = en.reason.pointNames[point];
  return (
    <div class="point">
      <NumberField name={name} unit="V" value={value} set={set} min={-100} max={100} />
      {live !== null && <button type="button" class="tool" aria-label={`Take ${live.toFixed(2)} V: ${name}`} onClick={() => set(Math.round(live * 100) / 100)}>Take</button>}
    </div>
  );
}

const NO_WALK = { current_a: null, feed: null, back: null };

/** The current meanwhile, and the wire there and back. */
function Beside({ job }: { job: JobRecord }) {
  const walk = job.walk ?? NO_WALK;
  const live = hasReading.value ? (reading.value?.currentA ?? null) : null;
  const set = (more: Partial<NonNullable<JobRecord['walk']>>): void => void change(job, (now) => ({ walk: { ...(now.walk ?? NO_WALK), ...more } }));
  return (
    <div class="points">
      <div class="point">
        <NumberField name="Current meanwhile" unit="A" value={walk.current_a} set={(value) => set({ current_a: value })} min={0} max={10000} />
        {live !== null && <button type="button" class="tool" aria-label={`Take ${Math.abs(live).toFixed(2)} A from the clamp`} onClick={() => set({ current_a: Math.round(Math.abs(live) * 100) / 100 })}>Take</button>}
      </div>
      <WireField name="Wire of the feed" value={walk.feed} set={(feed) => set({ feed })} />
      <WireField name="Wire of the way back" value={walk.back} set={(back) => set({ back })} />
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
      <NumberField name="its length" unit="m" value={length.value} set={(next) => { length.value = next; put(); }} min={0.01} max={200} />
    </div>
  );
}
