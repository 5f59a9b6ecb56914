import type { Worker } from 'node:worker_threads';
import type { StepChange } from '../../core/analysis/live.ts';
import type { AnalysisResult } from '../../core/analysis/results.ts';
import { recordedUncertainty, type Calibrated } from '../../core/analysis/uncertainty/trace-correction.ts';
import type { Gap, Mark, SampleBlock } from '../../core/trace.ts';
import type { TestSettings, ToPage } from '../../core/wire/messages.ts';
import type { Clock } from '../clock.ts';
import { inOrder, joinAll, shifted, traceTimeS } from '../../core/sample-blocks.ts';
import type { Before } from '../recording/types.ts';
import { messageOf } from '../errors.ts';
import { correctBy, type Correct } from './correct.ts';
import { Channel } from '../threads/channel.ts';
import type { LiveAnswer, LiveOrder } from '../threads/live-worker.ts';
import { startWorker } from '../threads/start-worker.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.analysis;

/** At most two results a second, and the computing takes at most a tenth of one core: at the highest rates a result then comes once a second. */
const RESULT_MS = 500;
const REST_PER_COST = 9;

/** On a slow or busy computer a motor that stalls now is worth more than the tenth: nobody holds a switch for longer to see what it did. */
const LONGEST_REST_MS = 1500;

/** Samples wait for the next question, or until there are so many: each message to the thread costs as much as the copying of thousands of samples. */
const GATHER_ROWS = 16_384;
/** Samples copied for the thread in one turn of the event loop: 2 MB, a millisecond. */
const ROWS_AT_ONCE = 131_072;

/** Orders as they are kept: samples are copied and moved to the recording's time when they are handed over. */
type Order =
  | Exclude<LiveOrder, { do: 'samples' | 'result' }>
  | { readonly do: 'samples'; readonly blocks: readonly SampleBlock[]; readonly offsetS: number; readonly correct: Correct }
  | { readonly do: 'result'; readonly answer: (answer: LiveAnswer | null) => void };

/** What is known of the readings beside the readings themselves, as the record of a capture would say it. */
export interface KnownOfReadings extends Calibrated {
  /** the clock at the analysis' time 0, ms since 1970; null for a virtual vehicle, whose night may run faster */
  readonly startedAtMs: number | null;
}

/** What is here already when an analysis begins, in live time. */
interface Since extends Omit<Before, 'startS'> {
  readonly ranges: readonly StepChange[];
}

type ResultMessage = Extract<ToPage, { type: 'result' }>;

interface LiveAnalysisParts {
  readonly clock: Clock;
  readonly onResult: (message: ResultMessage) => void;
  readonly onFault: (text: string) => void;
  /** whether somebody sees the results; where nobody does, none is asked for until `look` */
  readonly isWatched?: () => boolean;
  readonly startWorker?: () => Worker;
}

/**
 * Runs the live analysis in its thread: hands it the samples with times relative to `offsetS` (as in the recording), asks
 * for results now and then, and starts the thread anew when it died. A fault in the analysis never touches the recording.
 */
export class LiveAnalysisRunner {
  readonly #parts: LiveAnalysisParts;
  readonly #channel: Channel<LiveOrder>;
  #gathered: SampleBlock[] = [];
  #gatheredRows = 0;
  #waitingOrders: Order[] = [];
  /** a thread that does not run has nothing to forget: it is started with the first that there is to analyse */
  #beginning: Order | null = null;
  #handedRows = 0;
  #pump: NodeJS.Immediate | null = null;
  #offsetS = 0;
  #correct: Correct = correctBy(null);
  /** counts the restarts: what was asked before the last one is of an analysis that has been replaced */
  #round = 0;
  #asked = false;
  #dirty = false;
  /** an analysis that failed gets nothing more until it is restarted */
  #failed = false;
  #timer: NodeJS.Timeout | null = null;
  #nextAtMs = 0;
  #closed = false;
  latest: ResultMessage | null = null;

