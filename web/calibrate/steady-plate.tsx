import { Glyph } from '../app/glyph.tsx';
import { draft } from './draft.ts';
import { withBounds } from './figures.ts';
import { readingOf, steady, steadyError } from './steady.ts';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.calibrate.steadyPlate;

/** What the logger reads now, and whether it holds still enough to be taken. */
export function SteadyPlate() {
  const { channel } = draft.value;
  const now = readingOf(channel);
  const state = now === null ? 'none' : now.moving ? 'moving' : 'steady';
  return (
    <section class="plate steady" aria-label={texts.readingNow} data-steady={state}>
      <h2>{channel === 'current' ? texts.currentNow : texts.voltageNow}</h2>
      <p class="steady-value">{now === null ? texts.noReading : withBounds(now.mean, now.uncertainty, channel === 'current' ? 'A' : 'V')}</p>
      <p class="steady-state" role="status"><Glyph shape={state === 'steady' ? 'good' : 'open'} size={16} />{words(state)}</p>
      <p class="fine">{texts.meanOfTheLast}</p>
      {steadyError.value !== '' && <p class="error" role="alert">{steadyError.value}</p>}
    </section>
  );
}

function words(state: 'none' | 'moving' | 'steady'): string {
  if (state === 'steady') return texts.steadyReadyToBeRead;
  if (state === 'moving') return texts.stillMovingWaitUntil;
  return steady.value?.logger == null ? texts.noLoggerIsConnected : texts.tooFewReadingsIn;
}
