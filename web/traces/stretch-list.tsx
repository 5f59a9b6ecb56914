import { language } from '../../src/core/present/language.ts';
import { stretchesCsv, stretchFigures, stretchKey } from '../../src/core/present/wording/stretch-words.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { saveBlob } from '../net/download.ts';
import { formatMoment } from '../reading/format.ts';
import type { OpenedTrace } from './opened-trace.ts';

const texts = language.screens.traces.stretchList;

const words = language.pages.stretch;
/** A moment is given in seconds, as of a short view, s. */
const SHORT_S = 19;

/** The measured stretches that are kept with a trace, with their figures. */
export function StretchList({ trace, state }: { trace: OpenedTrace; state: ChartState }) {
  const known = trace.measures.known.value;
  const stretches = trace.marks.value.flatMap((mark) => (mark.endS === undefined ? [] : [{ mark, endS: mark.endS, view: known.get(stretchKey(mark)) ?? null }]));
  if (stretches.length === 0) return null;
  const save = (): void => {
    const measured = stretches.flatMap(({ mark, view }) => (view === null ? [] : [{ mark, view }]));
    saveBlob(new Blob([stretchesCsv(measured)], { type: 'text/csv' }), `${trace.ref.traceId}-stretches.csv`);
  };
  return (
    <section class="plate" aria-label={words.kept}>
      <h2>{words.kept} <span class="count">{stretches.length}</span></h2>
      <ul class="stretch-list">
        {stretches.map(({ mark, endS, view }) => (
          <li key={stretchKey(mark)}>
            <button
              type="button" class="link"
              onClick={() => {
                const span = endS - mark.timeS;
                state.show(mark.timeS - 0.5 * span, endS + 0.5 * span);
                state.selection.value = { fromS: mark.timeS, toS: endS };
              }}
            >{mark.label || words.unnamed}</button>
            <span class="fine">{texts.range(formatMoment(mark.timeS, SHORT_S), formatMoment(endS, SHORT_S))}</span>
            {view !== null && <dl class="facts facts-row">{stretchFigures(view).map(({ name, value }) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>}
          </li>
        ))}
      </ul>
      <div class="form-end"><button type="button" class="button button-quiet" onClick={save}>{words.save}</button></div>
    </section>
  );
}
