import type { AnalysisResult } from '../../core/analysis/results.ts';
import type { EndCause, TraceRecord } from '../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import type { ArmSettings, DamageView, RecordingView, TestSettings, ToPage } from '../../core/wire/messages.ts';
import { StartWatch } from './arming.ts';
import type { ClockReport } from '../../core/decode/logger.ts';
import { clockFacts, damageSince, noteRange } from './capture-record.ts';
import type { Clock } from '../clock.ts';
import { inOrder, shifted } from '../live/columns.ts';
import { messageOf } from '../errors.ts';
import type { LoggerInfo } from '../sources/source.ts';
import type { TraceWriter, CaptureEnd } from '../store/trace-writer.ts';
import type { Zero } from '../live/zero.ts';

/** Seconds before the start that a recording begun by hand holds too: the press that made somebody reach for the button. */
export const BEFORE_S = 5;
/** A piece of the seconds before that is worth a flush of its own. */
const FLUSH_ROWS = 16_384;
/** The size on the page is told anew about once a second. */
const SAY_AFTER_S = 1;

/** What went before: samples as measured, gaps and marks, in live time. */
export interface Before {
  readonly startS: number;
  readonly blocks: readonly SampleBlock[];
  readonly gaps: readonly Gap[];
  readonly marks: readonly Mark[];
}

/** What the hub knows at the moment a recording starts. */
export interface RecordingFacts {
  readonly spec: string;
  readonly nowS: number;
  readonly settings: TestSettings;
  readonly logger: LoggerInfo | null;
  readonly zero: Zero | null;
  readonly damage: DamageView;
  readonly clock: ClockReport | null;
  before(seconds: number): Before;
}

export interface Capture {
  readonly jobId: string;
  readonly traceId: string;
  readonly writer: TraceWriter;
}

export interface CaptureLimits {
  readonly stopAfterS: number | null;
  readonly stopAfterBytes: number | null;
  readonly onEnd: (end: CaptureEnd) => void;
}

export interface RecorderParts {
  readonly clock: Clock;
  /** makes the trace folder; `startS` is the live time that becomes trace time 0 */
  readonly create: (facts: RecordingFacts & { readonly logger: LoggerInfo }, startS: number, limits: CaptureLimits) => Promise<Capture>;
  readonly send: (message: ToPage) => void;
  /** called when a recording has begun, at the moment it ends, and when it is closed on disk */
  readonly onStart: () => void;
  readonly onEnding: (capture: Capture) => void;
  readonly onEnd: (capture: Capture, record: TraceRecord) => void;
}

interface Running {
  readonly capture: Capture;
  readonly startS: number;
  readonly title: string;
  readonly damage: DamageView;
  readonly stopWhenAsleep: boolean;
}

type StopSettings = Pick<ArmSettings, 'stopAfterS' | 'stopAfterBytes' | 'stopWhenAsleep'>;
const NEVER: StopSettings = { stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false };

/**
 * Records what the hub hands on into a trace, from some seconds before the start. A disk that fails ends the recording, never the
 * live view; what was written stays.
 */
export class Recorder {
  readonly #parts: RecorderParts;
  #facts: (() => RecordingFacts) | null = null;
  #running: Running | null = null;
  #starting = false;
  #armed: { readonly settings: ArmSettings; readonly watch: StartWatch } | null = null;
  /** what comes while the folder is being made */
  #backlog: (SampleBlock | Gap | Mark)[] = [];
  #ending: Promise<unknown> = Promise.resolve();
  #text = 'Not recording.';
  #saidAtS = 0;

  constructor(parts: RecorderParts) {
    this.#parts = parts;
  }

  attach(facts: () => RecordingFacts): void {
    this.#facts = facts;
  }

