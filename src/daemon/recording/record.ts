import { rm, stat } from 'node:fs/promises';
import type { Gap, SampleBlock } from '../../core/trace.ts';
import type { EndCause } from '../../core/tracefile/record.ts';
import { thinningFor } from '../../core/tracefile/thinning.ts';
import type { ClockReport } from '../../core/decode/logger.ts';
import { captureRecord, clockFacts, damageSince, isOtherRange, noteRange } from './capture-record.ts';
import { SYSTEM_CLOCK, type Clock } from '../clock.ts';
import { shifted } from '../live/columns.ts';
import { DaemonError, messageOf } from '../errors.ts';
import { openSource } from '../sources/open-source.ts';
import type { DamageCounts, LoggerInfo, Source, SourceSink, SourceState } from '../sources/source.ts';
import { TraceWriter, type CaptureEnd } from '../store/trace-writer.ts';

export interface RecordOptions {
  readonly source: string;
  /** a trace folder to make, or a file ending in .csv */
  readonly out: string;
  /** ends by itself after so many seconds of trace time */
  readonly durationS?: number;
  /** keep the full rate only around changes of more than so many ampere */
  readonly thinA?: number;
  /** ends the recording cleanly */
  readonly signal: AbortSignal;
  readonly log: (text: string) => void;
  readonly openSource?: (spec: string) => Source;
  readonly clock?: Clock;
}

export interface RecordSummary {
  readonly samples: number;
  readonly durationS: number;
  readonly gaps: number;
  readonly endCause: EndCause | null;
  /** a sentence when the recording ended before it was to, null otherwise */
  readonly trouble: string | null;
}

/** Ends that nobody asked for. */
const TROUBLE: ReadonlySet<EndCause> = new Set(['disk-full', 'disk-error', 'lock-lost', 'source-failed']);

const NO_DAMAGE: DamageCounts = { badCrc: 0, malformed: 0, tooLong: 0, lostBlocks: 0, restarts: 0 };

/**
 * Records without a browser until the time is over, the source ends, the disk is full or `signal` aborts; in each case the trace is
 * closed cleanly. Throws DaemonError when there is nothing to record from or nowhere to record to.
 */
export async function recordTrace(options: RecordOptions): Promise<RecordSummary> {
  const { out, log, signal } = options;
  const asCsv = out.toLowerCase().endsWith('.csv');
  if ((await stat(out).catch(() => null)) !== null) throw new DaemonError('bad-output', `${out} exists already: choose another name, so that no recording is written over.`);
  // CSV cannot be mended after a crash, so a trace folder is written first and turned into CSV at the end
  const folder = asCsv ? `${out}.recording` : out;
  const source = openOrExplain(options);
  const capture = new HeadlessCapture(folder, options);
  source.start(capture);
  const stop = (): void => capture.end({ cause: 'stopped', text: '' });
  signal.addEventListener('abort', stop, { once: true });
  if (signal.aborted) stop();
  let summary: RecordSummary;
  try {
    const end = await capture.ended;
    await source.stop();
    summary = await capture.close(end);
  } finally {
    signal.removeEventListener('abort', stop);
    await source.stop();
  }
  if (asCsv) {
    const { convertTrace } = await import('../store/convert.ts');
    try {
      await convertTrace(folder, out, {}, () => undefined);
    } catch (error) {
      throw new DaemonError('bad-output', `${messageOf(error)} The recording itself is whole in ${folder}.`);
    }
    await rm(folder, { recursive: true, force: true });
  }
  if (summary.gaps > 0) log(`${summary.gaps} stretch${summary.gaps === 1 ? '' : 'es'} without samples: see the gaps in the trace.`);
  return summary;
}

function openOrExplain(options: RecordOptions): Source {
  try {
    return (options.openSource ?? openSource)(options.source);
  } catch (error) {
    throw new DaemonError('bad-source', messageOf(error));
  }
}

/** Takes what the source sends; the trace begins with its first sample. */
class HeadlessCapture implements SourceSink {
  readonly ended: Promise<CaptureEnd>;
  readonly #folder: string;
  readonly #options: RecordOptions;
  #resolve: (end: CaptureEnd) => void = () => undefined;
  #logger: LoggerInfo | null = null;
  #writer: TraceWriter | null = null;
  #making: Promise<void> | null = null;
  #failure: DaemonError | null = null;
  /** what comes while the folder is being made */
  #backlog: (SampleBlock | Gap)[] = [];
  #startS = 0;
  #damage = NO_DAMAGE;
  #clock: ClockReport | null = null;
  #lastS = 0;
  #rangeChanges: { readonly before: LoggerInfo; readonly now: LoggerInfo; readonly atS: number }[] = [];
  #lastText = '';

