import type { ComparedMetric, CompareResult } from '../../src/core/analysis/compare/results.ts';
import { changeWords, judgementWords, methodWords } from '../../src/core/present/wording/compare-words.ts';
import { FigureTable } from '../app/figure-table.tsx';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.compare.changeTable;

/** Every compared figure with its change, the bounds of the change and whether that is larger than its uncertainty. */
export function ChangeTable({ result }: { result: CompareResult }) {
  if (result.pairs.length === 0) return null;
  const methods = [...new Set(result.pairs.map(({ method }) => methodWords(method)))];
  return (
    <section class="plate">
      <h2>{texts.whatChanged}</h2>
      <FigureTable name={texts.tableOfChanges} heads={[texts.figure, texts.before, texts.after, texts.change, texts.range95, texts.judgement]}>
        <tbody>{result.pairs.map((pair) => <Row pair={pair} key={`${pair.direction} ${pair.metric}`} />)}</tbody>
      </FigureTable>
      <p class="fine">{texts.howToRead(methods.join('; '))}</p>
    </section>
  );
}

function Row({ pair }: { pair: ComparedMetric }) {
  const { words, before, after, change, bounds } = changeWords(pair);
  const moved = pair.judgement === 'higher' || pair.judgement === 'lower';
  return (
    <tr class={moved ? 'is-moved' : ''}>
      <th scope="row">{words}</th>
      <td>{before}</td>
      <td>{after}</td>
      <td>{change === '' ? '–' : change}</td>
      <td>{bounds === '' ? texts.notKnown : bounds}</td>
      <td>{judgementWords(pair.judgement)}</td>
    </tr>
  );
}
