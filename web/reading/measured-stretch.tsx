import { useSignal } from '@preact/signals';
import { useEffect } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';
import { stretchFigures } from '../../src/core/present/wording/stretch-words.ts';
import type { ChargeView } from '../../src/core/wire/api.ts';
import { Allowed } from '../app/allowed.tsx';
import { isAbort } from '../net/api.ts';
import { wordsOf } from '../state/stored.ts';
import { formatMoment } from './format.ts';
import type { AskStretch } from './measures.ts';

const texts = language.screens.reading.measuredStretch;

const words = language.pages.stretch;
/** A drag asks once it rests, ms. */
const REST_MS = 150;
/** From here on a moment is given in minutes, s. */
const IN_SECONDS_S = 19;

interface Props {
  readonly fromS: number;
  readonly toS: number;
  /** from where its moments are counted for people, s */
  readonly originS?: number;
  readonly ask: AskStretch;
  /** name it has where it is kept; null while it is not */
  readonly kept: string | null;
  /** keeps it, or gives a kept one another name; absent where that cannot be done here */
  readonly keep: ((label: string) => void) | null;
  readonly remove: (() => void) | null;
  /** said beside it */
  readonly note: string;
  readonly close: () => void;
}

/** What lies between two moments chosen on the chart, counted from every reading; with a name it is kept like a mark. */
export function MeasuredStretch({ fromS, toS, originS = 0, ask, kept, keep, remove, note, close }: Props) {
  const label = useSignal(kept ?? '');
  const span = Math.min(toS - fromS, IN_SECONDS_S);
  return (
    <section class="plate measured" aria-label={words.name}>
      <p class="measured-when">{kept !== null && <b>{kept || words.unnamed} </b>}{texts.range(formatMoment(fromS - originS, span), formatMoment(toS - originS, span))}</p>
      <Figures fromS={fromS} toS={toS} ask={ask} />
      <div class="measured-end">
        <Allowed to="change">{keep !== null && (
          <form
            class="mark-form"
            onSubmit={(event) => {
              event.preventDefault();
              keep(label.value.trim());
            }}
          >
            <label class="unseen" for="stretch-label">{words.label}</label>
            <input id="stretch-label" type="text" maxLength={60} autocomplete="off" placeholder={words.label} value={label} onInput={(event) => (label.value = event.currentTarget.value)} />
            <button type="submit" class="button button-quiet">{kept === null ? words.keep : words.rename}</button>
          </form>
        )}
        {remove !== null && <button type="button" class="button button-quiet" onClick={remove}>{words.remove}</button>}</Allowed>
        <button type="button" class="tool" onClick={close}>{words.close}</button>
      </div>
      {note !== '' && <p class="fine">{note}</p>}
    </section>
  );
}

function Figures({ fromS, toS, ask }: Pick<Props, 'fromS' | 'toS' | 'ask'>) {
  const answer = useSignal<ChargeView | null>(null);
  const missing = useSignal('');
  useEffect(() => {
    answer.value = null;
    missing.value = words.counting;
    if (toS <= fromS) return undefined;
    const stopper = new AbortController();
    const timer = setTimeout(() => {
      ask(fromS, toS, stopper.signal).then(
        (counted) => (answer.value = counted),
        (error: unknown) => {
          if (!isAbort(error)) missing.value = wordsOf(error);
        },
      );
    }, REST_MS);
    return () => {
      clearTimeout(timer);
      stopper.abort();
    };
  }, [fromS, toS, ask]);
  const counted = answer.value;
  return (
    <div role="status" class="measured-figures">
      {counted === null ? <p>{missing}</p> : <dl class="facts facts-row">{stretchFigures(counted).map(({ name, value }) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>}
    </div>
  );
}
