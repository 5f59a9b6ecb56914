import { DEFAULT_DRAIN_LIMIT_A } from '../../src/core/analysis/options.ts';
import { measuringTask, sensorAdvice } from '../../src/core/analysis/uncertainty/sensor-advice.ts';
import { formatCurrent, language } from '../../src/core/present/language.ts';
import { Glyph } from '../app/glyph.tsx';
import { settings } from '../state/live.ts';

const words = language.screens.setUp.whichSensor;

/** Which sensor can prove what is to be measured, and which cannot, from their data sheets. */
export function WhichSensor() {
  const now = settings.value;
  if (now === null) return null;
  const limits = now.actuation.runLimitsA;
  const currentA = now.test === 'drain' ? (now.drain.limitA ?? DEFAULT_DRAIN_LIMIT_A) : limits?.[1];
  const task = measuringTask(now.test, currentA === undefined ? {} : { currentA });
  return (
    <details class="problems">
      <summary>{words.whichSensorCanProve(formatCurrent(task.currentA))}</summary>
      <ul class="sensor-list">
        {sensorAdvice(task).map((advice) => (
          <li key={advice.part.name}>
            <b><Glyph shape={advice.proves === true ? 'good' : advice.proves === false ? 'fault' : 'open'} size={14} /> {advice.part.name} ({advice.part.kind}): {advice.proves === true ? words.yes : advice.proves === false ? words.no : words.cannotTell}</b>{' '}
            <span>{advice.reasons.map((reason) => language.calibration.advice[reason](advice, task)).join('; ')}.</span> <span class="fine">{advice.part.source}</span>
          </li>
        ))}
      </ul>
    </details>
  );
}
