import { describeMetric } from '../../src/core/analysis/compare/describe.ts';
import type { ManyResult } from '../../src/core/analysis/compare/many/result.ts';
import { metricWords } from '../../src/core/present/wording/compare-words.ts';
import { judgedTitle } from '../../src/core/present/wording/many-words.ts';
import { FigureTable } from '../app/figure-table.tsx';
import { language, significant } from '../../src/core/present/language.ts';

const texts = language.screens.compare.manyTable;

/** The figures of each trace by direction, the trace that stands out most first. */
export function ManyTable({ result }: { result: ManyResult }) {
  const metrics = [...new Set(result.traces.flatMap(({ figures }) => figures.map(({ metric }) => metric)))];
  const ways = [...new Set(result.traces.flatMap(({ figures }) => figures.map(({ direction }) => direction)))];
  return (
    <section class="plate">
      <h2>{texts.everyTrace}</h2>
      <FigureTable name={texts.tableOfTraces} heads={[texts.trace, texts.finding, texts.way, ...metrics.map((metric) => headOf(metric))]}>
        <tbody>
          {result.traces.flatMap((trace) =>
            (ways.length === 0 ? [null] : ways).map((way, row) => (
              <tr class={trace.outlier ? 'is-moved' : ''} key={`${trace.trace} ${way}`}>
                <th scope="row">{row === 0 ? trace.name : <span class="unseen">{trace.name}</span>}{row === 0 && trace.outlier && <span class="fine why">{trace.because}</span>}</th>
                <td>{row === 0 ? judgedTitle(trace) : ''}</td>
                <td>{way ?? ''}</td>
                {metrics.map((metric) => <td key={metric}>{figureOf(trace.figures.find((figure) => figure.metric === metric && figure.direction === way)?.value)}</td>)}
              </tr>
            )),
          )}
        </tbody>
      </FigureTable>
      <p class="fine">{texts.middleOfEachFigure}</p>
    </section>
  );
}

function headOf(metric: string): string {
  const { unit } = describeMetric(metric);
  const words = metricWords(metric);
  return unit === '' ? words : `${words}, ${unit}`;
}

function figureOf(value: number | undefined): string {
  return value === undefined ? '–' : significant(value, 3);
}
