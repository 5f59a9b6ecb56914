import { formatCurrent } from '../../src/core/units.ts';
import { NumberField } from './fields.tsx';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { WhichSensor } from './which-sensor.tsx';
import { changeSettings, send } from '../state/actions.ts';
import { hasReading, reading, recording, refused, sensorRangeA, settings, zero } from '../state/live.ts';

/** Zero, range and polarity, each as a step with what it shows now. */
export function SensorCheck() {
  const ready = hasReading.value;
  const now = ready ? reading.value : null;
  const range = sensorRangeA.value;
  const taken = zero.value;
  const refusal = refused.value?.what === 'zero' ? refused.value.text : '';
  const share = now === null || range === null ? null : Math.abs(now.peakA) / Math.max(Math.abs(range[0]), Math.abs(range[1]));
  return (
    <section class="plate checks" aria-label="Sensor check">
      <h2>Check the sensor</h2>
      <ol class="check-list">
        <li>
          <h3><Glyph shape={taken?.zeroA == null ? 'open' : 'good'} />Zero</h3>
          <p>Clamp closed with no conductor in it, or circuit off. Then set zero.</p>
          <div class="form-end">
            <button type="button" class="button button-quiet" disabled={!ready || recording.value !== null} onClick={() => send({ type: 'zero', do: 'take' })}>Set zero</button>
            {taken?.zeroA != null && <button type="button" class="button button-quiet" disabled={recording.value !== null} onClick={() => send({ type: 'zero', do: 'clear' })}>Clear it</button>}
          </div>
          <p class={refusal === '' ? 'fine' : 'error'} role="status">{refusal === '' ? (taken?.text ?? '') : refusal}</p>
          {settings.value !== null && (
            <NumberField
              name="Largest zero error, from the data sheet" unit="A" value={settings.value.zeroErrorA ?? null} min={0.0001} max={1000} placeholder="2 % of the range"
              set={(zeroErrorA) => changeSettings({ zeroErrorA })}
            />
          )}
        </li>
        <li>
          <h3><Glyph shape={now?.overRange ? 'fault' : 'open'} />Range</h3>
          <p>
            {range === null ? 'The logger does not report its range. Look it up on the sensor.'
              : now?.overRange ? 'The reading is at the end of the range: use a larger clamp or shunt.'
              : `From ${formatCurrent(range[0]).replace('-', '−')} to ${formatCurrent(range[1])}. ${share !== null && share > 0.8 ? 'The reading is close to its end.' : 'The inrush of a motor can be several times its running current: leave room.'}`}
          </p>
        </li>
        <li>
          <h3><Glyph shape="open" />Polarity</h3>
          <p>Switch on something small (a lamp). The current should rise above zero; if it falls below, turn the clamp round.</p>
          <p class="polarity">{now === null ? 'No reading.' : Math.abs(now.currentA) < 0.01 ? 'Now: almost no current.' : now.currentA > 0 ? 'Now: with the arrow (+).' : 'Now: against the arrow (−).'}</p>
        </li>
      </ol>
      <p><a href={hrefOf('calibrate')}>Calibrate this logger</a>: compare it with a known current, so that you know where its ± comes from.</p>
      <WhichSensor />
    </section>
  );
}