  get view(): RecordingView | null {
    if (this.#running === null) return null;
    const { capture, startS, title } = this.#running;
    const { samples, bytes } = capture.writer;
    return { jobId: capture.jobId, traceId: capture.traceId, title, startS, samples, bytes };
  }

  /** live time of trace time 0 of the running recording, null when none runs */
  get startS(): number | null {
    return this.#running?.startS ?? null;
  }

  /** whether a recording runs or is about to */
  get busy(): boolean {
    return this.#running !== null || this.#starting;
  }

  message(): ToPage {
    return { type: 'recording', recording: this.view, armed: this.#armed?.settings ?? null, text: this.#text };
  }

  /** Returns null when the recording runs, or a sentence why it cannot. */
  async start(beforeS = BEFORE_S, stop: StopSettings = NEVER): Promise<string | null> {
    if (this.busy || this.#facts === null) return 'A recording is running already.';
    const facts = this.#facts();
    const { logger } = facts;
    if (logger === null) return 'There is no logger to record from: connect one, or choose a virtual vehicle.';
    this.#starting = true;
    this.#armed = null;
    this.#backlog = [];
    const before = facts.before(beforeS);
    try {
      const capture = await this.#parts.create({ ...facts, logger }, before.startS, {
        stopAfterS: stop.stopAfterS,
        stopAfterBytes: stop.stopAfterBytes,
        onEnd: ({ cause, text }) => void this.stop(cause, text),
      });
      const running: Running = { capture, startS: before.startS, title: facts.settings.title, damage: facts.damage, stopWhenAsleep: stop.stopWhenAsleep };
      for (const piece of inOrder(before.blocks, before.gaps)) {
        this.#put(running, piece);
        // the seconds before can be more than the writer keeps waiting at once; what comes meanwhile is kept here
        if ('timeS' in piece && piece.timeS.length >= FLUSH_ROWS) await capture.writer.flush();
      }
      for (const mark of before.marks) this.#put(running, mark);
      this.#running = running;
      for (const piece of this.#backlog) this.#write(piece);
    } catch (error) {
      return `The recording cannot be started. ${messageOf(error)}`;
    } finally {
      this.#starting = false;
      this.#backlog = [];
    }
    this.#say('Recording.');
    this.#parts.onStart();
    const ended = this.#running.capture.writer.ended;
    if (ended !== null) void this.stop(ended.cause, ended.text);
    return null;
  }

  /** Ends the recording, if one runs, with all that came up to this call; resolves when it is closed on disk. */
  async stop(cause: EndCause, text = ENDED[cause]): Promise<string | null> {
    const running = this.#running;
    if (running === null) {
      await this.#ending;
      return cause === 'stopped' ? 'No recording is running.' : null;
    }
    this.#running = null;
    const { capture, damage } = running;
    if (this.#facts !== null) {
      const facts = this.#facts();
      capture.writer.record.damage = damageSince(damage, facts.damage);
      capture.writer.record.clock = clockFacts(facts.clock);
    }
    this.#parts.onEnding(capture);
    const ended = capture.writer.finish(cause, text);
    this.#ending = ended.catch(() => {});
    try {
      const record = await ended;
      this.#say(text);
      this.#parts.onEnd(capture, record);
    } catch (error) {
      this.#say(`The recording could not be closed cleanly. ${messageOf(error)} It is repaired when it is opened next.`);
    }
    return null;
  }

  /** Waits for the moment to start; null stops waiting. A recording that runs has to be stopped first. */
  arm(settings: ArmSettings | null): string | null {
    if (settings !== null && this.busy) return 'A recording is running: stop it before another one is armed.';
    this.#armed = settings === null ? null : { settings, watch: new StartWatch(settings.startOn) };
    this.#say(this.#armed?.watch.text ?? 'Not recording.');
    return null;
  }

  /** Ends a recording that was armed to end with sleep, once the analysis has seen the vehicle asleep. */
  result(result: AnalysisResult): void {
    if (this.#running?.stopWhenAsleep === true && result.test === 'drain' && result.asleep !== null) void this.stop('asleep');
  }

  samples(block: SampleBlock): void {
    if (this.#armed !== null && !this.busy) {
      const atS = this.#armed.watch.samples(block, this.#parts.clock.date());
      // the block itself is among the seconds before
      if (atS !== null) return this.#startArmed(block.timeS[block.timeS.length - 1]! - atS);
      // what is waited for can change: first that the current falls, then that it passes the level
      if (this.#armed.watch.text !== this.#text) this.#say(this.#armed.watch.text);
    }
    this.#take(block);
    const atS = block.timeS[block.timeS.length - 1]!;
    if (this.#running !== null && Math.abs(atS - this.#saidAtS) >= SAY_AFTER_S) {
      this.#saidAtS = atS;
      this.#say(this.#text);
    }
  }

  /** `atS` in live time: the last reading of the range before */
  range(before: LoggerInfo, now: LoggerInfo, atS: number): void {
    if (this.#running !== null) noteRange(this.#running.capture.writer.record, before, now, atS - this.#running.startS);
  }

  gap(gap: Gap): void {
    this.#armed?.watch.gap();
    this.#take(gap);
  }

  mark(mark: Mark): void {
    if (this.#armed !== null && !this.busy && this.#armed.watch.mark()) this.#startArmed(0);
    else this.#take(mark);
  }

  #startArmed(agoS: number): void {
    const { settings } = this.#armed!;
    void this.start(settings.beforeS + agoS, settings).then((refusal) => (refusal === null ? undefined : this.#say(refusal)));
  }

  #take(piece: SampleBlock | Gap | Mark): void {
    if (this.#running !== null) this.#write(piece);
    else if (this.#starting) this.#backlog.push(piece);
  }

  #write(piece: SampleBlock | Gap | Mark): void {
    if (this.#running !== null) this.#put(this.#running, piece);
  }

  #put({ capture, startS }: Running, piece: SampleBlock | Gap | Mark): void {
    if ('endS' in piece) capture.writer.gap({ startS: piece.startS - startS, endS: piece.endS - startS });
    else if ('kind' in piece) capture.writer.mark({ ...piece, timeS: piece.timeS - startS }).catch((error: unknown) => void this.stop('disk-error', messageOf(error)));
    else capture.writer.append(shifted(piece, startS));
  }

  #say(text: string): void {
    this.#text = text;
    this.#parts.send(this.message());
  }
}

const ENDED: Record<EndCause, string> = {
  stopped: 'Stopped. The trace is in the list.',
  duration: 'Stopped by itself: the time set was over.',
  size: 'Stopped by itself: the size set was reached.',
  asleep: 'Stopped by itself: the vehicle sleeps.',
  'source-ended': 'Stopped: the source ended.',
  'disk-full': 'Stopped: the disk is full. What was written is whole; make room, then record again.',
  'disk-error': 'Stopped: the data folder cannot be written. What was written is whole; check the disk.',
  'source-failed': 'Stopped: the source failed.',
  'lock-lost': 'Stopped: the data folder is no longer ours. What was written until then is kept.',
  shutdown: 'Stopped: the daemon was closed.',
  recovered: 'Closed after a crash.',
};
