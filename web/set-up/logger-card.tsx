import { useRef } from 'preact/hooks';
import { formatDuration, language } from '../../src/core/present/language.ts';
import { Allowed } from '../app/allowed.tsx';
import { Glyph } from '../app/glyph.tsx';
import { losingText } from '../../src/core/decode/loss-watch.ts';
import { freshness, hasReading, hello, oddLines, source, status } from '../state/live.ts';
import { ColumnForm } from '../test/column-form.tsx';
import { oddAdvice } from '../test/odd-lines.tsx';
import { oldWords } from '../test/figures.tsx';
import { fieldsOf, isNumber, serialSpec } from '../test/line-columns.ts';
import { sourceWords } from '../test/notices.tsx';
import { printable } from '../test/printable.ts';
import { lineSilenceS, loggerFacts, percentOf } from './logger-facts.ts';

const words = language.pages.logger;
/** More damaged lines than this and something is wrong with the wire; one line in a thousand is a touch of the plug. Common practice, no published source. */
const DAMAGED_MUCH = 0.01;

/** How the port is and what to do, what the logger says of itself, what is seen of it, its lines as they come with damaged ones marked, and how they are read. */
export function LoggerCard() {
  const now = source.value;
  const logger = now?.logger ?? null;
  const spec = serialSpec(now);
  const heard = status.value?.heard ?? [];
  // what mends it is unfolded while nothing can be read, and stays so
  const opened = useRef(false);
  if (now?.state === 'connecting' && status.value !== null && heard.length === 0) opened.current = true;
  if (now === null || (spec === null && (logger === null || logger.kind === 'virtual' || logger.kind === 'replay'))) return null;
  const silenceS = lineSilenceS();
  const readable = heard.filter(({ damaged }) => !damaged).map(({ text }) => text);
  // where none of them is a reading, they are what columns are chosen from
  const fields = logger?.kind === 'numbers' && readable.length > 0 ? fieldsOf(readable) : fieldsOf(oddLines.value);
  return (
    <section class="plate logger-card" id="lines-of-the-logger" aria-label={words.name}>
      <h2>{words.name}</h2>
      <Troubles />
      <dl class={hasReading.value ? 'facts' : 'facts is-old'}>{loggerFacts(logger).map(({ name, value }) => <div key={name}><dt>{name}</dt><dd>{value}</dd></div>)}</dl>
      <h3>{words.lines}</h3>
      {heard.length > 0 && silenceS !== null && <p class="fine">{words.lastCame(formatDuration(silenceS))}</p>}
      {heard.length === 0 ? <p class="fine">{words.noneYet}</p> : (
        <ol tabIndex={0} class={silenceS !== null || freshness.value.state === 'no-word' ? 'heard is-old' : 'heard'} aria-label={words.lines}>
          {heard.map(({ text, damaged }, i) => (
            <li class={damaged ? 'is-damaged' : ''} key={`${i} ${text}`}>{damaged && <b><Glyph shape="fault" size={14} />{words.damaged} </b>}<code>{printable(text)}</code></li>
          ))}
        </ol>
      )}
      {spec !== null && logger?.kind !== 'logger' && hello.value?.local !== false && (
        <details class="problems" open={opened.current}>
          <summary>{words.how}</summary>
          <p class="fine">{fields.some(isNumber) ? words.howText : words.howSpeed}</p>
          <Allowed to="work"><ColumnForm spec={spec} fields={fields} key={`${spec} ${fields.length}`} /></Allowed>
        </details>
      )}
    </section>
  );
}

/** What is not as it should be on the port, each with what to do. */
function Troubles() {
  const now = source.value;
  // of a daemon that is silent nothing of this is known
  const said = freshness.value.state === 'no-word' ? [language.pages.old['no-word'].notice] : troubles();
  return (
    <div role="status" aria-live="polite">
      {said.length === 0 && now !== null ? <p class="logger-state"><Glyph shape="good" size={18} />{now.text}</p> : said.map((text) => <p class="logger-state logger-trouble" key={text}><Glyph shape="fault" size={18} /><span>{text}</span></p>)}
    </div>
  );
}

function troubles(): string[] {
  const now = source.value;
  const share = status.value?.share;
  const said: string[] = [];
  const odd = oddLines.value.length > 0;
  if (now !== null && now.state !== 'live' && !odd) said.push(sourceWords(now.state, now.text));
  else if (!hasReading.value && !odd) said.push(oldWords());
  const overload = status.value?.overload;
  if (overload !== undefined) said.push(`${words.losing} ${losingText(overload)}`);
  if (odd) said.push(`${language.pages.lines.title}. ${oddAdvice(oddLines.value, fieldsOf(oddLines.value))}`);
  else if (share !== undefined && now?.state === 'live' && share.damagedPart > DAMAGED_MUCH) said.push(words.damagedMuch(percentOf(share.damagedPart)));
  return said;
}
