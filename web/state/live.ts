import { computed, signal } from '@preact/signals';
import type { AnalysisResult } from '../../src/core/analysis/results.ts';
import type { Gap, Mark } from '../../src/core/trace.ts';
import type { ArmSettings, DamageView, RecordingView, TestSettings, ToPage } from '../../src/core/wire/messages.ts';
import { LiveBuffer } from '../chart/live-buffer.ts';
import type { LinkState } from '../net/link.ts';
import { type Freshness, RecordingClock, Watchdog } from './freshness.ts';

/**
 * Everything the daemon has sent this page, as signals. Only `live-messages.ts` writes here; screens read.
 */
export type Message<Type extends ToPage['type']> = Extract<ToPage, { type: Type }>;

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
export const progress = signal<Readonly<Record<string, { what: string; fraction: number }>>>({});
export const skippedFrames = signal(0);
export const unreadable = signal('');
/** rises with every frame that arrived; the samples themselves are in `liveBuffer` */
export const frameCount = signal(0);
export const liveBuffer = new LiveBuffer();
/** rises when the page joins a daemon: everything seen before may be of another one */
export const liveSession = signal(0);
/** live time from which readings are of this source and this test: what was before is not shown with them, s */
export const liveFromS = signal(0);

export const watchdog = new Watchdog(() => performance.now());
const recordingClock = new RecordingClock();
const NO_LINES: readonly string[] = [];
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

/** How far a running piece of work is, 0 to 1; null where it is not known: before it is said, once it is done, and while the daemon is silent. */
export function shareOf(what: 'analysis' | 'export' | 'import', jobId: string, traceId: string): number | null {
  const at = progress.value[`${jobId}/${traceId}`];
  return at?.what === what && at.fraction < 1 && freshness.value.state !== 'no-word' ? at.fraction : null;
}
