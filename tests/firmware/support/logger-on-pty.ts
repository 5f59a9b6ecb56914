import { joinBlocks } from '../../../src/core/trace.ts';
import type { SampleBlock, Trace } from '../../../src/core/trace.ts';
import { openSource } from '../../../src/daemon/sources/open-source.ts';
import type { Source } from '../../../src/daemon/sources/source.ts';
import { HandTiming, openPty, watch } from '../../daemon/sources/kit.ts';
import type { PtyLogger, Watched } from '../../daemon/sources/kit.ts';
import type { Chip, ChipOptions } from './chip.ts';
import { startLogger } from './logger.ts';
import type { LineLog } from './read-lines.ts';

const SLICE_S = 0.05;

/**
 * A chip whose bytes go through a real pseudo-terminal into the program's own serial source, as over USB. The source's clock is the chip's
 * simulated time, and the chip waits until what it sent has arrived: two runs give the same samples at the same times.
 */
export class LoggerOnPty {
  readonly chip: Chip;
  /** what was sent, read by the tests' own reader */
  readonly log: LineLog;
  readonly seen: Watched = watch();
  readonly #pty: PtyLogger;
  readonly #timing = new HandTiming();
  readonly #source: Source;
  readonly #blocks: SampleBlock[] = [];
  #sending: number[] = [];

  private constructor(pty: PtyLogger, options: ChipOptions, baud: number) {
    this.#pty = pty;
    const { chip, log } = startLogger(options);
    this.chip = chip;
    this.log = log;
    chip.onByte = (byte) => {
      this.#sending.push(byte);
      log.take(byte);
    };
    this.#source = openSource(`serial:${pty.path}?baud=${baud}`, { timing: this.#timing });
  }

  /** Opens the source and waits for its question for the hello, which the chip hears as soon as it runs. */
  static async connect(options: ChipOptions, baud: number): Promise<LoggerOnPty> {
    const pty = await openPty();
    const logger = new LoggerOnPty(pty, options, baud);
    const asked = new Promise<void>((resolve) => {
      pty.onData((text) => {
        logger.chip.send(text);
        if (text.includes('?')) resolve();
      });
    });
    const { seen } = logger;
    logger.#source.start({
      ...seen,
      samples: (block) => {
        logger.#blocks.push(block);
        seen.samples(block);
      },
    });
    await asked;
    return logger;
  }

  get samplesSent(): number {
    return this.log.of('block').reduce((sum, block) => sum + block.current.length, 0);
  }

  get trace(): Trace {
    return joinBlocks(this.#blocks, this.seen.gaps);
  }

  /** Lets the chip run, and hands its bytes on in small pieces; `arrived` says when a piece is through. */
  async run(durationS: number, arrived: () => boolean = () => this.seen.timeS.length >= this.samplesSent): Promise<void> {
    const startS = this.chip.timeS;
    const slices = Math.ceil(durationS / SLICE_S);
    for (let slice = 1; slice <= slices; slice++) {
      this.chip.runUntil(startS + (durationS * slice) / slices);
      await this.#handOn(arrived);
    }
  }

  async #handOn(arrived: () => boolean): Promise<void> {
    await this.#timing.pass(this.chip.timeS * 1000 - this.#timing.nowMs());
    this.#pty.write(String.fromCharCode(...this.#sending));
    this.#sending = [];
    await this.seen.until(arrived, 'what the chip sent arrives');
  }

  /** Lets the source look at what came: counts of damage are reported at its own beat, 50 ms. */
  async settle(): Promise<void> {
    await this.#timing.pass(60);
  }

  /** Pulls the cable while a line is half sent. */
  async pullOut(): Promise<void> {
    const blocks = this.log.of('block').length;
    while (this.log.of('block').length === blocks) this.chip.run(0.001);
    this.#pty.write(String.fromCharCode(...this.#sending.slice(0, -60)));
    await this.#pty.hangUp();
    await this.seen.until((all) => all.states.at(-1)?.state === 'lost', 'the loss is reported');
  }

  async close(): Promise<void> {
    await this.#source.stop();
    await this.#pty.hangUp();
  }
}
