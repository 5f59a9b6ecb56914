import { NumberField } from './fields.tsx';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { WhichSensor } from './which-sensor.tsx';
import { changeSettings, send } from '../state/actions.ts';
import { hasReading, isDrain, isVirtual, reading, recording, refused, sensorRangeA, settings, source, zero } from '../state/live.ts';
import { formatCurrent, language } from '../../src/core/present/language.ts';
import { withMinus } from '../../src/core/present/numbers.ts';

const words = language.screens.setUp.sensorCheck;

/** Zero, range and polarity, each as a step with what it shows now. */
export function SensorCheck() {
  const ready = hasReading.value;
  const now = ready ? reading.value : null;
  const range = sensorRangeA.value;
  const taken = zero.value;
  const refusal = refused.value?.what === 'zero' ? refused.value.text : '';
  const share = now === null || range === null ? null : Math.abs(now.peakA) / Math.max(Math.abs(range[0]), Math.abs(range[1]));
  return (
    <section class="plate checks" aria-label={words.sensorCheck}>
      <h2>{words.checkTheSensor}</h2>
      <ol class="check-list">
        <li>
          <h3><Glyph shape={taken?.zeroA == null ? 'open' : 'good'} />{words.zero}</h3>
          <p>{words.clampClosedWithNo}</p>
          <div class="form-end">
            <button type="button" class="button button-quiet" disabled={!ready || recording.value !== null} onClick={() => send({ type: 'zero', do: 'take' })}>{words.setZero}</button>
            {taken?.zeroA != null && <button type="button" class="button button-quiet" disabled={recording.value !== null} onClick={() => send({ type: 'zero', do: 'clear' })}>{words.clearIt}</button>}
          </div>
          <p class={refusal === '' ? 'fine' : 'error'} role="status">{refusal === '' ? (taken?.text ?? '') : refusal}</p>
          <VirtualSwitch shown={refusal !== ''} />
          {settings.value !== null && (
            <NumberField
              name={words.largestZeroErrorFrom} unit="A" value={settings.value.zeroErrorA ?? null} min={0.0001} max={1000} placeholder={words.n2OfTheRange}
              set={(zeroErrorA) => changeSettings({ zeroErrorA })}
            />
          )}
        </li>
        <li>
          <h3><Glyph shape={now?.overRange ? 'fault' : 'open'} />{words.range}</h3>
          <p>
            {range === null ? words.theLoggerDoesNot
              : now?.overRange ? words.theReadingIsAt
              : words.fromTo(withMinus(formatCurrent(range[0])), formatCurrent(range[1]), share !== null && share > 0.8 ? words.theReadingIsClose : isDrain.value ? words.roomFor : words.theInrushOfA)}
          </p>
        </li>
        <li>
          <h3><Glyph shape="open" />{words.polarity}</h3>
          <p>{words.switchOnSomethingSmall}</p>
          <p class="polarity">{now === null ? words.noReading : Math.abs(now.currentA) < 0.01 ? words.nowAlmostNoCurrent : now.currentA > 0 ? words.nowWithTheArrow : words.nowAgainstTheArrow}</p>
        </li>
      </ol>
      <p>{words.calibrateThisLogger((text) => <a href={hrefOf('calibrate')}>{text}</a>)}</p>
      <WhichSensor />
    </section>
  );
}

/** Whoever is asked to switch it off must be able to: the built-in vehicle's own hand lets go of the switch. */
function VirtualSwitch({ shown }: { shown: boolean }) {
  if (!shown || !isVirtual.value || source.value?.logger?.controls?.hasSwitch !== true) return null;
  return (
    <div class="form-end">
      <button type="button" class="button button-quiet" onClick={() => send({ type: 'source', do: 'switch', position: 'off' })}>{words.letGo}</button>
      <span class="fine">{words.letGoText}</span>
    </div>
  );
}
