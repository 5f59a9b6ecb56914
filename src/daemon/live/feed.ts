import type { Gap, SampleBlock } from '../../core/trace.ts';
import type { ClockReport } from '../../core/decode/logger.ts';
import { isOtherRange } from '../sources/serial/logger-range.ts';
import type { ControlAnswer, DamageCounts, LineReport, LoggerInfo, LoggerNotice, Source, SourceCommand, SourceSink, SourceState } from '../sources/source.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.feed;

interface FeedListener {
  /** zeroed samples in live time */
  samples(block: SampleBlock): void;
  gap(gap: Gap): void;
  notice(notice: LoggerNotice): void;
  /** state of the source, its logger or its controls changed */
  source(): void;
  damage(counts: DamageCounts): void;
  /** the logger measures in another range from now on */
  range(before: LoggerInfo, now: LoggerInfo): void;
  /** another source took over: samples of the one before are of another set-up */
  replaced(): void;
}

const NO_DAMAGE: DamageCounts = { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 };

/**
 * The source in use, seen in live time: seconds that rise from the daemon's start over all sources it had. Takes the zero off every
 * reading, so that everything behind it sees the same figures.
 */
export class Feed {
  readonly #open: (spec: string) => Source;
  readonly #listener: FeedListener;
  #source: Source | null = null;
  #offsetS = 0;
  #lastS = 0;
  /** end of the source before, until the first sample of this one closes the gap */
  #gapFromS: number | null = null;
  spec = '';
  state: SourceState = { state: 'connecting', text: words.starting };
  logger: LoggerInfo | null = null;
  damage: DamageCounts = NO_DAMAGE;
  clock: ClockReport | null = null;
  zeroA = 0;

  constructor(open: (spec: string) => Source, listener: FeedListener) {
    this.#open = open;
    this.#listener = listener;
  }

  /** live time of the newest sample */
  get lastS(): number {
    return this.#lastS;
  }

  /** Opens the source first, so that a spec that cannot be used (it throws) leaves the present one as it is. */
  async use(spec: string): Promise<void> {
    const source = this.#open(spec);
    const before = this.#source;
    this.#source = source;
    if (before !== null) {
      await before.stop();
      if (this.#lastS > 0) {
        this.#gapFromS = this.#lastS;
        this.#offsetS = this.#lastS + 1;
      }
      this.#listener.replaced();
    }
    this.spec = spec;
    this.logger = null;
    this.damage = NO_DAMAGE;
    this.clock = null;
    this.state = { state: 'connecting', text: words.connecting };
    this.#listener.source();
    source.start(this.#sinkFor(source));
  }

  /** null where no lines come */
  line(): LineReport | null {
    return this.#source?.line?.() ?? null;
  }

  /** the device that is being read or looked for; null where the source is no port */
  port(): string | null {
    return this.#source?.port?.() ?? null;
  }

  control(command: SourceCommand): ControlAnswer {
    return this.#source?.control(command) ?? { ok: false, text: words.noSourceIsOpen };
  }

  async stop(): Promise<void> {
    const source = this.#source;
    this.#source = null;
    await source?.stop();
  }

  /** What comes late from a source that has been replaced is dropped. */
  #sinkFor(source: Source): SourceSink {
    const offsetS = this.#offsetS;
    const current = (): boolean => this.#source === source;
    return {
      state: (state) => {
        if (!current()) return;
        this.state = state;
        this.#listener.source();
      },
      logger: (info) => {
        if (!current()) return;
        const before = this.logger;
        this.logger = info;
        if (before !== null && isOtherRange(before, info)) this.#listener.range(before, info);
        this.#listener.source();
      },
      samples: (block) => {
        if (current() && block.timeS.length > 0) this.#samples(block, offsetS);
      },
      gap: (gap) => {
        if (current()) this.#listener.gap({ startS: gap.startS + offsetS, endS: gap.endS + offsetS });
      },
      notice: (notice) => {
        if (current()) this.#listener.notice({ ...notice, atS: notice.atS + offsetS });
      },
      damage: (counts) => {
        if (!current()) return;
        this.damage = counts;
        this.#listener.damage(counts);
      },
      clock: (report) => {
        if (current()) this.clock = report;
      },
    };
  }

  #samples(block: SampleBlock, offsetS: number): void {
    const live = { timeS: offsetS === 0 ? block.timeS : block.timeS.map((timeS) => timeS + offsetS), currentA: this.#zeroed(block.currentA), voltageV: block.voltageV };
    if (this.#gapFromS !== null) {
      this.#listener.gap({ startS: this.#gapFromS, endS: live.timeS[0]! });
      this.#gapFromS = null;
    }
    this.#lastS = live.timeS[live.timeS.length - 1]!;
    this.#listener.samples(live);
  }

  #zeroed(currentA: Float32Array): Float32Array {
    const zeroA = this.zeroA;
    if (zeroA === 0) return currentA;
    const corrected = new Float32Array(currentA.length);
    for (let i = 0; i < corrected.length; i++) corrected[i] = currentA[i]! - zeroA;
    return corrected;
  }
}
