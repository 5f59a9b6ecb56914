import type { CompareResult } from '../../src/core/analysis/compare/results.ts';
import { verdictWords } from '../../src/core/present/wording/compare-words.ts';
import { Glyph } from '../app/glyph.tsx';
import { Problems } from '../reading/reading-card.tsx';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.compare.verdictCard;

/** What the two traces prove, why, and what to check next. */
export function VerdictCard({ result }: { result: CompareResult }) {
  const { finding, because, next } = result.verdict;
  const words = verdictWords(result.verdict);
  return (
    <section class={`plate card card-${words.tone}`} aria-label={texts.verdict}>
      <h2 class="card-finding" data-finding={finding}><Glyph shape={words.tone} size={26} />{words.title}</h2>
      <p class="card-sentence">{words.sentence}</p>
      {because.length > 0 && <><h3>{texts.because}</h3><ul class="card-because">{because.map((line) => <li key={line}>{line}</li>)}</ul></>}
      {next.length > 0 && <><h3>{texts.checkNext}</h3><ol class="card-next">{next.map((line) => <li key={line}>{line}</li>)}</ol></>}
      <Problems problems={result.problems} />
      <p class="fine">{texts.aReadingOfTwo}</p>
    </section>
  );
}
