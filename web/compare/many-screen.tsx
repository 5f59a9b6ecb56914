import { useEffect } from 'preact/hooks';
import type { TraceView } from '../../src/core/wire/api.ts';
import type { ManyAnswer } from '../../src/core/wire/prove.ts';
import { manyWords } from '../../src/core/present/wording/many-words.ts';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { Problems } from '../reading/reading-card.tsx';
import { jobs } from '../state/stored.ts';
import { askedState, useAsked } from './asked.tsx';
import { findTrace, groupTrouble, likelyGroup, manyKeys, MOST_SIDE_BY_SIDE, proving, refOf } from './choice.ts';
import { compareMany } from './compare-api.ts';
import { ManyTable } from './many-table.tsx';
import { Multiples } from './multiples.tsx';
import { TraceChecks } from './trace-checks.tsx';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.compare.manyScreen;

/** Both sides, both directions, every actuation beside its like; what stands out comes first. */
export function ManyScreen({ traces }: { traces: readonly TraceView[] }) {
  useEffect(() => {
    if (manyKeys.peek() === null) manyKeys.value = likelyGroup(traces);
  }, [traces]);
  const chosen = (manyKeys.value ?? []).filter((key) => findTrace(traces, key) !== undefined);
  const trouble = groupTrouble(chosen.map((key) => findTrace(traces, key)!));
  const ready = chosen.length > 0 && trouble === '';
  const asked = useAsked(ready ? chosen.join(' ') : '', (signal) => compareMany(chosen.map(refOf), signal));
  const state = askedState(asked, texts.settingSideBySide, trouble, texts.chooseTheTracesTo);
  const answer = asked.answer.value;
  return (
    <div class="compared">
      <div class="compared-side">
        {state === null && answer !== null && <Verdict answer={answer} />}
        {state}
        <section class="plate form">
          <h2>{texts.whichTraces}<span class="count">{texts.ofAtMost(chosen.length, MOST_SIDE_BY_SIDE)}</span></h2>
          <TraceChecks name={texts.tracesToSetSide} traces={traces} jobs={jobs.value ?? []} chosen={chosen} set={(keys) => (manyKeys.value = keys)} />
        </section>
      </div>
      <div class="compared-main">
        {state === null && answer !== null && (
          <>
            <Multiples answer={answer} />
            <ManyTable result={answer.result} />
          </>
        )}
      </div>
    </div>
  );
}

function Verdict({ answer: { result } }: { answer: ManyAnswer }) {
  const { finding, because, next } = result.verdict;
  const words = manyWords(finding);
  return (
    <section class={`plate card card-${words.tone}`} aria-label={texts.verdict}>
      <h2 class="card-finding" data-finding={finding}><Glyph shape={words.tone} size={26} />{words.title}</h2>
      <p class="card-sentence">{words.sentence}</p>
      <h3>{texts.because}</h3>
      <ul class="card-because">{because.map((line) => <li key={line}>{line}</li>)}</ul>
      <h3>{texts.checkNext}</h3>
      <ol class="card-next">{next.map((line) => <li key={line}>{line}</li>)}</ol>
      <Problems problems={result.problems} />
      <a class="button" href={hrefOf('prove')} onClick={() => (proving.value = 'many')}>{texts.makeThePageForThese}</a>
    </section>
  );
}
