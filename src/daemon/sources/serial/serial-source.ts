import type { ColumnSpec } from '../../../core/decode/columns.ts';
import { LineDecoder } from '../../../core/decode/decoder.ts';
import { HeardLines } from './heard-lines.ts';
import { LineTally } from './line-tally.ts';
import { findAgain, identify, type PortIdentity } from './port-search.ts';
import { explainPortError, type PortTrouble } from './port-trouble.ts';
import { USUAL_BAUDS } from './recognition.ts';
import type { OpenPort, PortAccess } from './serial-port.ts';
import { SerialWatch } from './serial-watch.ts';
import type { ControlAnswer, DamageCounts, LineReport, LoggerInfo, Source, SourceSink, SourceState } from '../source.ts';
import type { Timing } from '../timing.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.sources.serialSource;

/** How soon a device is tried again that is not there, was just lost (a plug with a bad contact is back at once), or cannot be opened. */
const RETRY_MS = { missing: 1000, lost: 200, refused: 2500 } as const;
/** How often held samples are handed on and the reception is judged. */
const TICK_MS = 50;
const CLOCK_REPORT_MS = 2000;

interface SerialOptions {
  readonly spec: string;
  readonly path: string;
  /** null = find out */
  readonly baud: number | null;
  readonly columns: readonly ColumnSpec[] | null;
  /** where finding out begins; default the likeliest */
  readonly firstBaud?: number;
}

const NO_DAMAGE: DamageCounts = { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 };

/**
 * A logger on a serial device: opens it, finds its speed, asks for its hello, decodes its lines, and when it is lost finds it again. One
 * decoder lives as long as the source, so the trace's time goes on over every reconnection.
 */
export class SerialSource implements Source {
  readonly spec: string;
  /** why the port could not be opened at the last try */
  trouble: PortTrouble | null = null;
  readonly #options: SerialOptions;
  readonly #access: PortAccess;
  readonly #timing: Timing;
  #sink: SourceSink | null = null;
  #decoder: LineDecoder | null = null;
  #logger: LoggerInfo | null = null;
  #startMs = 0;
  #identity: PortIdentity | null = null;
  #baud: number;
  #wasLive = false;
  #said = '';
  #lastLineS: number | null = null;
  #arrivalS = 0;
  readonly #heard = new HeardLines();
  readonly #tally = new LineTally();
  #path: string;
  #saidDamage: DamageCounts = NO_DAMAGE;
  /** counted at speeds that proved wrong, which is no damage of the logger's lines; and the counts when the present speed was set */
  #noise: DamageCounts = NO_DAMAGE;
  #atBaudStart: DamageCounts = NO_DAMAGE;
  #stopped = false;
  #running: Promise<void> = Promise.resolve();
  #interrupt: () => void = () => undefined;

  constructor(options: SerialOptions, access: PortAccess, timing: Timing) {
    this.spec = options.spec;
    this.#options = options;
    this.#access = access;
    this.#timing = timing;
    this.#path = options.path;
    this.#baud = options.baud ?? options.firstBaud ?? USUAL_BAUDS[0]!;
  }

