import { calibrationNames, type CalibrationRecord } from '../../core/analysis/uncertainty/calibration.ts';
import { MS_PER_S } from '../../core/units.ts';
import { stepChange, zeroStepOf } from '../recording/capture-record.ts';
import type { Gap, Mark, MarkKind, SampleBlock } from '../../core/trace.ts';
import { WIRE_PROTOCOL, type ToPage } from '../../core/wire/messages.ts';
import type { ChargeView } from '../../core/wire/api.ts';
import type { SteadyView } from '../../core/wire/calibration.ts';
import type { SampleFrame } from '../../core/wire/sample-frame.ts';
import { steadyView, STEADY_WINDOW_S } from './steady.ts';
import type { Clock } from '../clock.ts';
import { Feed } from './feed.ts';
import { sourceMessage } from './logger-view.ts';
import type { KnownOfReadings, LiveAnalysisRunner } from './analysis.ts';
import { liveCharge } from './charge.ts';
import { ChosenTest } from './chosen-test.ts';
import { HeldCalibrations } from './held-calibrations.ts';
import { LiveFrames } from './frames.ts';
import { liveWindow } from './window.ts';
import type { Recorder } from '../recording/recorder.ts';
import type { Before, RangeChange } from '../recording/types.ts';
import { Recent } from './recent.ts';
import { SampleRing } from './ring.ts';
import type { DamageCounts, LoggerNotice, Source } from '../sources/source.ts';
import type { TraceWindow } from '../store/samples/reading/trace-reader.ts';
import { SetUp } from './set-up.ts';
import { StatusBeat, statusOf, type Status } from './status.ts';

/** A tap between two blocks of a slow logger is placed where the clock says, but not further than this past the newest sample. */
const MAX_AHEAD_S = 2;

interface HubParts {
  readonly openSource: (spec: string) => Source;
  readonly recorder: Recorder;
  readonly analysis: LiveAnalysisRunner;
  readonly clock: Clock;
  /** the job that recordings went to before the daemon was started anew (it has to be confirmed), and who hears when that changes */
  readonly jobId?: string | null;
  readonly onJob?: (jobId: string | null) => void;
  readonly hello: Omit<Extract<ToPage, { type: 'hello' }>, 'type' | 'protocol'>;
  readonly send: (message: ToPage, droppable?: boolean) => void;
  readonly sendFrame: (bytes: Uint8Array) => void;
  /** a window of the running recording in its own time, as far as it is on the disk; null when it cannot be read */
  readonly recordedWindow: (fromS: number, toS: number, columns: number) => Promise<TraceWindow | null>;
  /** the calibrations that are kept of a logger with any of these names; absent: none are */
  readonly calibrations?: (names: readonly string[]) => Promise<readonly CalibrationRecord[]>;
  readonly recordedCharge: (fromS: number, toS: number) => Promise<ChargeView>;
}

/**
 * Where everything live meets: samples from the source go to the ring, the recorder, the live analysis and, as frames, to the pages.
 * Holds what is true at this moment, so that a page opened later sees the same. What pages ask for comes through commands.ts.
 */
export class Hub {
  readonly feed: Feed;
  readonly #parts: HubParts;
  readonly #ring = new SampleRing();
  readonly #frames: LiveFrames;
  readonly #recent = new Recent();
  readonly #setUp: SetUp;
  readonly #beat = new StatusBeat();
  readonly test: ChosenTest;
  readonly calibrations: HeldCalibrations;
  #newestAtMs = 0;
  #hasReading = false;

