import type { Gap, Mark, MarkKind, SampleBlock } from '../../core/trace.ts';
import { WIRE_PROTOCOL, type FromPage, type TestSettings, type ToPage } from '../../core/wire/messages.ts';
import type { ChargeView } from '../../core/wire/api.ts';
import type { SampleFrame } from '../../core/wire/sample-frame.ts';
import type { Clock } from '../clock.ts';
import { messageOf } from '../errors.ts';
import { Feed } from './feed.ts';
import { finiteRange, loggerView } from './logger-view.ts';
import type { LiveAnalysisRunner } from './analysis.ts';
import { liveCharge } from './charge.ts';
import { LiveFrames } from './frames.ts';
import { liveWindow } from './window.ts';
import type { Before, Recorder } from '../recording/recorder.ts';
import { SampleRing } from './ring.ts';
import type { DamageCounts, LoggerNotice, Source } from '../sources/source.ts';
import type { TraceWindow } from '../store/trace-reader.ts';
import { takeZero, ZERO_WINDOW_S, type Zero } from './zero.ts';

/** Newest gaps and marks kept for pages that are opened later; older ones are in the recordings. */
const KEPT_GAPS = 500;
const KEPT_MARKS = 1000;
/** A tap between two blocks of a slow logger is placed where the clock says, but not further than this past the newest sample. */
const MAX_AHEAD_S = 2;

export interface HubParts {
  readonly openSource: (spec: string) => Source;
  readonly recorder: Recorder;
  readonly analysis: LiveAnalysisRunner;
  readonly clock: Clock;
  readonly hello: Omit<Extract<ToPage, { type: 'hello' }>, 'type' | 'protocol'>;
  readonly send: (message: ToPage, droppable?: boolean) => void;
  readonly sendFrame: (bytes: Uint8Array) => void;
  /** a window of the running recording in its own time, as far as it is on the disk; null when it cannot be read */
  readonly recordedWindow: (fromS: number, toS: number, columns: number) => Promise<TraceWindow | null>;
  readonly recordedCharge: (fromS: number, toS: number) => Promise<ChargeView>;
}

/** Less than a tenth of a sample period at any rate, more than the spacing of float64 after a year. */
const JUST_AFTER_S = 1e-8;

const FIRST_SETTINGS: TestSettings = { test: 'actuation', actuation: {}, drain: {}, jobId: null, title: '' };

/**
 * Where everything live meets: samples from the source go to the ring, the recorder, the live analysis and, as frames, to the pages;
 * commands of the pages go the other way. Holds what is true at this moment, so that a page opened later sees the same.
 */
export class Hub {
  readonly feed: Feed;
  readonly #parts: HubParts;
  readonly #ring = new SampleRing();
  readonly #frames: LiveFrames;
  #settings: TestSettings = FIRST_SETTINGS;
  #zero: Zero | null = null;
  #gaps: Gap[] = [];
  #marks: Mark[] = [];
  /** live time since when readings belong to one set-up: one source, one zero */
  #setUpFromS = 0;
  #newestAtMs = 0;
  #choosing = false;

  constructor(parts: HubParts) {
    this.#parts = parts;
    this.#frames = new LiveFrames(parts.clock, parts.sendFrame, (reading) => parts.send(reading, true));
    this.feed = new Feed(parts.openSource, {
      samples: (block) => this.#samples(block),
      gap: (gap) => this.#gap(gap),
      notice: (notice) => this.#notice(notice),
      damage: (counts) => this.#damage(counts),
      range: (before, now) => parts.recorder.range(before, now, this.feed.lastS),
      source: () => this.#source(),
      replaced: () => this.#replaced(),
    });
    parts.recorder.attach(() => ({
      spec: this.feed.spec,
      nowS: this.nowS,
      settings: this.#settings,
      logger: this.feed.logger,
      zero: this.#zero,
      damage: this.feed.damage,
      clock: this.feed.clock,
      before: (seconds) => this.#before(seconds),
    }));
  }

