import type { ComparedMetric, CompareResult } from '../../src/core/analysis/compare/results.ts';
import { changeWords, judgementWords, methodWords } from '../../src/core/present/compare-words.ts';

/** Every compared figure with its change, the bounds of the change and whether that is larger than its uncertainty. */
export function ChangeTable({ result }: { result: CompareResult }) {
  if (result.pairs.length === 0) return null;
  const methods = [...new Set(result.pairs.map(({ method }) => methodWords(method)))];
  return (
    <section class="plate">
      <h2>What changed</h2>
      <div class="table-wrap" tabIndex={0} role="region" aria-label="Table of changes">
        <table class="figures">
          <thead><tr><th scope="col">Figure</th><th scope="col">Before</th><th scope="col">After</th><th scope="col">Change</th><th scope="col">95 % range</th><th scope="col">Judgement</th></tr></thead>
          <tbody>{result.pairs.map((pair) => <Row pair={pair} key={`${pair.direction} ${pair.metric}`} />)}</tbody>
        </table>
      </div>
      <p class="fine">95 % range: {methods.join('; ')}. Same: the change stays within its tolerance. Cannot tell: the uncertainty is larger than the change.</p>
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
      <td>{bounds === '' ? 'not known' : bounds}</td>
      <td>{judgementWords(pair.judgement)}</td>
    </tr>
  );
}
