import type { EndCause, TraceRecord } from '../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../core/trace.ts';
import type { ArmSettings, DamageView, RecordingView, TestSettings, ToPage } from '../core/wire/messages.ts';
import { inOrder, shifted } from './columns.ts';
import { messageOf } from './errors.ts';
import type { LoggerInfo } from './sources/source.ts';
import type { Zero } from './zero.ts';

/** Seconds before the start that a recording begun by hand holds too: the press that made somebody reach for the button. */
export const BEFORE_S = 5;

/** What the hub knows at the moment a recording starts. */
export interface RecordingFacts {
  readonly spec: string;
  readonly settings: TestSettings;
  readonly logger: LoggerInfo | null;
  readonly zero: Zero | null;
  readonly damage: DamageView;
  before(seconds: number): { readonly startS: number; readonly block: SampleBlock; readonly gaps: readonly Gap[]; readonly marks: readonly Mark[] };
}

/** A trace being written. Calls are taken at once and written in order; what fails later comes by `onFault`. */
export interface CaptureFile {
  readonly jobId: string;
  readonly traceId: string;
  readonly samples: number;
  readonly bytes: number;
  append(block: SampleBlock): void;
  gap(gap: Gap): void;
  mark(mark: Mark): void;
  damage(counts: DamageView): void;
  finish(cause: EndCause): Promise<TraceRecord>;
}

export interface RecorderParts {
  /** `startS` is the live time that becomes trace time 0; `onFault` reports a disk that is full or gone */
  readonly create: (facts: RecordingFacts, startS: number, onFault: (cause: 'disk-full' | 'disk-error', text: string) => void) => Promise<CaptureFile>;
  readonly send: (message: ToPage) => void;
  /** called when a recording has begun, and with its record when it has ended */
  readonly onStart: () => void;
  readonly onEnd: (record: TraceRecord, cause: EndCause) => void;
}

interface Running {
  readonly file: CaptureFile;
  readonly startS: number;
  readonly title: string;
}

/**
 * Records what the hub hands on into a trace, from some seconds before the start. A disk that fails ends the recording, never the
 * live view; what was written stays.
 */
export class Recorder {
  readonly #parts: RecorderParts;
  #facts: (() => RecordingFacts) | null = null;
  #running: Running | null = null;
  #starting = false;
  /** what comes while the folder is being made */
  #backlog: (SampleBlock | Gap | Mark)[] = [];
  #ending: Promise<unknown> = Promise.resolve();
  #text = 'Not recording.';
  #sentAtSamples = 0;

  constructor(parts: RecorderParts) {
    this.#parts = parts;
  }

  attach(facts: () => RecordingFacts): void {
    this.#facts = facts;
  }

  get view(): RecordingView | null {
    if (this.#running === null) return null;
    const { file, startS, title } = this.#running;
    return { jobId: file.jobId, traceId: file.traceId, title, startS, samples: file.samples, bytes: file.bytes };
  }

  /** whether a recording runs or is about to */
  get busy(): boolean {
    return this.#running !== null || this.#starting;
  }

  message(): ToPage {
    return { type: 'recording', recording: this.view, armed: null, text: this.#text };
  }

  /** Returns null when the recording runs, or a sentence why it cannot. */
  async start(beforeS = BEFORE_S): Promise<string | null> {
    if (this.busy || this.#facts === null) return 'A recording is running already.';
    const facts = this.#facts();
    if (facts.logger === null) return 'There is no logger to record from: connect one, or choose a virtual vehicle.';
    this.#starting = true;
    this.#backlog = [];
    const { startS, block, gaps, marks } = facts.before(beforeS);
    try {
      const file = await this.#parts.create(facts, startS, (cause, text) => void this.stop(cause, text));
      this.#running = { file, startS, title: facts.settings.title };
      for (const piece of inOrder(block, gaps)) this.#write(piece);
      for (const mark of marks) this.#write(mark);
      for (const piece of this.#backlog) this.#write(piece);
    } catch (error) {
      return `The recording cannot be started: ${messageOf(error)}`;
    } finally {
      this.#starting = false;
      this.#backlog = [];
    }
    this.#say('Recording.');
    this.#parts.onStart();
    return null;
  }

  /** Ends the recording, if one runs, with all that came up to this call; resolves when it is closed on disk. */
  async stop(cause: EndCause, text?: string): Promise<string | null> {
    const running = this.#running;
    if (running === null) {
      await this.#ending;
      return cause === 'stopped' ? 'No recording is running.' : null;
    }
    this.#running = null;
    const ended = running.file.finish(cause);
    this.#ending = ended.catch(() => {});
    try {
      const record = await ended;
      this.#say(text ?? ENDED[cause]);
      this.#parts.onEnd(record, cause);
      return null;
    } catch (error) {
      this.#say(`The recording could not be closed cleanly: ${messageOf(error)} It is repaired when it is opened next.`);
      return null;
    }
  }

  arm(_settings: ArmSettings | null): string | null {
    return 'not yet';
  }

  samples(block: SampleBlock): void {
    this.#take(block);
    const samples = this.#running?.file.samples ?? 0;
    // size and length on the page move about once a second
    if (samples - this.#sentAtSamples > 1000) this.#say(this.#text);
  }

  gap(gap: Gap): void {
    this.#take(gap);
  }

  mark(mark: Mark): void {
    this.#take(mark);
  }

  damage(counts: DamageView): void {
    this.#running?.file.damage(counts);
  }

  #take(piece: SampleBlock | Gap | Mark): void {
    if (this.#running !== null) this.#write(piece);
    else if (this.#starting) this.#backlog.push(piece);
  }

  #write(piece: SampleBlock | Gap | Mark): void {
    if (this.#running === null) return;
    const { file, startS } = this.#running;
    if ('endS' in piece) file.gap({ startS: piece.startS - startS, endS: piece.endS - startS });
    else if ('kind' in piece) file.mark({ ...piece, timeS: piece.timeS - startS });
    else file.append(shifted(piece, startS));
  }

  #say(text: string): void {
    this.#text = text;
    this.#sentAtSamples = this.#running?.file.samples ?? 0;
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
  shutdown: 'Stopped: the daemon was closed.',
  recovered: 'Closed after a crash.',
};
