import { SENSOR_PARTS } from '../../src/core/reference/sensors.ts';
import { NumberField } from '../set-up/fields.tsx';
import { change, draft, type DraftPoint, type Way } from './draft.ts';
import { TakeReading } from './take-reading.tsx';
import { formatCurrent, language, significant } from '../../src/core/present/language.ts';

const words = language.screens.calibrate.scaleStep;

interface WayWords {
  readonly way: Way;
  readonly name: string;
  readonly text: string;
}

const CURRENT_WAYS: readonly WayWords[] = [
  { way: 'one', name: words.oneKnownCurrent, text: words.aLampOrA },
  { way: 'two', name: words.twoKnownCurrents, text: words.theSameAtTwo },
  { way: 'shunt', name: words.theShuntsPlate, text: words.itsResistanceAndClass },
  { way: 'part', name: words.theSensorsDataSheet, text: words.nothingToCompareWith },
  { way: 'zero-only', name: words.onlyTheZero, text: words.theScaleStaysUnknown },
];
const VOLTAGE_WAYS: readonly WayWords[] = [
  { way: 'one', name: words.oneKnownVoltage, text: words.aBatteryOrA },
  { way: 'two', name: words.twoKnownVoltages, text: words.theSameAtTwoVoltages },
  { way: 'zero-only', name: words.onlyTheZero, text: words.theDividerStaysUnknown },
];

/** How the scale is found: against something known, by the shunt's plate, or by the data sheet. */
export function ScaleStep() {
  const { channel, way } = draft.value;
  const ways = channel === 'current' ? CURRENT_WAYS : VOLTAGE_WAYS;
  return (
    <>
      <fieldset class="ways" aria-label={words.howTheScaleIsFound}>
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
      {channel === 'current' && <p class="fine">{words.onlyThroughAFuse}</p>}
      {([0, 1] as const).filter((index) => two || index === 0).map((index) => (
        <div class="known-point" key={index}>
          <NumberField name={two ? words.knownValueByTheMeter(index === 0 ? words.first : words.second) : words.knownValue} unit={unit} value={points[index].applied} min={-10_000} max={10_000} set={(applied) => put(index, { applied })} />
          <TakeReading label={two ? words.useTheReadingAt(index === 0 ? 'first' : 'second') : words.useTheReading} taken={points[index].read} set={(read) => put(index, { read })} />
        </div>
      ))}
      <NumberField
        name={words.theKnownValueMay} unit="%" value={tolerancePercent} min={0} max={100} set={(percent) => change({ tolerancePercent: percent })}
        help={channel === 'current' ? words.fromTheBenchMeters : words.fromTheBenchMetersData}
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
      <NumberField name={words.resistanceOnItsPlate} unit="mΩ" value={milli(shuntOhm)} min={0.0001} max={1e7} set={(value) => change({ shuntOhm: whole(value) })} help={words.aPlateThatSays} />
      <NumberField name={words.resistanceSetInTheLogger} unit="mΩ" value={milli(reckonedOhm)} min={0.0001} max={1e7} placeholder={words.theSame} set={(value) => change({ reckonedOhm: whole(value) })} />
      <NumberField name={words.class} unit="%" value={classPercent} min={0} max={100} set={(value) => change({ classPercent: value })} help={words.class05Means} />
    </div>
  );
}

function Part() {
  const part = SENSOR_PARTS.find(({ name }) => name === draft.value.part);
  return (
    <div class="known">
      <label class="field">
        <span class="field-name">{words.sensor}</span>
        <select value={draft.value.part} onChange={(event) => change({ part: event.currentTarget.value })}>
          <option value="">{words.chooseTheSensor}</option>
          {SENSOR_PARTS.map(({ name, kind, rangeA }) => <option value={name} key={name}>{`${name} (${kind}, ${formatCurrent(rangeA)})`}</option>)}
        </select>
      </label>
      {part !== undefined && (
        <p class="fine">
          {words.scaleWithinZero(significant(part.gainLimitPercent, 2))} {part.zeroLimitA === null ? words.notStated : words.within(formatCurrent(part.zeroLimitA))}
          {part.zeroDriftAPerK === null ? '' : words.movingWithEachDegree(formatCurrent(part.zeroDriftAPerK))}{words.source(part.source)}
        </p>
      )}
    </div>
  );
}
