import type { Signal } from '@preact/signals';
import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Allowed } from '../app/allowed.tsx';
import { language } from '../../src/core/present/language.ts';
import { formatMoment } from '../reading/format.ts';
import { Glyph } from '../app/glyph.tsx';
import { send } from '../state/actions.ts';
import { hasReading, isDrain, isVirtual, marks, mayChange, originS, source } from '../state/live.ts';
import { fuseLabels } from '../state/preferences.ts';
import { isPulled, workFuse } from './virtual-vehicle.tsx';

const words = language.screens.test.marking;

/** A held moment is shown to a tenth of a second, as in a view of so many seconds. */
const HELD_SPAN_S = 10;
/** Words a hand on a mechanism wants to put on a moment. */
const MOTOR_LABELS = ['noise', 'slow', words.stoppedByHand, 'obstacle'];

/** Fuses offered: those of the virtual vehicle, else those typed in at Set up. */
export function offeredFuses(): readonly string[] {
  const virtual = source.value?.logger?.controls?.fuses ?? [];
  return virtual.length > 0 ? virtual : fuseLabels.value;
}

/**
 * Mark a moment: space and the big button mark now, always; words and chips mark the moment that is held on the chart, where one is, and say so.
 */
export function Marking({ primary, held }: { primary?: { name: string; act: () => void } | null; held: Signal<number | null> }) {
  const label = useSignal('');
  const made = marks.value.filter((mark) => mark.kind !== 'stretch');
  const count = made.length;
  const mark = (text: string): void => {
    send({ type: 'mark', kind: 'note', label: text.trim() === '' ? String(count + 1) : text.trim() });
    label.value = '';
  };
  const markHeld = (text: string): void => {
    const atS = held.peek();
    if (atS === null) mark(text);
    else if (send({ type: 'mark', kind: 'note', label: text.trim() === '' ? String(count + 1) : text.trim(), atS })) label.value = '';
  };
  const heldS = held.value;
  const main = primary ?? { name: words.mark, act: () => mark(label.peek()) };
  useSpaceKey(main.act);
  // the virtual vehicle has its fuses beside this, and pulling one there marks it
  const chips = !isDrain.value ? MOTOR_LABELS : isVirtual.value ? [] : offeredFuses();
  return (
    <section class="plate marking" aria-label={words.marks}><Allowed to="change">
      <button id="mark-button" type="button" class="button" aria-disabled={!hasReading.value} onClick={() => hasReading.value && main.act()}>
        <Glyph shape="note" />{main.name} <kbd>{words.space}</kbd>
      </button>
      <form
        class="mark-form"
        onSubmit={(event) => {
          event.preventDefault();
          markHeld(label.value);
        }}
      >
        <label class="unseen" for="mark-label">{words.wordsForTheMark}</label>
        <input id="mark-label" type="text" maxLength={60} placeholder={words.wordsForAMark} value={label} onInput={(event) => (label.value = event.currentTarget.value)} autocomplete="off" />
        <button type="submit" class="button button-quiet">{heldS === null ? language.pages.marks.now : language.pages.marks.atMoment(formatMoment(heldS - originS.value, HELD_SPAN_S))}</button>
      </form>
      {chips.length > 0 && <div class="chips" role="group" aria-label={isDrain.value ? words.fusesPulledOrPutBack : words.marksWithWords}>
        {chips.map((text) =>
          isDrain.value ? (
            <button type="button" class="chip" key={text} aria-pressed={isPulled(text)} onClick={() => workFuse(text, !isPulled(text))}>{isPulled(text) ? words.putBack(text) : words.pulled(text)}</button>
          ) : (
            <button type="button" class="chip" key={text} onClick={() => markHeld(text)}>{text}</button>
          ),
        )}
      </div>}
      <p class="unseen" role="status">{count === 0 ? '' : words.marked(made[count - 1]!.label)}</p>
    </Allowed></section>
  );
}

/** Space marks wherever the hand is, except where a space is typed or presses something. */
function useSpaceKey(act: () => void): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      if (event.key !== ' ' || event.repeat || event.ctrlKey || event.altKey || event.metaKey || event.defaultPrevented) return;
      const at = event.target instanceof HTMLElement ? event.target : null;
      if (at?.closest('input, textarea, select, button, a, summary, dialog') != null) return;
      event.preventDefault();
      if (hasReading.peek() && mayChange.peek()) act();
    };
    addEventListener('keydown', onKey);
    return () => removeEventListener('keydown', onKey);
  });
}