  constructor(parts: HubParts) {
    this.#parts = parts;
    this.test = new ChosenTest({ jobId: parts.jobId ?? null, onJob: (jobId) => parts.onJob?.(jobId), onOther: () => this.#restartAnalysis(), send: parts.send });
    this.calibrations = new HeldCalibrations({ find: async (names) => (await parts.calibrations?.(names)) ?? [], onChange: () => this.#restartAnalysis() });
    this.#frames = new LiveFrames(parts.clock, parts.sendFrame, (reading) => parts.send(reading, true));
    this.feed = new Feed(parts.openSource, {
      samples: (block) => this.#samples(block),
      gap: (gap) => this.#gap(gap),
      notice: (notice) => this.#notice(notice),
      damage: (counts) => this.#damage(counts),
      range: (before, now) => this.#range({ before, now, atS: this.feed.lastS }),
      source: () => this.#source(),
      replaced: () => this.#replaced(),
    });
    this.#setUp = new SetUp(this.feed, this.#ring, parts.clock);
    parts.recorder.attach(() => ({
      spec: this.feed.spec,
      nowS: this.nowS,
      state: this.feed.state.state,
      settings: this.test.settings,
      logger: this.feed.logger,
      zero: this.#setUp.zero,
      damage: this.feed.damage,
      clock: this.feed.clock,
      calibrations: () => this.calibrations.known(),
      before: (seconds) => this.#before(seconds),
    }));
  }

  /** live time now: that of the newest sample, and the time since it came */
  get nowS(): number {
    return this.feed.lastS + Math.min(MAX_AHEAD_S, Math.max(0, (this.#parts.clock.nowMs() - this.#newestAtMs) / 1000));
  }

  async start(spec: string): Promise<void> {
    this.#newestAtMs = this.#parts.clock.nowMs();
    await this.feed.use(spec);
    this.#restartAnalysis();
    this.#beat.start(() => this.status(), (status) => this.#parts.send(status, true));
  }

  /** Ends the source, then the recording with everything that came before. */
  async stop(): Promise<void> {
    await this.feed.stop();
    this.#frames.stop();
    this.#beat.stop();
    await this.#parts.recorder.stop('shutdown');
    await this.#parts.analysis.close();
  }

  /** A page has joined. */
  joined(): void {
    this.#parts.analysis.look();
  }

  /** What a page needs to know at its start. */
  snapshot(): ToPage[] {
    const { recorder, analysis, hello } = this.#parts;
    const messages: ToPage[] = [
      { type: 'hello', protocol: WIRE_PROTOCOL, ...hello },
      sourceMessage(this.feed),
      { type: 'damage', counts: this.feed.damage },
      this.test.message(),
      this.#setUp.message(),
      this.status(),
      recorder.message(),
      { type: 'marks', marks: this.#recent.marks },
      ...this.#recent.gaps.map((gap): ToPage => ({ type: 'gap', ...gap })),
    ];
    if (analysis.latest !== null) messages.push(analysis.latest);
    return messages;
  }

  /** `[fromS, toS)` of live time for a chart of so many columns. */
  window(fromS: number, toS: number, columns: number): Promise<SampleFrame> {
    return liveWindow({ ring: this.#ring, gaps: this.#recent.gaps, recordedFromS: this.#parts.recorder.startS, recordedWindow: this.#parts.recordedWindow }, fromS, toS, columns);
  }

  /** Charge between two moments of live time. */
  charge(fromS: number, toS: number): Promise<ChargeView> {
    return liveCharge({ ring: this.#ring, gaps: this.#recent.gaps, recordedFromS: this.#parts.recorder.startS, recordedCharge: this.#parts.recordedCharge }, fromS, toS);
  }

  get #readingAgeS(): number | null {
    return this.#hasReading ? Math.max(0, (this.#parts.clock.nowMs() - this.#newestAtMs) / MS_PER_S) : null;
  }

  status(): Status {
    return statusOf(this.feed, this.#parts.recorder, this.#readingAgeS);
  }

  /** Null when done, else a sentence why not. */
  setZero(what: 'take' | 'clear'): string | null {
    const refusal = this.#setUp.setZero(what, this.test.settings.zeroErrorA ?? null);
    if (refusal !== null) return refusal;
    this.#source();
    this.#parts.send(this.#setUp.message());
    this.#restartAnalysis();
    return null;
  }

  mark(kind: MarkKind, label: string, atS = this.nowS, endS?: number): void {
    const mark: Mark = { timeS: atS, kind, label, ...(endS === undefined ? {} : { endS }) };
    this.#recent.addMark(mark);
    this.#parts.recorder.mark(mark);
    // a stretch is measured, not read: it changes no finding
    if (kind !== 'stretch') this.#parts.analysis.mark(mark);
    this.#parts.send({ type: 'mark', mark });
  }

  /** a recording has begun, by hand or armed: the analysis now looks at it alone */
  recordingStarted(): void {
    this.test.useUpTitle();
    this.#restartAnalysis();
  }

  /** what went before a recording that starts now: samples as measured, gaps and marks since `fromS`, of this set-up alone */
  #before(seconds: number): Before {
    const fromS = Math.max(this.feed.lastS - seconds, this.#setUp.fromS);
    const blocks = this.#ring.rawBlocks(fromS, Infinity);
    const startS = blocks[0]?.timeS[0] ?? this.nowS;
    return {
      startS,
      blocks,
      gaps: this.#recent.gapsFrom(startS),
      marks: this.#recent.marksFrom(startS),
    };
  }

  #samples(block: SampleBlock): void {
    this.#newestAtMs = this.#parts.clock.nowMs();
    this.#hasReading = true;
    this.#ring.push(block);
    this.#parts.recorder.samples(block);
    this.#parts.analysis.samples(block);
    this.#frames.push(block);
  }

  #gap(gap: Gap): void {
    this.#recent.addGap(gap);
    this.#parts.recorder.gap(gap);
    this.#parts.analysis.gap(gap);
    this.#parts.send({ type: 'gap', ...gap });
  }

  #range(change: RangeChange): void {
    const step = stepChange(change);
    // what came before the first reading is no change
    if (this.#hasReading) this.#recent.addRange(step);
    this.#parts.recorder.range(change);
    this.#parts.analysis.range(step);
  }

  #notice(notice: LoggerNotice): void {
    this.#parts.send({ type: 'notice', ...notice });
    // the button on the logger is a mark made with the hand that holds the fuse
    if (notice.code === 'mark') this.mark(this.test.settings.test === 'drain' ? 'pull' : 'note', notice.text, notice.atS);
  }

  #damage(counts: DamageCounts): void {
    this.#parts.send({ type: 'damage', counts });
  }

  #source(): void {
    const { logger, spec, state: { state, text } } = this.feed;
    // another logger, or one that has just said who it is
    this.calibrations.use(logger === null ? [] : calibrationNames(logger, spec));
    const range = this.#setUp.rangeA;
    this.#frames.rangeA = range === null ? null : [range[0] - this.feed.zeroA, range[1] - this.feed.zeroA];
    this.#parts.send(sourceMessage(this.feed));
    if ((state === 'ended' || state === 'failed') && this.#parts.recorder.busy) {
      void this.#parts.recorder.stop(state === 'ended' ? 'source-ended' : 'source-failed', text);
    }
  }

  #replaced(): void {
    this.#ring.clear();
    // marks and pulled fuses are of the set-up that has ended
    this.#recent.clearMarks();
    this.#parts.send({ type: 'marks', marks: [] });
    this.#frames.flush();
    this.#hasReading = false;
    this.#setUp.begin();
    this.#parts.send(this.#setUp.message());
    this.#restartAnalysis();
  }

  /** The analysis looks at the running recording; without one, at everything since the set-up or the settings changed, as far as it is here. */
  #restartAnalysis(): void {
    const fromS = this.#parts.recorder.startS ?? this.#setUp.fromS;
    const blocks = this.#ring.rawBlocks(fromS, Infinity);
    const startS = this.#parts.recorder.startS ?? blocks[0]?.timeS[0] ?? this.feed.lastS;
    this.#parts.analysis.restart(this.test.settings, this.#known(startS), startS, { blocks, gaps: this.#recent.gapsFrom(startS), marks: this.#recent.marksFrom(startS), ranges: this.#recent.rangesFrom(startS) });
  }

  /** What the record of a recording that began at `startS` says of the readings. */
  #known(startS: number): KnownOfReadings {
    const { clock } = this.#parts;
    const { logger } = this.feed;
    const isReal = logger !== null && (logger.kind === 'logger' || logger.kind === 'numbers') && logger.simulated !== true;
    const startedAtMs = isReal ? clock.date().getTime() - MS_PER_S * (this.nowS - startS) : null;
    return { calibration: zeroStepOf(this.#setUp.zero), calibrations: this.calibrations.all, startedAtMs };
  }

  /** What the logger reads while nothing changes, for a calibration. */
  steady(): SteadyView {
    const block = this.#ring.rawSlice(Math.max(this.feed.lastS - STEADY_WINDOW_S, this.#setUp.fromS), Infinity);
    return steadyView(this.feed, block, this.#readingAgeS);
  }
}
