import { Glyph } from '../app/glyph.tsx';
import { formatDate } from '../reading/format.ts';
import { draft, type Taken } from './draft.ts';
import { withBounds } from './figures.ts';
import { readingOf } from './steady.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.calibrate.takeReading;

interface Props {
  /** what the button says before anything is taken */
  readonly label: string;
  readonly taken: Taken | null;
  readonly set: (taken: Taken | null) => void;
}

/** One button that takes the steady reading, and what it took. */
export function TakeReading({ label, taken, set }: Props) {
  const { channel } = draft.value;
  const unit = channel === 'current' ? 'A' : 'V';
  const now = readingOf(channel);
  const ready = now !== null && !now.moving;
  return (
    <div class="form-end taken">
      <button
        type="button" class="button button-quiet" disabled={!ready}
        onClick={() => now !== null && set({ mean: now.mean, uncertainty: now.uncertainty, atMs: Date.now() })}
      >{taken === null ? label : words.readAgain}</button>
      {(taken === null || !ready) && <span class="taken-now">{now === null ? words.noReading : now.moving ? words.stillMoving : words.now(withBounds(now.mean, now.uncertainty, unit))}</span>}
      {taken !== null && (
        <>
          <span class="taken-value"><Glyph shape="good" size={16} />{withBounds(taken.mean, taken.uncertainty, unit)}, {formatDate(new Date(taken.atMs).toISOString())}</span>
          <button type="button" class="tool" onClick={() => set(null)}>{words.clear}</button>
        </>
      )}
    </div>
  );
}
