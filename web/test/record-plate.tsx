import { useSignal } from '@preact/signals';
import { isOwn, startAsked } from '../state/own-recording.ts';
import { Glyph } from '../app/glyph.tsx';
import { hrefOf } from '../app/route.ts';
import { formatBytes, formatClock } from '../reading/format.ts';
import { jobName } from '../app/status-strip.tsx';
import { changeSettings, send } from '../state/actions.ts';
import { language } from '../../src/core/present/language.ts';
import { armed, freshness, hasReading, lastRecording, mayWork, recordedS, recording, recordingText, settings, stopAsked } from '../state/live.ts';

const words = language.screens.test.recordPlate;

/** Starts a recording now, where there is something to record. */
export function startRecording(): boolean {
  if (!hasReading.peek() || !mayWork.peek() || !send({ type: 'record', do: 'start' })) return false;
  startAsked();
  return true;
}

/** How long the question stays before the button means its first tap again, ms. */
const SECOND_TAP_MS = 5000;

/** A recording that another page has started is not stopped by one tap. */
function StopButton({ traceId }: { traceId: string }) {
  const warned = useSignal(false);
  const stop = (): void => {
    if (isOwn(traceId) || warned.value) stopAsked.value = send({ type: 'record', do: 'stop' });
    else {
      warned.value = true;
      setTimeout(() => (warned.value = false), SECOND_TAP_MS);
    }
  };
  return <button type="button" class="button button-stop" onClick={stop}><Glyph shape="stop" />{warned.value ? language.pages.strip.stopAnothers : words.stop}</button>;
}

/** The name of the next recording, for that one alone: the daemon empties it when the recording begins. */
function TitleField() {
  const now = settings.value;
  if (now === null) return null;
  return (
    <label class="record-title">
      <span class="unseen">{language.pages.strip.title}</span>
      <input type="text" maxLength={200} autocomplete="off" placeholder={words.nameBeforeLeftSide} value={now.title} onChange={(event) => changeSettings({ title: event.currentTarget.value.trim() })} />
      <span class="fine">{language.pages.strip.into(now.jobId === null ? language.pages.strip.noJobShort : jobName(now.jobId))}</span>
    </label>
  );
}

/** Record and stop, with what has been kept so far. */
export function RecordPlate() {
  const running = recording.value;
  const ready = hasReading.value;
  const last = lastRecording.value;
  const elapsedS = recordedS.value;
  const fresh = freshness.value.state;
  return (
    <section class={`plate record ${running === null ? '' : fresh === 'fresh' ? 'is-recording' : 'is-blind'}`} aria-label={words.recording}>
      {running === null ? (
        <button
          key="record" type="button" class="button button-record" aria-disabled={!ready} aria-describedby="record-state"
          onClick={(event) => {
            if (!startRecording()) return;
            // the next press of space is a mark, never the end of the recording
            if (event.detail === 0) document.getElementById('mark-button')?.focus();
          }}
        >
          <Glyph shape="record" />{words.record}
        </button>
      ) : (
        <StopButton traceId={running.traceId} key="stop" />
      )}
      {running === null && <TitleField />}
      <div class="record-state" id="record-state">
        {running !== null ? (
          <><span class="record-clock">{formatClock(elapsedS)}</span><span>{words.saved(formatBytes(running.bytes))}</span></>
        ) : !ready ? <span>{words.noLiveReadingYet}</span>
        : armed.value !== null ? <span>{words.armedWaitingForItsStart}</span>
        : last !== null ? <a href={hrefOf('trace', last.jobId, last.traceId)}>{words.openTheRecording}</a>
        : <span role="status">{recordingText.value === '' ? words.ready : recordingText.value}</span>}
      </div>
      {running !== null && fresh !== 'fresh' ? <p class="record-text record-blind"><Glyph shape="fault" />{language.pages.old[fresh].recording}</p>
      : recordingText.value !== '' && (running !== null || last !== null || armed.value !== null) && <p class="record-text" role="status">{recordingText.value}</p>}
    </section>
  );
}
