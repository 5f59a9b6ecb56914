import type { EndCause } from '../../core/tracefile/record.ts';
import type { Gap, SampleBlock } from '../../core/trace.ts';
import type { ClockReport } from '../../core/decode/logger.ts';
import { isOtherRange } from '../sources/serial/logger-range.ts';
import type { DamageCounts, LoggerInfo, LoggerNotice, SourceSink, SourceState } from '../sources/source.ts';
import type { Recorder } from './recorder.ts';
import type { RecordingFacts } from './types.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.recordingSink;

const NO_DAMAGE: DamageCounts = { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 };
const UNKNOWN: LoggerInfo = { kind: 'numbers', name: 'unknown', serial: null, firmware: null, rateHz: null, channels: [] };

/** Hands what a source sends straight to a recorder, with no page and no live view between. */
export class RecordingSink implements SourceSink {
  readonly #spec: string;
  readonly #log: (text: string) => void;
  #recorder: Recorder | null = null;
  #refuse: (text: string) => void = () => undefined;
  #state: SourceState = { state: 'connecting', text: '' };
  #logger: LoggerInfo | null = null;
  #damage = NO_DAMAGE;
  #clock: ClockReport | null = null;
  /** the block that is being handed on: the first one is the beginning of the recording */
  #block: SampleBlock | null = null;
  #lastS = 0;
  #begun = false;

  constructor(spec: string, log: (text: string) => void) {
    this.#spec = spec;
    this.#log = log;
  }

  /** `refuse` is called when it ends before anything came. */
  attach(recorder: Recorder, refuse: (text: string) => void): void {
    this.#recorder = recorder;
    this.#refuse = refuse;
    recorder.attach(() => this.#facts());
  }

  stop(cause: EndCause, text?: string): void {
    if (this.#begun) void this.#recorder?.stop(cause, text);
    else this.#refuse(cause === 'source-failed' && text !== undefined ? text : words.nothingWasRecordedNo(this.#state.text).trim());
  }

  state(state: SourceState): void {
    if (state.text !== this.#state.text) this.#log(state.text);
    this.#state = state;
    if (state.state === 'ended') this.stop('source-ended', state.text);
    else if (state.state === 'failed') this.stop('source-failed', this.#begun ? words.theRecordingHasEndedEarly(state.text) : state.text);
  }

  logger(info: LoggerInfo): void {
    const before = this.#logger;
    this.#logger = info;
    if (before !== null && isOtherRange(before, info)) this.#recorder?.range({ before, now: info, atS: this.#lastS });
  }

  samples(block: SampleBlock): void {
    if (block.timeS.length === 0) return;
    this.#block = block;
    this.#begun = true;
    this.#recorder?.samples(block);
    this.#block = null;
    this.#lastS = block.timeS[block.timeS.length - 1]!;
  }

  gap(gap: Gap): void {
    this.#recorder?.gap(gap);
  }

  notice({ atS, code, text }: LoggerNotice): void {
    this.#log(`Logger: ${text}`);
    if (code === 'mark') this.#recorder?.mark({ timeS: atS, kind: 'note', label: text });
  }

  damage(counts: DamageCounts): void {
    this.#damage = counts;
  }

  clock(report: ClockReport): void {
    this.#clock = report;
  }

  #facts(): RecordingFacts {
    const block = this.#block;
    return {
      spec: this.#spec,
      nowS: this.#lastS,
      // it sends, or nothing would have begun
      state: 'live',
      settings: null,
      logger: this.#logger ?? UNKNOWN,
      zero: null,
      damage: this.#damage,
      clock: this.#clock,
      before: () => ({ startS: block?.timeS[0] ?? this.#lastS, blocks: block === null ? [] : [block], gaps: [], marks: [] }),
    };
  }
}
