import { formatClock } from '../../reading/format.ts';
import { PullTable } from '../../reading/drain-tables.tsx';
import { hasReading, marks, reading, result } from '../../state/live.ts';
import { oldWords } from '../figures.tsx';
import { offeredFuses } from '../marking.tsx';
import { nextFuse } from './next-fuse.ts';
import { waitingFor } from './waiting.ts';
import { formatCurrent, language } from '../../../src/core/present/language.ts';

const words = language.screens.test.drainGuide;

/** The guided night: what is being waited for, the live average, which fuse comes next, and the table that fills. */
export function DrainGuide() {
  const latest = result.value;
  const drain = latest?.result.test === 'drain' ? latest.result : null;
  const waiting = waitingFor(drain);
  const nowS = (reading.value?.atS ?? latest?.offsetS ?? 0) - (latest?.offsetS ?? reading.value?.atS ?? 0);
  const next = nextFuse(offeredFuses(), marks.value);
  return (
    <section class="plate guide" aria-label={words.drainGuide}>
      <div class="guide-clock">
        <h2>{waiting.title}</h2>
        <p class="clock">{formatClock(nowS - waiting.sinceS)}</p>
        {waiting.share !== null && <progress max={1} value={waiting.share} aria-label={words.shareOfTheWait} />}
        <p class="fine">{waiting.text}</p>
      </div>
      {latest !== null && !hasReading.value && <p class="old-note">{oldWords()}</p>}
      <dl class={hasReading.value ? 'facts' : 'facts is-old'}>
        <div><dt>{words.averageSoFar}</dt><dd>{drain === null ? '–' : formatCurrent(drain.average_a)}</dd></div>
        <div><dt>{words.next}</dt><dd>{nextWords(drain !== null && drain.asleep !== null, next, offeredFuses().length > 0)}</dd></div>
      </dl>
      {drain !== null && <PullTable result={drain} />}
    </section>
  );
}

function nextWords(asleep: boolean, next: { label: string; pull: boolean } | null, listed: boolean): string {
  if (!asleep) return words.leaveItAloneUntil;
  if (!listed) return words.listTheFusesAt;
  if (next === null) return words.everyListedFuseWasPulled;
  return next.pull ? words.pullAndMarkIt(next.label) : words.putBackWaitUntil(next.label);
}
