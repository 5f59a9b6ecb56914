import { useSignal, type Signal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { Glyph } from '../app/glyph.tsx';
import { isAbort } from '../net/api.ts';
import { wordsOf } from '../state/stored.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.compare.asked;

interface Asked<Answer> {
  readonly answer: Signal<Answer | null>;
  readonly error: Signal<string>;
  readonly working: Signal<AbortController | null>;
}

/** Asks the daemon again whenever `about` changes (empty: nothing to ask), gives up what was asked before, and lets a person give up. */
export function useAsked<Answer>(about: string, ask: (signal: AbortSignal) => Promise<Answer>): Asked<Answer> {
  const answer = useSignal<Answer | null>(null);
  const error = useSignal('');
  const working = useSignal<AbortController | null>(null);
  useEffect(() => {
    answer.value = null;
    error.value = '';
    if (about === '') return undefined;
    const stopper = new AbortController();
    working.value = stopper;
    ask(stopper.signal)
      .then((found) => (answer.value = found))
      .catch((failure: unknown) => {
        if (!isAbort(failure)) error.value = wordsOf(failure);
        else if (working.peek() === stopper) error.value = words.cancelledChangeTheChoice;
      })
      .finally(() => {
        if (working.peek() === stopper) working.value = null;
      });
    return () => {
      working.value = null;
      stopper.abort();
    };
  }, [about]);
  return { answer, error, working };
}

/** What is to be said instead of an answer; null when there is one. */
export function askedState({ answer, error, working }: Asked<unknown>, doing: string, trouble: string, nothing: string): preact.JSX.Element | null {
  const said = trouble || error.value;
  if (said !== '') return <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} /><span>{said}</span></p>;
  if (working.value !== null) {
    return (
      <section class="plate working" role="status">
        <p>{doing}</p><progress aria-label={doing} />
        <button type="button" class="tool" onClick={() => working.value?.abort()}>{words.cancel}</button>
      </section>
    );
  }
  return answer.value === null ? <p class="fine">{nothing}</p> : null;
}
