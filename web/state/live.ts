import { batch, computed, effect, signal } from '@preact/signals';
import type { AnalysisResult } from '../../src/core/analysis/results.ts';
import type { Gap, Mark } from '../../src/core/trace.ts';
import type { ArmSettings, DamageView, RecordingView, TestSettings, ToPage } from '../../src/core/wire/messages.ts';
import type { SampleFrame } from '../../src/core/wire/sample-frame.ts';
import { LiveBuffer } from '../chart/live-buffer.ts';
import type { LinkState } from '../net/link.ts';
import { FlagWatch, joinedFlags, type LiveFlag } from '../test/flag-watch.ts';
import { NightAlarm } from '../test/night/night-watch.ts';
import { noteRecording } from './own-recording.ts';
import { type Freshness, RecordingClock, Watchdog } from './freshness.ts';

/**
 * Everything the daemon has sent this page, as signals. Only `handleMessage`, `handleFrame`, `handleLink` and `takeSettings` write here; screens read.
 */
type Message<Type extends ToPage['type']> = Extract<ToPage, { type: Type }>;

export const link = signal<{ state: LinkState | 'no-token'; text: string }>({ state: 'connecting', text: '' });
export const status = signal<Message<'status'> | null>(null);
export const hello = signal<Message<'hello'> | null>(null);
export const source = signal<Message<'source'> | null>(null);
export const damage = signal<DamageView | null>(null);
export const reading = signal<Message<'reading'> | null>(null);
export const settings = signal<TestSettings | null>(null);
/** the job is of before a restart of the daemon, and nobody has said that it is still the one */
export const askJob = signal(false);
/** who works the logger; null until the daemon has said, and on a page that may only look */
export const controls = signal<Message<'controls'> | null>(null);
export const zero = signal<Message<'zero'> | null>(null);
export const recording = signal<RecordingView | null>(null);
/** the recording that ended last while this page was open */
export const lastRecording = signal<RecordingView | null>(null);
/** why the recording ended when nobody on this page ended it; empty when all is as wished */
export const endedByItself = signal('');
/** set before this page asks for the end of a recording */
export const stopAsked = signal(false);
export const armed = signal<ArmSettings | null>(null);
export const recordingText = signal('');
export const marks = signal<readonly Mark[]>([]);
export const gaps = signal<readonly Gap[]>([]);
export const result = signal<{ offsetS: number; result: AnalysisResult } | null>(null);
export const notices = signal<readonly { atS: number; code: string; text: string }[]>([]);
export const refused = signal<{ what: string; text: string } | null>(null);
/** how far a long piece of work on a stored trace is, by `JOB/TRACE` */
const progress = signal<Readonly<Record<string, { what: string; fraction: number }>>>({});
export const skippedFrames = signal(0);
export const unreadable = signal('');
/** rises with every frame that arrived; the samples themselves are in `liveBuffer` */
export const frameCount = signal(0);
/** flags seen by this page since its limit was set */
export const flagCount = signal(0);
export const liveBuffer = new LiveBuffer();
/** rises when the page joins a daemon: everything seen before may be of another one */
export const liveSession = signal(0);
/** live time from which readings are of this source and this test: what was before is not shown with them, s */
export const liveFromS = signal(0);
export let flagWatch = new FlagWatch(Infinity);

const nightAlarm = new NightAlarm();
const watchdog = new Watchdog(() => performance.now());
const recordingClock = new RecordingClock();
/** how old what the page shows is, by the page's own clock */
export const freshness = signal<Freshness>({ state: 'no-word', ageS: null });

/** There is a reading, and it is of now. */
export const hasReading = computed(() => link.value.state === 'open' && source.value?.state === 'live' && reading.value !== null && freshness.value.state === 'fresh');
/** Lines that arrive while none of them is a reading; of a daemon that is silent nobody knows. */
export const oddLines = computed<readonly string[]>(() => (freshness.value.state === 'no-word' ? NO_LINES : (status.value?.lines ?? NO_LINES)));
/** how long the running recording has run by its newest reading, s */
export const recordedS = computed(() => {
  const running = recording.value;
  return running === null ? 0 : recordingClock.elapsedS(running.traceId, running.startS, reading.value?.atS ?? null);
});
/**
 * Live time from which moments are counted where people read them: the beginning of the recording, else of what the reading card is of. So a moment
 * has the same name on the chart, on the card and in the trace that is kept, s
 */
export const originS = computed(() => recording.value?.startS ?? result.value?.offsetS ?? 0);
/** The key of this page lets it change things. */
export const mayChange = computed(() => hello.value?.access !== 'view');
/** This page works the logger, or may take that over by doing something. */
export const mayWork = computed(() => mayChange.value && (controls.value === null || controls.value.mine || controls.value.holder === null));
export const isVirtual = computed(() => source.value?.logger?.kind === 'virtual');
/** The readings are made up, whatever the source: the virtual vehicle, or a replay of what it wrote. */
export const simulated = computed(() => isVirtual.value || status.value?.simulated === true);
export const isDrain = computed(() => settings.value?.test === 'drain');

/** what the sensor can measure, A; null when the logger did not tell it */
export const sensorRangeA = computed<readonly [number, number] | null>(() => {
  const range: readonly (number | null)[] | null = source.value?.logger?.currentRangeA ?? null;
  const [low, high] = range ?? [];
  // an unknown bound is infinite in the daemon, which JSON carries as null
  return typeof low === 'number' && typeof high === 'number' && low < high ? [low, high] : null;
});

/** the limit whose passing is flagged, A; null when none was typed in */
export const flagLimitA = computed(() => (settings.value?.test === 'actuation' ? (settings.value.actuation.flagLimitA ?? null) : null));

/** How far a running piece of work is, 0 to 1; null where it is not known: before it is said, once it is done, and while the daemon is silent. */
export function shareOf(what: 'analysis' | 'export' | 'import', jobId: string, traceId: string): number | null {
  const at = progress.value[`${jobId}/${traceId}`];
  return at?.what === what && at.fraction < 1 && freshness.value.state !== 'no-word' ? at.fraction : null;
}

/** Stretches past the limit: those of the running analysis and those this page has seen, oldest first. */
export function flagsNow(): readonly LiveFlag[] {
  const latest = result.value;
  const found = latest?.result.test === 'actuation' ? latest.result.flags.filter((flag) => flag.limit_a === flagLimitA.value) : [];
  return joinedFlags(found, latest?.offsetS ?? 0, flagWatch.flags);
}

/** how long a reading stays past it before it is flagged, s */
const flagHoldS = computed(() => (settings.value?.test === 'actuation' ? (settings.value.actuation.flagHoldS ?? 0) : 0));

const NO_LINES: readonly string[] = [];
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
  if (flagWatch.push(frame)) {
    flagCount.value++;
    for (const heard of listeners.flag) heard();
  }
  frameCount.value++;
}

export function handleMessage(message: ToPage): void {
  watchdog.word();
  batch(() => take(message));
}

function take(message: ToPage): void {
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
  flagWatch = new FlagWatch(flagLimitA.value ?? Infinity, flagHoldS.value);
  flagCount.value = 0;
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

// a new limit begins a new list
effect(() => {
  flagWatch = new FlagWatch(flagLimitA.value ?? Infinity, flagHoldS.value);
  flagCount.value = 0;
});

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
