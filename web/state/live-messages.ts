import { batch } from '@preact/signals';
import type { TestSettings, ToPage } from '../../src/core/wire/messages.ts';
import type { SampleFrame } from '../../src/core/wire/sample-frame.ts';
import type { LinkState } from '../net/link.ts';
import { NightAlarm } from '../test/night/night-watch.ts';
import {
  armed, askJob, controls, damage, endedByItself, frameCount, freshness, gaps, hello, lastRecording, link, liveBuffer, liveFromS, liveSession, marks, notices, progress, reading, recording, recordingText, refused, result, settings, skippedFrames, source, status, stopAsked, watchdog, zero,
  type Message,
} from './live.ts';
import { flagged, forgetFlags } from './live-flags.ts';
import { noteRecording } from './own-recording.ts';

/** What the daemon sends, into the signals of `live.ts` and `live-flags.ts`. */

const nightAlarm = new NightAlarm();
const KEPT_GAPS = 500;
const KEPT_NOTICES = 20;
const listeners = { flag: new Set<() => void>(), recorded: new Set<() => void>(), stored: new Set<() => void>(), night: new Set<() => void>() };

/** Calls `heard` at every new flag (for the sound), when a parked vehicle wakes or settles above the limit, or when a recording has ended or something else has changed on the disk (for the lists). */
export function onLive(event: keyof typeof listeners, heard: () => void): () => void {
  listeners[event].add(heard);
  return () => listeners[event].delete(heard);
}

export function handleLink(state: LinkState | 'no-token', text: string): void {
  link.value = { state, text };
  if (state === 'open') watchdog.word();
  lookAtAge();
}

/** Called a few times a second: only the page itself can find out that nothing comes any more. */
export function lookAtAge(): void {
  const now = watchdog.look(link.peek().state === 'open');
  const before = freshness.peek();
  if (now.state !== before.state || now.ageS !== before.ageS) freshness.value = now;
}

export function handleFrame(frame: SampleFrame): void {
  if (frame.timeS.length > 0) watchdog.reading();
  liveBuffer.push(frame);
  if (flagged(frame)) for (const heard of listeners.flag) heard();
  frameCount.value++;
}

export function handleMessage(message: ToPage): void {
  watchdog.word();
  batch(() => apply(message));
}

function apply(message: ToPage): void {
  switch (message.type) {
    case 'hello':
      hello.value = message;
      controls.value = null;
      gaps.value = [];
      liveBuffer.clear();
      liveSession.value++;
      liveFromS.value = 0;
      forgetReading();
      break;
    case 'source':
      if (message.spec !== source.value?.spec) {
        result.value = null;
        notices.value = [];
        damage.value = null;
        forgetReading();
        beginAnew();
      }
      source.value = message;
      watchdog.periodS = message.logger?.rateHz == null ? 0 : 1 / message.logger.rateHz;
      break;
    case 'status':
      status.value = message;
      break;
    case 'damage':
      damage.value = message.counts;
      break;
    case 'reading':
      reading.value = message;
      watchdog.reading();
      lookAtAge();
      break;
    case 'gap':
      gaps.value = [...gaps.value.filter((gap) => gap.endS <= message.startS), { startS: message.startS, endS: message.endS }].slice(-KEPT_GAPS);
      break;
    case 'notice':
      notices.value = [...notices.value, { atS: message.atS, code: message.code, text: message.text }].slice(-KEPT_NOTICES);
      break;
    case 'test':
      takeSettings(message.settings);
      askJob.value = message.askJob === true;
      break;
    case 'controls':
      controls.value = message;
      break;
    case 'stored':
      for (const heard of listeners.stored) heard();
      break;
    case 'zero':
      zero.value = message;
      if (refused.value?.what === 'zero') refused.value = null;
      break;
    case 'recording':
      takeRecording(message);
      break;
    case 'mark':
      if (!marks.value.some((mark) => mark.timeS === message.mark.timeS && mark.label === message.mark.label && mark.kind === message.mark.kind)) {
        marks.value = [...marks.value, message.mark];
      }
      break;
    case 'marks':
      marks.value = message.marks;
      break;
    case 'result':
      // of what was before the recording, worked out while it began
      if (recording.value !== null && message.offsetS < recording.value.startS) break;
      // of the test before, worked out while another was chosen
      if (settings.value !== null && message.result.test !== settings.value.test) break;
      result.value = { offsetS: message.offsetS, result: message.result };
      if (message.result.test === 'drain' && nightAlarm.push(message.result, message.offsetS) !== null) for (const heard of listeners.night) heard();
      break;
    case 'skipped':
      // what was skipped is missing from the buffer: start it anew, older parts are asked for
      skippedFrames.value += message.frames;
      liveBuffer.clear();
      break;
    case 'progress':
      progress.value = { ...progress.value, [`${message.jobId}/${message.traceId}`]: { what: message.what, fraction: message.fraction } };
      break;
    case 'refused':
      refused.value = { what: message.what, text: message.text };
      break;
  }
}

/** Counts, lists and the scale of a chart end with the source or the test they are of. */
function beginAnew(): void {
  // a running recording stays whole on the screen
  if (recording.value !== null) return;
  if (!Number.isNaN(liveBuffer.endS)) liveFromS.value = liveBuffer.endS;
  liveBuffer.clear();
  liveSession.value++;
  lastRecording.value = null;
  forgetFlags();
}

function forgetReading(): void {
  reading.value = null;
  watchdog.forget();
}

/** What holds from now on. `goesOn`: what has been read so far is of the new test as well. */
export function takeSettings(next: TestSettings, goesOn = false): void {
  batch(() => {
    if (settings.value !== null && settings.value.test !== next.test) {
      result.value = null;
      if (!goesOn) beginAnew();
    }
    settings.value = next;
  });
}

function takeRecording(message: Message<'recording'>): void {
  const ended = recording.value !== null && message.recording?.traceId !== recording.value.traceId;
  if (ended) {
    lastRecording.value = recording.value;
    if (!stopAsked.value) endedByItself.value = message.text;
    stopAsked.value = false;
  }
  if (message.recording !== null) endedByItself.value = '';
  if (message.recording !== null && message.recording.traceId !== recording.value?.traceId) {
    noteRecording(message.recording.traceId);
    // a reading of the time before is none of the recording
    if (result.value !== null && result.value.offsetS < message.recording.startS) result.value = null;
  }
  recording.value = message.recording;
  armed.value = message.armed;
  recordingText.value = message.text;
  if (ended) for (const heard of listeners.recorded) heard();
}
