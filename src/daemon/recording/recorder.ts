import type { AnalysisResult } from '../../core/analysis/results.ts';
import type { EndCause } from '../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import type { ArmSettings, RecordingView, ToPage } from '../../core/wire/messages.ts';
import { messageOf } from '../errors.ts';
import type { LoggerInfo } from '../sources/source.ts';
import { StoreError } from '../store/files/store-error.ts';
import type { CaptureEnd } from '../store/samples/writing/capture-end.ts';
import { StartWatch } from './arming.ts';
import { Running } from './running.ts';
import type { Recorded, RangeChange, RecorderParts, RecordingFacts, StopSettings } from './types.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.recorder;

/** Seconds before the start that a recording begun by hand holds too: the press that made somebody reach for the button. */
const BEFORE_S = 5;
/** The size on the page is sent again about once a second. */
const SAY_AFTER_S = 1;
const NEVER: StopSettings = { stopAfterS: null, stopAfterBytes: null, stopWhenAsleep: false };

/**
 * idle → starting → running → idle, with armed beside idle. A start while another recording is being closed waits for that. A stop while starting is a wish that is met as soon as
 * the trace is open: what came up to the wish is in it. Nothing else changes the state.
 */
type State =
  | { readonly is: 'idle' }
  | { readonly is: 'armed'; readonly settings: ArmSettings; readonly watch: StartWatch }
  | { readonly is: 'starting'; readonly backlog: Recorded[]; wish: CaptureEnd | null; readonly done: Promise<unknown> }
  | { readonly is: 'running'; readonly run: Running };

const IDLE: State = { is: 'idle' };

/**
 * Records what it is handed into a trace, from some seconds before the start. The daemon and the recording without a browser use the same one. A disk that fails ends the recording, never the live
 * view; what was written stays.
 */
export class Recorder {
  readonly #parts: RecorderParts;
  #facts: (() => RecordingFacts) | null = null;
  #state: State = IDLE;
  /** until the trace of the last recording is closed on disk */
  #closing: Promise<void> = Promise.resolve();
  #text = words.notRecording;
  #saidAtS = 0;

  constructor(parts: RecorderParts) {
    this.#parts = parts;
  }

  attach(facts: () => RecordingFacts): void {
    this.#facts = facts;
  }

  get view(): RecordingView | null {
    return this.#state.is === 'running' ? this.#state.run.view : null;
  }

  /** live time of trace time 0 of the running recording, null when none runs */
  get startS(): number | null {
    return this.#state.is === 'running' ? this.#state.run.startS : null;
  }

  /** whether a recording runs or is about to */
  get busy(): boolean {
    return this.#state.is === 'running' || this.#state.is === 'starting';
  }

  get isArmed(): boolean {
    return this.#state.is === 'armed';
  }