  start(sink: SourceSink): void {
    this.#sink = sink;
    this.#startMs = this.#timing.nowMs();
    this.#decoder = new LineDecoder(this.#options.columns, {
      logger: (info) => {
        this.#logger = info;
        sink.logger(info);
      },
      samples: (block) => sink.samples(block),
      gap: (gap) => sink.gap(gap),
      notice: (notice) => sink.notice(notice),
    }, (bytes, startIndex, endIndex, damaged) => {
      this.#lastLineS = this.#arrivalS;
      this.#tally.add(this.#lastLineS, damaged);
      this.#heard.add(bytes, startIndex, endIndex, damaged);
    });
    this.#running = this.#run(this.#decoder);
  }

  async stop(): Promise<void> {
    this.#stopped = true;
    this.#interrupt();
    await this.#running;
    this.#decoder?.end();
    this.#tellDamage();
  }

  line(): LineReport {
    const nowS = this.#nowS();
    return {
      ageS: this.#lastLineS === null ? null : nowS - this.#lastLineS,
      overload: this.#decoder?.overloadAt(nowS) ?? null,
      share: this.#tally.share(nowS),
      heard: this.#heard.list(),
    };
  }

  port(): string | null {
    return this.#path;
  }

  /** the speed in use */
  get baud(): number {
    return this.#baud;
  }

  control(): ControlAnswer {
    return { ok: false, text: words.aRealLoggerHas };
  }

  async #run(decoder: LineDecoder): Promise<void> {
    while (!this.#stopped) {
      const path = this.#identity === null ? this.#options.path : await findAgain(this.#access, this.#identity);
      if (this.#stopped) return;
      const waitMs = path === null ? RETRY_MS.missing : await this.#session(path, decoder);
      if (!this.#stopped) await this.#interruptible((done) => this.#timing.after(waitMs, done));
    }
  }

  /** One connection, from opening to its loss; returns how long to wait before the next try, ms. */
  async #session(path: string, decoder: LineDecoder): Promise<number> {
    this.#path = path;
    this.#tally.begin(this.#nowS());
    if (!this.#wasLive) this.#tell({ state: 'connecting', text: words.opening(path) });
    let gone: () => void = () => undefined;
    const loss = new Promise<void>((resolve) => (gone = resolve));
    decoder.reopened();
    this.#atBaudStart = decoder.damage;
    let port: OpenPort;
    try {
      port = await this.#access.open(path, this.#baud, { bytes: (piece) => this.#received(decoder, piece), gone: () => gone() });
    } catch (error) {
      return this.#notOpened(path, error);
    }
    this.trouble = null;
    if (this.#identity === null) void identify(this.#access, path).then((identity) => (this.#identity = identity));
    const watch = new SerialWatch(
      {
        path,
        baud: this.#options.baud,
        decoder,
        port,
        now: () => this.#nowS(),
        tell: (state) => this.#tell(state),
        describe: (baud) => this.#describe(path, baud),
        baudWasWrong: (next) => this.#baudWasWrong(decoder, next),
      },
      this.#baud,
    );
    const endTicks = this.#timing.every(TICK_MS, () => {
      watch.tick();
      this.#tellDamage();
    });
    const endReports = this.#timing.every(CLOCK_REPORT_MS, () => this.#tellClock());
    watch.tick();
    await this.#interruptible((done) => {
      void loss.then(done);
      return () => undefined;
    });
    endTicks();
    endReports();
    await port.close();
    decoder.tick(this.#nowS());
    this.#tellDamage();
    if (!this.#stopped) this.#lost(path, watch.isLive);
    return RETRY_MS.lost;
  }

  #notOpened(path: string, error: unknown): number {
    const trouble = explainPortError(path, error);
    this.trouble = trouble;
    if (this.#wasLive && trouble.kind === 'missing') return RETRY_MS.missing;
    if (trouble.kind === 'missing') this.#tell({ state: 'searching', text: trouble.text });
    else this.#tell({ state: 'failed', text: trouble.text });
    return trouble.kind === 'missing' ? RETRY_MS.missing : RETRY_MS.refused;
  }

  #lost(path: string, wasLive: boolean): void {
    this.#wasLive ||= wasLive;
    const name = this.#logger === null ? words.theDevice : words.theLogger;
    this.#tell({ state: 'lost', text: words.atIsGonePlug(name, path) });
  }

  #baudWasWrong(decoder: LineDecoder, next: number): void {
    const now = decoder.damage;
    this.#noise = add(this.#noise, now, this.#atBaudStart);
    decoder.reopened();
    this.#tally.begin(this.#nowS());
    this.#atBaudStart = decoder.damage;
    this.#baud = next;
  }

  #describe(path: string, baud: number): string {
    const logger = this.#logger;
    if (logger === null || logger.kind === 'numbers') return words.readingNumberLinesFrom(path, baud);
    return words.readingOn(logger.name, logger.serial, path);
  }

  #received(decoder: LineDecoder, piece: Uint8Array): void {
    this.#arrivalS = this.#nowS();
    decoder.feed(piece, this.#arrivalS);
  }

  #tell(state: SourceState): void {
    const said = `${state.state} ${state.text}`;
    if (said === this.#said) return;
    this.#said = said;
    this.#sink?.state(state);
  }

  #tellDamage(): void {
    if (this.#decoder === null) return;
    const counts = add(this.#decoder.damage, NO_DAMAGE, this.#noise);
    const before = this.#saidDamage;
    if (counts.badCrc === before.badCrc && counts.malformed === before.malformed && counts.tooLong === before.tooLong && counts.lostBlocks === before.lostBlocks && counts.restarts === before.restarts) return;
    this.#saidDamage = counts;
    this.#sink?.damage(counts);
  }

  #tellClock(): void {
    const report = this.#decoder?.clock() ?? null;
    if (report !== null) this.#sink?.clock?.(report);
  }

  #nowS(): number {
    return (this.#timing.nowMs() - this.#startMs) / 1000;
  }

  /** Waits until `begin` calls back, or until the source is stopped. */
  #interruptible(begin: (done: () => void) => () => void): Promise<void> {
    return new Promise((resolve) => {
      if (this.#stopped) {
        resolve();
        return;
      }
      const cancel = begin(resolve);
      this.#interrupt = () => {
        cancel();
        resolve();
      };
    });
  }
}

/** `counts` + `more` - `less`, field by field. */
function add(counts: DamageCounts, more: DamageCounts, less: DamageCounts): DamageCounts {
  return {
    badCrc: counts.badCrc + more.badCrc - less.badCrc,
    malformed: counts.malformed + more.malformed - less.malformed,
    tooLong: counts.tooLong + more.tooLong - less.tooLong,
    lostBlocks: counts.lostBlocks + more.lostBlocks - less.lostBlocks,
    restarts: counts.restarts + more.restarts - less.restarts,
  };
}
