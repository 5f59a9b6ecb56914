import { SENSOR_PARTS } from '../../src/core/reference/sensors.ts';
import { formatCurrent, significant } from '../../src/core/units.ts';
import { NumberField } from '../set-up/fields.tsx';
import { change, draft, type DraftPoint, type Way } from './draft.ts';
import { TakeReading } from './take-reading.tsx';

interface WayWords {
  readonly way: Way;
  readonly name: string;
  readonly text: string;
}

const CURRENT_WAYS: readonly WayWords[] = [
  { way: 'one', name: 'One known current', text: 'A lamp or a resistor with a bench meter in series, or a load whose current is known.' },
  { way: 'two', name: 'Two known currents', text: 'The same at two currents: this also finds a zero that could not be read.' },
  { way: 'shunt', name: 'The shunt’s plate', text: 'Its resistance and class, as printed on it.' },
  { way: 'part', name: 'The sensor’s data sheet', text: 'Nothing to compare with: the maker’s tolerance is used.' },
  { way: 'zero-only', name: 'Only the zero', text: 'The scale stays unknown.' },
];
const VOLTAGE_WAYS: readonly WayWords[] = [
  { way: 'one', name: 'One known voltage', text: 'A battery or a supply with a bench meter on the same points.' },
  { way: 'two', name: 'Two known voltages', text: 'The same at two voltages.' },
  { way: 'zero-only', name: 'Only the zero', text: 'The divider stays unknown.' },
];

/** How the scale is found: against something known, by the shunt's plate, or by the data sheet. */
export function ScaleStep() {
  const { channel, way } = draft.value;
  const ways = channel === 'current' ? CURRENT_WAYS : VOLTAGE_WAYS;
  return (
    <>
      <fieldset class="ways" aria-label="How the scale is found">
        {ways.map((one) => (
          <label class="check" key={one.way}>
            <input type="radio" name="way" checked={one.way === way} onChange={() => change({ way: one.way })} />
            <span class="check-words"><b>{one.name}</b><span class="fine">{one.text}</span></span>
          </label>
        ))}
      </fieldset>
      {(way === 'one' || way === 'two') && <Known two={way === 'two'} />}
      {way === 'shunt' && <Shunt />}
      {way === 'part' && <Part />}
    </>
  );
}

function Known({ two }: { two: boolean }) {
  const { channel, points, tolerancePercent } = draft.value;
  const unit = channel === 'current' ? 'A' : 'V';
  const put = (index: 0 | 1, next: Partial<DraftPoint>): void => {
    const changed = { ...points[index], ...next };
    change({ points: index === 0 ? [changed, points[1]] : [points[0], changed] });
  };
  return (
    <div class="known">
      {channel === 'current' && <p class="fine">Only through a fuse, and never the starter or glow plugs. Let it run until the meter is steady, then read both at the same moment.</p>}
      {([0, 1] as const).filter((index) => two || index === 0).map((index) => (
        <div class="known-point" key={index}>
          <NumberField name={two ? `${index === 0 ? 'First' : 'Second'} known value, by the meter` : 'Known value, by the meter'} unit={unit} value={points[index].applied} min={-10_000} max={10_000} set={(applied) => put(index, { applied })} />
          <TakeReading label={two ? `Use the reading at the ${index === 0 ? 'first' : 'second'} value` : 'Use the reading'} taken={points[index].read} set={(read) => put(index, { read })} />
        </div>
      ))}
      <NumberField
        name="The known value may be off by" unit="%" value={tolerancePercent} min={0} max={100} set={(percent) => change({ tolerancePercent: percent })}
        help={channel === 'current' ? 'From the bench meter’s data sheet for that range, or the tolerance of the resistor and of the meter on it.' : 'From the bench meter’s data sheet for that range.'}
      />
    </div>
  );
}

function Shunt() {
  const { shuntOhm, reckonedOhm, classPercent } = draft.value;
  const milli = (ohm: number | null): number | null => (ohm === null ? null : Number((ohm * 1000).toPrecision(9)));
  const whole = (milliohm: number | null): number | null => (milliohm === null ? null : milliohm / 1000);
  return (
    <div class="known">
      <NumberField name="Resistance on its plate" unit="mΩ" value={milli(shuntOhm)} min={0.0001} max={1e7} set={(value) => change({ shuntOhm: whole(value) })} help="A plate that says 75 mV at 100 A means 0.75 mΩ." />
      <NumberField name="Resistance set in the logger" unit="mΩ" value={milli(reckonedOhm)} min={0.0001} max={1e7} placeholder="the same" set={(value) => change({ reckonedOhm: whole(value) })} />
      <NumberField name="Class" unit="%" value={classPercent} min={0} max={100} set={(value) => change({ classPercent: value })} help="Class 0.5 means within 0.5 %." />
    </div>
  );
}

function Part() {
  const part = SENSOR_PARTS.find(({ name }) => name === draft.value.part);
  return (
    <div class="known">
      <label class="field">
        <span class="field-name">Sensor</span>
        <select value={draft.value.part} onChange={(event) => change({ part: event.currentTarget.value })}>
          <option value="">Choose the sensor</option>
          {SENSOR_PARTS.map(({ name, kind, rangeA }) => <option value={name} key={name}>{`${name} (${kind}, ${formatCurrent(rangeA)})`}</option>)}
        </select>
      </label>
      {part !== undefined && (
        <p class="fine">
          Scale within {significant(part.gainLimitPercent, 2)} %; zero {part.zeroLimitA === null ? 'not stated' : `within ${formatCurrent(part.zeroLimitA)}`}
          {part.zeroDriftAPerK === null ? '' : `, moving ${formatCurrent(part.zeroDriftAPerK)} with each degree`}. Source: {part.source}.
        </p>
      )}
    </div>
  );
}