  message(): ToPage {
    return { type: 'recording', recording: this.view, armed: this.#state.is === 'armed' ? this.#state.settings : null, text: this.#text };
  }

  /** Returns null when the recording runs (or was stopped again meanwhile), or a sentence why it cannot. */
  async start(beforeS = BEFORE_S, stop: StopSettings = NEVER): Promise<string | null> {
    if (this.busy || this.#facts === null) return words.aRecordingIsRunningAlready;
    const facts = this.#facts();
    const refusal = whyNot(facts);
    if (refusal !== null) return refusal;
    const backlog: Recorded[] = [];
    let settle: () => void = () => undefined;
    const starting: State = { is: 'starting', backlog, wish: null, done: new Promise<void>((resolve) => (settle = resolve)) };
    this.#state = starting;
    try {
      const run = await this.#open(facts, beforeS, stop);
      for (const piece of backlog) run.put(piece);
      this.#state = { is: 'running', run };
      const end = starting.wish ?? run.capture.writer.ended;
      this.#parts.onStart();
      if (end === null) this.#say(words.recording);
      else await this.stop(end.cause, end.text);
      return null;
    } catch (error) {
      this.#state = IDLE;
      return words.theRecordingCannotBeStarted(messageOf(error));
    } finally {
      settle();
    }
  }

  /** Ends the recording, if one runs or is about to, with all that came up to this call; resolves when it is closed on disk. */
  async stop(cause: EndCause, text = ENDED[cause]): Promise<string | null> {
    const state = this.#state;
    switch (state.is) {
      case 'starting':
        state.wish ??= { cause, text };
        await state.done;
        return null;
      case 'running': {
        this.#closing = this.#close(state.run, { cause, text });
        this.#state = IDLE;
        await this.#closing;
        return null;
      }
      default:
        await this.#closing;
        return cause === 'stopped' ? words.noRecordingIsRunning : null;
    }
  }

  /** Waits for the moment to start; null stops waiting. A recording that runs has to be stopped first. */
  arm(settings: ArmSettings | null): string | null {
    if (this.busy) return settings === null ? null : words.aRecordingIsRunning;
    this.#state = settings === null ? IDLE : { is: 'armed', settings, watch: new StartWatch(settings.startOn) };
    this.#say(this.#state.is === 'armed' ? this.#state.watch.text : words.notRecording);
    return null;
  }

  /** Ends a recording that was armed to end with sleep, once the analysis has seen the vehicle asleep. */
  result(result: AnalysisResult): void {
    if (this.#state.is === 'running' && this.#state.run.stopWhenAsleep && result.test === 'drain' && result.asleep !== null) void this.stop('asleep');
  }

  samples(block: SampleBlock): void {
    const state = this.#state;
    const lastS = block.timeS[block.timeS.length - 1]!;
    if (state.is === 'armed') {
      const atS = state.watch.samples(block, this.#parts.clock.date());
      // the block itself is among the seconds before
      if (atS !== null) return this.#startArmed(state.settings, lastS - atS);
      // what is waited for can change: first that the current falls, then that it passes the level
      if (state.watch.text !== this.#text) this.#say(state.watch.text);
      return;
    }
    this.#record(block);
    // the reading itself may have ended it
    if (this.#state.is !== 'running' || Math.abs(lastS - this.#saidAtS) < SAY_AFTER_S) return;
    this.#saidAtS = lastS;
    this.#say(this.#text);
  }

  range(change: RangeChange): void {
    this.#record(change);
  }

  gap(gap: Gap): void {
    if (this.#state.is === 'armed') this.#state.watch.gap();
    this.#record(gap);
  }

  mark(mark: Mark): void {
    if (this.#state.is === 'armed' && this.#state.watch.mark()) this.#startArmed(this.#state.settings, 0);
    else this.#record(mark);
  }

  async #open(facts: RecordingFacts & { readonly logger: LoggerInfo | null }, beforeS: number, stop: StopSettings): Promise<Running> {
    const before = facts.before(beforeS);
    await this.#closing;
    const calibrations = (await facts.calibrations?.()) ?? [];
    const onEnd = ({ cause, text }: CaptureEnd): void => void this.stop(cause, text);
    const capture = await this.#parts.create({ ...facts, logger: facts.logger!, calibrations }, before.startS, { stopAfterS: stop.stopAfterS, stopAfterBytes: stop.stopAfterBytes, onEnd });
    const run = new Running(capture, before.startS, facts, stop.stopWhenAsleep, (error) => this.#markFault(error, before.startS));
    await run.putBefore(before);
    return run;
  }

  async #close(run: Running, end: CaptureEnd): Promise<void> {
    this.#parts.onEnding(run.capture);
    try {
      const record = await run.finish(this.#facts!(), end.cause, end.text);
      this.#say(end.text);
      this.#parts.onEnd(end, record);
    } catch (error) {
      const text = words.theRecordingCouldNot(messageOf(error));
      this.#say(text);
      this.#parts.onEnd({ cause: end.cause, text }, null);
    }
  }

  #startArmed(settings: ArmSettings, agoS: number): void {
    void this.start(settings.beforeS + agoS, settings).then((refusal) => {
      if (refusal === null) return;
      this.#say(refusal);
      this.#parts.onRefused?.(refusal);
    });
  }

  /** One mark too many is said and costs no sample; a disk that does not take one takes no samples either. */
  #markFault(error: unknown, atS: number): void {
    if (error instanceof StoreError && error.code === 'too-large') this.#parts.send({ type: 'notice', atS, code: 'mark', text: error.message });
    else void this.stop('disk-error', messageOf(error));
  }

  #record(item: Recorded): void {
    if (this.#state.is === 'running') this.#state.run.put(item);
    else if (this.#state.is === 'starting' && this.#state.wish === null) this.#state.backlog.push(item);
  }

  #say(text: string): void {
    this.#text = text;
    this.#parts.send(this.message());
  }
}

/** A recording needs something to record: an empty one would look like a test that was made. */
function whyNot({ logger, state }: RecordingFacts): string | null {
  if (logger === null) return words.thereIsNoLogger;
  if (state === 'ended') return words.theSourceHasEnded;
  if (state === 'lost' || state === 'failed') return words.theLoggerIsNot;
  return null;
}

const ENDED: Record<EndCause, string> = {
  stopped: words.stoppedTheTraceIs,
  duration: words.stoppedByItselfThe,
  size: words.stoppedByItselfTheSize,
  asleep: words.stoppedByItselfTheVehicle,
  'source-ended': words.stoppedTheSourceEnded,
  'source-failed': words.stoppedTheSourceFailed,
  'disk-full': words.stoppedTheDiskIs,
  'disk-error': words.stoppedTheDataFolder,
  'lock-lost': words.stoppedTheDataFolderIs,
  shutdown: words.stoppedTheDaemonWasClosed,
  recovered: words.closedAfterACrash,
};