  constructor(parts: LiveAnalysisParts) {
    this.#parts = parts;
    this.#channel = new Channel({ start: parts.startWorker ?? (() => startWorker('live-worker')), what: words.theLiveAnalysis, onLost: (text) => this.#fail(text) });
  }

  /** Forgets everything and begins again at live time `offsetS` with what is already here. */
  restart(settings: TestSettings, known: KnownOfReadings, offsetS: number, { blocks, gaps, marks, ranges }: Since): void {
    this.#forgetGathered();
    this.#offsetS = offsetS;
    this.#round++;
    this.#asked = false;
    this.#dirty = false;
    this.#failed = false;
    this.latest = null;
    for (const order of this.#waitingOrders.splice(0)) if (order.do === 'result') order.answer(null);
    this.#correct = correctBy(known);
    const sensor = recordedUncertainty(known);
    const clock = known.startedAtMs === null ? {} : { startedAtMs: known.startedAtMs };
    this.#beginning = { do: 'restart', test: settings.test, actuation: { ...sensor, ...settings.actuation }, drain: { ...sensor, ...clock, ...settings.drain } };
    if (this.#channel.runs) this.#begin();
    for (const piece of inOrder(blocks, gaps)) {
      if ('timeS' in piece) this.samples(piece);
      else this.gap(piece);
    }
    for (const mark of marks) this.mark(mark);
    for (const change of ranges) this.range(change);
  }

  samples(block: SampleBlock): void {
    if (this.#closed || this.#failed) return;
    this.#gathered.push(block);
    this.#gatheredRows += block.timeS.length;
    if (this.#gatheredRows >= GATHER_ROWS) this.#handGathered();
    this.#dirty = true;
    this.#schedule();
  }

  gap(gap: Gap): void {
    this.#order({ do: 'gap', gap: { startS: traceTimeS(gap.startS, this.#offsetS), endS: traceTimeS(gap.endS, this.#offsetS) } });
  }

  range(change: StepChange): void {
    this.#order({ do: 'range', change: { ...change, atS: Math.max(0, traceTimeS(change.atS, this.#offsetS)) } });
  }

  mark(mark: Mark): void {
    this.#order({ do: 'mark', mark: { ...mark, timeS: traceTimeS(mark.timeS, this.#offsetS) } });
    this.#dirty = true;
    this.#schedule();
  }

  /** Somebody begins to watch. */
  look(): void {
    if (this.#dirty) this.#schedule();
  }

  /** What is to be said of all samples handed over up to this call; null when the analysis failed. */
  async resultNow(): Promise<AnalysisResult | null> {
    const offsetS = this.#offsetS;
    const round = this.#round;
    const answer = await this.#ask();
    if (answer === null) return null;
    this.#publish(answer, offsetS, round);
    return answer.result;
  }

  async close(): Promise<void> {
    this.#closed = true;
    if (this.#timer !== null) clearTimeout(this.#timer);
    if (this.#pump !== null) clearImmediate(this.#pump);
    for (const order of this.#waitingOrders.splice(0)) if (order.do === 'result') order.answer(null);
    await this.#channel.close();
  }

  #schedule(): void {
    if (this.#timer !== null || this.#asked || this.#failed || this.#closed) return;
    const waitMs = Math.max(0, this.#nextAtMs - this.#parts.clock.nowMs());
    this.#timer = setTimeout(() => void this.#askInTurn(), waitMs);
    this.#timer.unref();
  }

  async #askInTurn(): Promise<void> {
    this.#timer = null;
    if (!this.#dirty || this.#asked) return;
    if (this.#parts.isWatched?.() === false) {
      // who comes later is not shown what was true when the last one went
      this.latest = null;
      return;
    }
    this.#dirty = false;
    this.#asked = true;
    const round = this.#round;
    const offsetS = this.#offsetS;
    this.#nextAtMs = this.#parts.clock.nowMs() + RESULT_MS;
    const answer = await this.#ask();
    if (round !== this.#round) return;
    this.#asked = false;
    if (answer === null) return;
    this.#nextAtMs = Math.max(this.#nextAtMs, this.#parts.clock.nowMs() + Math.min(LONGEST_REST_MS, REST_PER_COST * answer.costMs));
    this.#publish(answer, offsetS, round);
    if (this.#dirty) this.#schedule();
  }

  #publish({ result }: LiveAnswer, offsetS: number, round: number): void {
    if (this.#closed || round !== this.#round) return;
    this.latest = { type: 'result', offsetS, result };
    this.#parts.onResult(this.latest);
  }

  /** Null when the analysis failed, or ends. */
  #ask(): Promise<LiveAnswer | null> {
    if (this.#closed || this.#failed) return Promise.resolve(null);
    return new Promise((resolve) => this.#order({ do: 'result', answer: resolve }));
  }

  /** Orders keep their order. Those of more than some milliseconds' work (an hour of samples after a change of settings) are handed over in turns with everything else. */
  #order(order: Order): void {
    if (this.#closed || this.#failed) return;
    this.#handGathered();
    this.#queue(order);
  }

  #handGathered(): void {
    const blocks = this.#gathered;
    if (blocks.length === 0) return;
    this.#forgetGathered();
    this.#queue({ do: 'samples', blocks, offsetS: this.#offsetS, correct: this.#correct });
  }

  #forgetGathered(): void {
    this.#gathered = [];
    this.#gatheredRows = 0;
  }

  #queue(order: Order): void {
    this.#begin();
    this.#put(order);
  }

  #begin(): void {
    if (this.#beginning === null) return;
    const order = this.#beginning;
    this.#beginning = null;
    this.#put(order);
  }

  #put(order: Order): void {
    if (this.#waitingOrders.length === 0 && this.#handedRows < ROWS_AT_ONCE) this.#hand(order);
    else this.#waitingOrders.push(order);
    if (this.#pump === null) this.#pump = setImmediate(() => this.#handOn());
  }

  #handOn(): void {
    this.#pump = null;
    this.#handedRows = 0;
    let done = 0;
    while (done < this.#waitingOrders.length && this.#handedRows < ROWS_AT_ONCE) this.#hand(this.#waitingOrders[done++]!);
    this.#waitingOrders.splice(0, done);
    if (this.#waitingOrders.length > 0) this.#pump = setImmediate(() => this.#handOn());
  }

  #hand(order: Order): void {
    if (this.#closed || this.#failed) {
      if (order.do === 'result') order.answer(null);
      return;
    }
    try {
      if (order.do === 'result') return this.#handQuestion(order.answer);
      if (order.do !== 'samples') return this.#channel.tell(order);
      // copies of its own, given away with the message: a view would be sent with all the memory it looks at
      const copies = order.blocks.map((block) => ({ timeS: shifted(block, order.offsetS).timeS, ...order.correct(block) }));
      for (const { timeS, currentA, voltageV } of joinAll(copies)) {
        this.#handedRows += timeS.length;
        this.#channel.tell({ do: 'samples', block: { timeS, currentA, voltageV } }, [timeS, currentA, ...(voltageV === null ? [] : [voltageV])].map((column) => column.buffer as ArrayBuffer));
      }
    } catch (error) {
      this.#fail(messageOf(error));
    }
  }

  #handQuestion(answer: (answer: LiveAnswer | null) => void): void {
    const round = this.#round;
    this.#channel.ask({ do: 'result' }).then(
      (given) => answer(given as LiveAnswer),
      (error: unknown) => {
        answer(null);
        // a thread that died says so once, by itself
        if (round === this.#round && !this.#closed && this.#channel.runs) this.#fail(messageOf(error));
      },
    );
  }

  /** Reported once; nothing more is handed over until the next restart, which starts a new thread where the old one died, for example for want of memory. */
  #fail(text: string): void {
    if (this.#failed || this.#closed) return;
    this.#failed = true;
    this.#forgetGathered();
    for (const order of this.#waitingOrders.splice(0)) if (order.do === 'result') order.answer(null);
    this.#parts.onFault(words.theLiveAnalysisStopped(text));
  }
}
