import type { AnalysisResult } from '../../src/core/analysis/results.ts';
import type { Problem } from '../../src/core/problems.ts';
import { Glyph } from '../app/glyph.tsx';
import { provingFigures, withoutScale } from '../../src/core/present/wording/figures.ts';
import { UncertaintyParts } from './uncertainty-parts.tsx';
import { language } from '../../src/core/present/language.ts';
import { liveWords, resultWords } from '../../src/core/present/wording/finding-words.ts';

const texts = language.screens.reading.readingCard;

const BECAUSE_SHOWN = 3;
const MOTOR_BECAUSE_SHOWN = 5;

/** Finding, the two or three figures that prove it, and what to check next. `waiting` is said while there is nothing to read yet; `old` says how old the newest reading is, where it is not of now. */
export function ReadingCard({ result, waiting, live = false, old = '' }: { result: AnalysisResult | null; waiting: string; live?: boolean; old?: string }) {
  // while the test runs, its end is not an oddity
  const problems = (result?.problems ?? []).filter((problem) => !live || problem.code !== 'ends-midway');
  const nothing = result === null || (result.test === 'actuation' && result.actuations.length === 0 && result.verdict.finding === 'unclear');
  if (nothing) {
    return (
      <section class="plate card card-open" aria-label={texts.reading}>
        <h2 class="card-finding"><Glyph shape="open" size={26} />{texts.noFindingYet}</h2>
        <p class="card-sentence">{waiting}</p>
        <Problems problems={problems} />
      </section>
    );
  }
  const { finding, because, next } = result.verdict;
  const words = live && old === '' ? liveWords(result) : resultWords(result);
  const figures = provingFigures(result);
  return (
    <section class={`plate card card-${words.tone}`} aria-label={texts.reading}>
      <h2 class="card-finding" data-finding={finding}><Glyph shape={words.tone} size={26} />{words.title}</h2>
      <p class="card-sentence">{words.sentence}</p>
      {old !== '' && <p class="old-note">{old}</p>}
      <dl class="card-figures">
        {figures.map((figure) => (
          <div key={figure.label}>
            <dt>{figure.label}</dt>
            <dd><strong>{figure.value}</strong>{figure.beside !== '' && figure.parts?.beside !== true && <span>{figure.beside}</span>}{figure.parts !== undefined && <UncertaintyParts of={figure.label} from={figure.parts} figure={figure.value} bounds={figure.parts.beside === true ? figure.beside : ''} />}</dd>
          </div>
        ))}
      </dl>
      {because.length > 0 && words.waits !== true && <><h3>{texts.because}</h3>{result.test === 'actuation' ? <Because lines={because} shown={MOTOR_BECAUSE_SHOWN} first /> : <Because lines={because} shown={BECAUSE_SHOWN} />}</>}
      {next.length > 0 && <><h3>{texts.checkNext}</h3><ol class="card-next">{next.map((line) => <li key={line}>{line}</li>)}</ol></>}
      <Problems problems={problems} />
      <p class="fine">{withoutScale(figures) ? language.press.boundsAsRead : language.press.boundsHold}</p>
    </section>
  );
}

/**
 * The lines that are read at once, the others one touch away. In a drain test the newest say most; in a motor test the first carry the
 * finding, and figures for a closer look follow.
 */
function Because({ lines, shown, first = false }: { lines: readonly string[]; shown: number; first?: boolean }) {
  const item = (line: string) => <li key={line}>{line}</li>;
  const [read, others] = first ? [lines.slice(0, shown), lines.slice(shown)] : [lines.slice(-shown), lines.slice(0, -shown)];
  return (
    <>
      <ul class="card-because">{read.map(item)}</ul>
      {others.length > 0 && <details class="problems"><summary>{texts.moreLikeThis(others.length)}</summary><ul>{others.map(item)}</ul></details>}
    </>
  );
}

export function Problems({ problems }: { problems: readonly Problem[] }) {
  if (problems.length === 0) return null;
  return (
    <details class="problems">
      <summary>{problems.length === 1 ? texts.oneRemark : texts.remarksOnTheRecording(problems.length)}</summary>
      <ul>{problems.map((problem) => <li key={problem.code + problem.text}>{problem.text}</li>)}</ul>
    </details>
  );
}
