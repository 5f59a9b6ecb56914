import { formatDuration, language } from '../../../src/core/present/language.ts';
import { formatClock } from '../../reading/format.ts';
import { freshness, hasReading, isDrain, isVirtual, mayWork, recordedS, recording, result } from '../../state/live.ts';
import { oldWords } from '../figures.tsx';
import { nightFacts, roughly } from './night-watch.ts';
import { startRecording } from '../record-plate.tsx';
import { SoundSwitch } from '../flags.tsx';
import { screenKept } from './stay-awake.ts';

const words = language.pages.night;

/** Across the whole screen when a key-off test is not being recorded: a night that nobody records is a night lost. */
export function NotRecordingBand() {
  if (!isDrain.value) return null;
  const running = recording.value !== null;
  if (running && freshness.value.state === 'fresh') return null;
  return (
    <section class="not-recording" role="alert" aria-label={words.notRecording}>
      <p class="not-recording-words">{running ? words.noReadings : words.notRecording}</p>
      {!running && mayWork.value && <button type="button" class="button" aria-disabled={!hasReading.value} onClick={startRecording}>{words.recordNow}</button>}
    </section>
  );
}

/** The screen of a key-off test in progress, legible from the bench: since when it records and sleeps, how often it woke, when to look again. */
export function NightPanel() {
  const running = recording.value;
  const latest = result.value;
  const drain = latest?.result.test === 'drain' ? latest.result : null;
  const nowS = running === null ? (latest?.offsetS ?? 0) + (drain?.trace.duration_s ?? 0) : running.startS + recordedS.value;
  const facts = nightFacts(drain, latest?.offsetS ?? 0, running?.startS ?? null, nowS);
  // the virtual night runs faster than the clock on the wall
  const clock = (agoS: number): string => (isVirtual.value ? '' : `, ${words.since(wallClock(-agoS))}`);
  return (
    <section class="plate night" aria-label={words.name}>
      <div class="night-head"><h2>{words.name}</h2><SoundSwitch title={words.sound} /></div>
      {(latest !== null || running !== null) && !hasReading.value && <p class="old-note" role="status">{oldWords()}</p>}
      <dl class={hasReading.value ? 'facts night-facts' : 'facts night-facts is-old'}>
        <div><dt>{words.recording}</dt><dd>{facts.recordingS === null ? <strong class="night-no">{words.no}</strong> : <><strong>{formatClock(facts.recordingS)}</strong>{clock(facts.recordingS)}</>}</dd></div>
        <div><dt>{words.asleep}</dt><dd>{facts.settledS !== null ? <><strong>{words.notYet}</strong>, {words.settled(formatDuration(roughly(facts.settledS)))}</> : facts.asleepS === null ? words.notYet : <><strong>{formatClock(facts.asleepS)}</strong>{clock(facts.asleepS)}</>}</dd></div>
        <div><dt>{words.woken}</dt><dd><strong>{words.times(facts.wakeups)}</strong>{facts.wakesS.length === 0 ? '' : `, ${wokenWhen(facts.wakesS, facts.recordingS)}`}</dd></div>
        <div><dt>{words.next}</dt><dd>{facts.nextS === null ? words.whenever : facts.nextS === 0 ? words.now : <><strong>{words.inAbout(formatDuration(roughly(facts.nextS)))}</strong>{isVirtual.value ? '' : `, ${words.at(wallClock(facts.nextS))}`}</>}</dd></div>
      </dl>
      <p class="fine">{screenKept.value ? words.awake : words.stayAwake}</p>
    </section>
  );
}

/** When it woke, newest first: by the clock on the wall; the virtual night by the recording's own. */
function wokenWhen(agosS: readonly number[], recordingS: number | null): string {
  if (!isVirtual.value) return words.wokenAt(agosS.map((agoS) => wallClock(-agoS)).join(', '));
  if (recordingS === null) return words.last(formatDuration(agosS[0]!));
  return words.wokenAfter(agosS.map((agoS) => formatClock(recordingS - agoS)).join(', '));
}

function wallClock(inS: number): string {
  // seconds count from the newest reading, however long ago that was
  const at = new Date(Date.now() + (inS - (freshness.value.ageS ?? 0)) * 1000);
  return `${String(at.getHours()).padStart(2, '0')}:${String(at.getMinutes()).padStart(2, '0')}`;
}