  constructor(folder: string, options: RecordOptions) {
    this.#folder = folder;
    this.#options = options;
    this.ended = new Promise((resolve) => {
      this.#resolve = resolve;
    });
  }

  end(end: CaptureEnd): void {
    this.#resolve(end);
  }

  state({ state, text }: SourceState): void {
    if (text !== this.#lastText) this.#options.log(text);
    this.#lastText = text;
    if (state === 'failed' && this.#making === null) {
      this.#failure = new DaemonError('source-failed', text);
      this.end({ cause: 'source-ended', text });
    } else if (state === 'failed') this.end({ cause: 'source-failed', text: `The recording has ended early. ${text}` });
    else if (state === 'ended') this.end({ cause: 'source-ended', text });
  }

  logger(info: LoggerInfo): void {
    const before = this.#logger;
    this.#logger = info;
    if (before !== null && this.#making !== null && isOtherRange(before, info)) this.#rangeChanges.push({ before, now: info, atS: this.#lastS - this.#startS });
  }

  samples(block: SampleBlock): void {
    if (block.timeS.length === 0) return;
    this.#making ??= this.#make(block.timeS[0]!);
    this.#take(block);
    this.#lastS = block.timeS[block.timeS.length - 1]!;
  }

  gap(gap: Gap): void {
    if (this.#making !== null) this.#take(gap);
  }

  notice({ atS, code, text }: { readonly atS: number; readonly code: string; readonly text: string }): void {
    this.#options.log(`Logger: ${text}`);
    if (code === 'mark') void this.#writer?.mark({ timeS: atS - this.#startS, kind: 'note', label: text }).catch(() => undefined);
  }

  damage(counts: DamageCounts): void {
    this.#damage = counts;
  }

  clock(report: ClockReport): void {
    this.#clock = report;
  }

  async close({ cause, text }: CaptureEnd): Promise<RecordSummary> {
    await this.#making?.catch(() => undefined);
    if (this.#failure !== null) throw this.#failure;
    if (this.#writer === null) throw new DaemonError('source-failed', `Nothing was recorded: no sample came. ${this.#lastText}`.trim());
    this.#writer.record.damage = damageSince(NO_DAMAGE, this.#damage);
    this.#writer.record.clock = clockFacts(this.#clock);
    for (const { before, now, atS } of this.#rangeChanges) noteRange(this.#writer.record, before, now, atS);
    const record = await this.#writer.finish(cause, text);
    return { samples: record.samples, durationS: record.duration_s, gaps: record.gaps.length, endCause: record.end_cause, trouble: TROUBLE.has(cause) ? text : null };
  }

  async #make(startS: number): Promise<void> {
    const { durationS, thinA, source, clock = SYSTEM_CLOCK } = this.#options;
    this.#startS = startS;
    const logger = this.#logger ?? { kind: 'numbers', name: 'unknown', serial: null, firmware: null, rateHz: null, channels: [] };
    const id = this.#folder.split(/[\\/]/).findLast((part) => part !== '') ?? 'trace';
    try {
      const record = captureRecord(id, { start: clock.date(), spec: source, logger, settings: null, zero: null, damage: NO_DAMAGE });
      this.#writer = await TraceWriter.create(this.#folder, record, { stopAfterS: durationS ?? null, thinning: thinA === undefined ? null : thinningFor(thinA), onEnd: (end) => this.end(end) });
      for (const piece of this.#backlog) this.#write(piece);
    } catch (error) {
      this.#failure = new DaemonError('bad-output', messageOf(error));
      this.end({ cause: 'disk-error', text: messageOf(error) });
    } finally {
      this.#backlog = [];
    }
  }

  #take(piece: SampleBlock | Gap): void {
    if (this.#writer === null) this.#backlog.push(piece);
    else this.#write(piece);
  }

  #write(piece: SampleBlock | Gap): void {
    if ('endS' in piece) this.#writer?.gap({ startS: piece.startS - this.#startS, endS: piece.endS - this.#startS });
    else this.#writer?.append(shifted(piece, this.#startS));
  }
}
