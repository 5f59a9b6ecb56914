import { language } from '../../src/core/present/language.ts';
import type { JobNext } from '../../src/core/wire/api.ts';
import { Glyph } from '../app/glyph.tsx';
import { answer, caseError, working } from './case-state.ts';

const words = language.screens.job.leftCard;

export type CauseView = JobNext['causes'][number];
const SHAPES: Readonly<Record<CauseView['state'], string>> = { open: 'open', 'less-likely': 'wider', 'ruled-out': 'gap' };

/** The causes still open, with the evidence for and against each; those ruled out stay to be read. Once the repair is proven, what is known of it is all of one sound mechanism, and no list of causes. */
export function LeftCard() {
  const now = answer.value;
  return (
    <section class="plate left" aria-label={words.whatIsLeft} aria-busy={working.value || answer.value === null}>
      <h2>{words.whatIsLeft}</h2>
      {caseError.value !== '' && <p class="error" role="alert">{caseError.value}</p>}
      {now === null ? <p class="fine" role="status">{caseError.value === '' ? words.readingTheTracesOf : ''}</p> : <Left now={now} />}
    </section>
  );
}

function Left({ now }: { now: JobNext }) {
  return (
    <>
      {now.proof !== null && <p class={`left-proof left-proof-${now.proof.state}`}><Glyph shape={isProven(now) ? 'good' : now.proof.state === 'still-open' ? 'fault' : 'open'} size={22} /><span>{now.proof.text}</span></p>}
      {now.contradiction !== null && (
        <div class="notice notice-fault"><Glyph shape="fault" size={20} /><div><p><b>{words.theseTwoContradictEachOther}</b> {words.verifyTheEasierOneAgain}</p><ul class="card-because">{now.contradiction.map((line) => <li key={line}>{line}</li>)}</ul></div></div>
      )}
      {!isProven(now) && <Causes causes={now.causes} />}
      {[...now.problems.map(({ text }) => text), ...now.unread.map(({ name, why }) => words.isLeftOut(name, why))].map((line) => <p class="fine" key={line}>{line}</p>)}
      {!isProven(now) && <p class="fine">{words.ruledOutOrWeighed}</p>}
    </>
  );
}

function Causes({ causes }: { causes: JobNext['causes'] }) {
  const open = causes.filter(({ state }) => state === 'open');
  const others = causes.filter(({ state }) => state !== 'open');
  const none = causes.every(({ because }) => because[0] === language.reason.nothingYet);
  return (
    <>
      {none && <p class="fine">{words.onlyTheComplaintIs}</p>}
      <ol class="causes">{open.map((one) => <CauseRow one={one} open={!none} key={one.cause} />)}</ol>
      {others.length > 0 && <ol class="causes causes-less">{others.map((one) => <CauseRow one={one} open={false} key={one.cause} />)}</ol>}
    </>
  );
}

const GOOD_PROOFS: ReadonlySet<string> = new Set(['confirmed', 'works', 'works-otherwise']);

/** Whether the traces after the repair prove it: then nothing is left to do. */
export function isProven(now: JobNext | null): boolean {
  return now?.proof != null && GOOD_PROOFS.has(now.proof.state);
}

function CauseRow({ one, open }: { one: CauseView; open: boolean }) {
  return (
    <li class={`cause cause-${one.state}`} data-cause={one.cause}>
      <details open={open}>
        <summary><Glyph shape={SHAPES[one.state]} /><span class="cause-name">{language.reason.causes[one.cause]}</span><span class="cause-state">{language.reason.states[one.state]}</span></summary>
        <ul class="card-because">{one.because.map((line, at) => <li key={line} title={one.sources[at] ?? ''}>{line}</li>)}</ul>
      </details>
    </li>
  );
}