  /** live time now: that of the newest sample, and the time since it came */
  get nowS(): number {
    return this.feed.lastS + Math.min(MAX_AHEAD_S, Math.max(0, (this.#parts.clock.nowMs() - this.#newestAtMs) / 1000));
  }

  get settings(): TestSettings {
    return this.#settings;
  }

  async start(spec: string): Promise<void> {
    this.#newestAtMs = this.#parts.clock.nowMs();
    await this.feed.use(spec);
    this.#restartAnalysis();
  }

  /** Ends the source, then the recording with everything that came before. */
  async stop(): Promise<void> {
    await this.feed.stop();
    this.#frames.stop();
    await this.#parts.recorder.stop('shutdown');
    await this.#parts.analysis.close();
  }

  /** What a page needs to know at its start. */
  snapshot(): ToPage[] {
    const { recorder, analysis, hello } = this.#parts;
    const messages: ToPage[] = [
      { type: 'hello', protocol: WIRE_PROTOCOL, ...hello },
      this.#sourceMessage(),
      { type: 'damage', counts: this.feed.damage },
      { type: 'test', settings: this.#settings },
      this.#zeroMessage(),
      recorder.message(),
      { type: 'marks', marks: this.#marks },
      ...this.#gaps.map((gap): ToPage => ({ type: 'gap', ...gap })),
    ];
    if (analysis.latest !== null) messages.push(analysis.latest);
    return messages;
  }

  /** `[fromS, toS)` of live time for a chart of so many columns. */
  window(fromS: number, toS: number, columns: number): Promise<SampleFrame> {
    return liveWindow({ ring: this.#ring, gaps: this.#gaps, recordedFromS: this.#parts.recorder.startS, recordedWindow: this.#parts.recordedWindow }, fromS, toS, columns);
  }

  /** Charge between two moments of live time. */
  charge(fromS: number, toS: number): Promise<ChargeView> {
    return liveCharge({ ring: this.#ring, gaps: this.#gaps, recordedFromS: this.#parts.recorder.startS, recordedCharge: this.#parts.recordedCharge }, fromS, toS);
  }

  /** Does what a page asks; the answer is null, or a sentence why not. */
  message(message: Exclude<FromPage, { type: 'join' }>): Promise<string | null> | string | null {
    switch (message.type) {
      case 'test':
        return this.#test(message.settings);
      case 'record':
        return message.do === 'start' ? this.#parts.recorder.start() : this.#parts.recorder.stop('stopped');
      case 'arm':
        return this.#parts.recorder.arm(message.arm);
      case 'mark':
        return this.mark(message.kind, message.label);
      case 'zero':
        return this.#setZero(message.do);
      case 'source': {
        if (message.do === 'choose') return this.#choose(message.spec);
        const answer = this.feed.control(message);
        return answer.ok ? null : answer.text;
      }
    }
  }

  mark(kind: MarkKind, label: string, atS = this.nowS): null {
    const mark: Mark = { timeS: atS, kind, label };
    this.#marks.push(mark);
    if (this.#marks.length > KEPT_MARKS) this.#marks.shift();
    this.#parts.recorder.mark(mark);
    this.#parts.analysis.mark(mark);
    this.#parts.send({ type: 'mark', mark });
    return null;
  }

  /** a recording has begun, by hand or armed: the analysis now looks at it alone */
  recordingStarted(): void {
    this.#restartAnalysis();
  }

  /** what went before a recording that starts now: samples as measured, gaps and marks since `fromS`, of this set-up alone */
  #before(seconds: number): Before {
    const fromS = Math.max(this.feed.lastS - seconds, this.#setUpFromS);
    const blocks = this.#ring.rawBlocks(fromS, Infinity);
    const startS = blocks[0]?.timeS[0] ?? this.nowS;
    return {
      startS,
      blocks,
      gaps: this.#gaps.filter((gap) => gap.startS >= startS),
      marks: this.#marks.filter((mark) => mark.timeS >= startS),
    };
  }

  #samples(block: SampleBlock): void {
    this.#newestAtMs = this.#parts.clock.nowMs();
    this.#ring.push(block);
    this.#parts.recorder.samples(block);
    this.#parts.analysis.samples(block);
    this.#frames.push(block);
  }

  #gap(gap: Gap): void {
    this.#gaps.push(gap);
    if (this.#gaps.length > KEPT_GAPS) this.#gaps.shift();
    this.#parts.recorder.gap(gap);
    this.#parts.analysis.gap(gap);
    this.#parts.send({ type: 'gap', ...gap });
  }

  #notice(notice: LoggerNotice): void {
    this.#parts.send({ type: 'notice', ...notice });
    // the button on the logger is a mark made with the hand that holds the fuse
    if (notice.code === 'mark') this.mark(this.#settings.test === 'drain' ? 'pull' : 'note', notice.text, notice.atS);
  }

  #damage(counts: DamageCounts): void {
    this.#parts.send({ type: 'damage', counts });
  }

  #source(): void {
    const { state, text } = this.feed.state;
    const range = this.#currentRange();
    this.#frames.rangeA = range === null ? null : [range[0] - this.feed.zeroA, range[1] - this.feed.zeroA];
    this.#parts.send(this.#sourceMessage());
    if ((state === 'ended' || state === 'failed') && this.#parts.recorder.busy) {
      void this.#parts.recorder.stop('source-ended', text);
    }
  }

  #replaced(): void {
    this.#ring.clear();
    this.#frames.flush();
    this.#setUpFromS = this.feed.lastS + JUST_AFTER_S;
    this.#zero = null;
    this.feed.zeroA = 0;
    this.#parts.send(this.#zeroMessage());
    this.#restartAnalysis();
  }

  #test(settings: TestSettings): null {
    this.#settings = settings;
    this.#parts.send({ type: 'test', settings });
    this.#restartAnalysis();
    return null;
  }

  #setZero(what: 'take' | 'clear'): string | null {
    if (this.#parts.recorder.busy) return 'A recording is running: stop it before the zero is changed, or its readings would jump.';
    if (what === 'take') {
      if (this.feed.state.state !== 'live') return 'The logger is not sending: connect it, then take the zero.';
      const range = this.#currentRange();
      const fullScaleA = range === null ? null : Math.max(Math.abs(range[0]), Math.abs(range[1]));
      const fromS = Math.max(this.feed.lastS - ZERO_WINDOW_S, this.#setUpFromS);
      const zero = takeZero(this.#ring.rawSlice(fromS, Infinity), this.#zero, fullScaleA, this.#parts.clock.date());
      if (typeof zero === 'string') return zero;
      this.#zero = zero;
    } else {
      this.#zero = null;
    }
    this.feed.zeroA = this.#zero?.zeroA ?? 0;
    this.#setUpFromS = this.feed.lastS + JUST_AFTER_S;
    this.#source();
    this.#parts.send(this.#zeroMessage());
    this.#restartAnalysis();
    return null;
  }

  async #choose(spec: string): Promise<string | null> {
    if (this.#parts.recorder.busy) return 'A recording is running: stop it before another source is chosen.';
    if (this.#choosing) return 'Another source is being opened: wait for it.';
    this.#choosing = true;
    try {
      await this.feed.use(spec);
      return null;
    } catch (error) {
      return messageOf(error);
    } finally {
      this.#choosing = false;
    }
  }

  /** The analysis looks at the running recording; without one, at everything since the set-up or the settings changed, as far as it is here. */
  #restartAnalysis(): void {
    const fromS = this.#parts.recorder.startS ?? this.#setUpFromS;
    const blocks = this.#ring.rawBlocks(fromS, Infinity);
    const startS = this.#parts.recorder.startS ?? blocks[0]?.timeS[0] ?? this.feed.lastS;
    this.#parts.analysis.restart(this.#settings, startS, blocks, this.#gaps.filter((gap) => gap.startS >= startS), this.#marks.filter((mark) => mark.timeS >= startS));
  }

  #currentRange(): readonly [number, number] | null {
    return this.feed.logger === null ? null : finiteRange(this.feed.logger);
  }

  #sourceMessage(): ToPage {
    const { state, text } = this.feed.state;
    return { type: 'source', spec: this.feed.spec, state, text, logger: this.feed.logger === null ? null : loggerView(this.feed.logger) };
  }

  #zeroMessage(): ToPage {
    return { type: 'zero', zeroA: this.#zero?.zeroA ?? null, noiseA: this.#zero?.noiseA ?? null, text: this.#zero?.text ?? 'No zero taken.' };
  }
}
