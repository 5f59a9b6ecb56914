import { Glyph } from '../app/glyph.tsx';
import { draft } from './draft.ts';
import { withBounds } from './figures.ts';
import { readingOf, steady, steadyError } from './steady.ts';

/** What the logger reads now, and whether it holds still enough to be taken. */
export function SteadyPlate() {
  const { channel } = draft.value;
  const now = readingOf(channel);
  const state = now === null ? 'none' : now.moving ? 'moving' : 'steady';
  return (
    <section class="plate steady" aria-label="Reading now" data-steady={state}>
      <h2>{channel === 'current' ? 'Current now' : 'Voltage now'}</h2>
      <p class="steady-value">{now === null ? 'No reading' : withBounds(now.mean, now.uncertainty, channel === 'current' ? 'A' : 'V')}</p>
      <p class="steady-state" role="status"><Glyph shape={state === 'steady' ? 'good' : 'open'} size={16} />{words(state)}</p>
      <p class="fine">Mean of the last two seconds as the logger sends it, without a zero step. ± holds in 95 of 100 cases.</p>
      {steadyError.value !== '' && <p class="error" role="alert">{steadyError.value}</p>}
    </section>
  );
}

function words(state: 'none' | 'moving' | 'steady'): string {
  if (state === 'steady') return 'Steady: ready to be read.';
  if (state === 'moving') return 'Still moving: wait until it is steady.';
  return steady.value?.logger == null ? 'No logger is connected. Choose one under Set up.' : 'Too few readings in two seconds.';
}
