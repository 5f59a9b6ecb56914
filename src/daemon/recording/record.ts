import { rm, stat } from 'node:fs/promises';
import { thinningFor } from '../../core/tracefile/thinning.ts';
import type { EndCause } from '../../core/tracefile/record.ts';
import { SYSTEM_CLOCK, type Clock } from '../clock.ts';
import { DaemonError, messageOf } from '../errors.ts';
import { openSource } from '../sources/open-source.ts';
import type { Source } from '../sources/source.ts';
import { convertTrace } from '../store/exchange/convert.ts';
import { lockFolder, type FolderLock } from '../store/files/lock.ts';
import { TraceWriter, type WriterOptions } from '../store/samples/writing/trace-writer.ts';
import { captureRecord } from './capture-record.ts';
import { RecordingSink } from './recording-sink.ts';
import { Recorder } from './recorder.ts';
import type { Capture, RecorderParts } from './types.ts';
import { language } from '../../core/present/language.ts';

const words = language.daemon.running.record;

interface RecordOptions {
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
  readonly openFile?: NonNullable<WriterOptions['openFile']>;
  readonly clock?: Clock;
}

interface RecordSummary {
  readonly samples: number;
  readonly durationS: number;
  readonly gaps: number;
  readonly endCause: EndCause | null;
  /** a sentence when the recording ended before it was to, null otherwise */
  readonly trouble: string | null;
}

/** Ends that nobody asked for. */
const TROUBLE: ReadonlySet<EndCause> = new Set(['disk-full', 'disk-error', 'lock-lost', 'source-failed']);

/**
 * Records without a browser until the time is over, the source ends, the disk is full or `signal` aborts; in each case the trace is
 * closed cleanly. Throws DaemonError when there is nothing to record from or nowhere to record to.
 */
export async function recordTrace(options: RecordOptions): Promise<RecordSummary> {
  const { out, log } = options;
  const asCsv = out.toLowerCase().endsWith('.csv');
  if ((await stat(out).catch(() => null)) !== null) throw new DaemonError('bad-output', words.existsAlreadyChooseAnother(out));
  // CSV cannot be mended after a crash, so a trace folder is written first and turned into CSV at the end
  const folder = asCsv ? `${out}.recording` : out;
  const summary = await capture(folder, options);
  if (asCsv) {
    try {
      await convertTrace(folder, out, {}, () => undefined);
    } catch (error) {
      throw new DaemonError('bad-output', words.theRecordingItselfIs(messageOf(error), folder));
    }
    await rm(folder, { recursive: true, force: true });
  }
  if (summary.gaps > 0) log(words.stretchWithoutSamplesSee(summary.gaps, summary.gaps === 1 ? '' : 'es'));
  return summary;
}

/** The same recorder as behind the pages, armed to start with the first reading. */
async function capture(folder: string, options: RecordOptions): Promise<RecordSummary> {
  const { durationS, signal, log, clock = SYSTEM_CLOCK } = options;
  const source = openOrExplain(options);
  const sink = new RecordingSink(options.source, log);
  const locks: FolderLock[] = [];
  const ended = new Promise<RecordSummary>((resolve, reject) => {
    const recorder = new Recorder({
      clock,
      create: createIn(folder, options, clock, locks),
      send: (message) => void (message.type === 'notice' && log(message.text)),
      onStart: () => undefined,
      onEnding: () => undefined,
      onEnd: ({ cause, text }, record) => {
        if (record === null) return reject(new DaemonError('bad-output', text));
        return resolve({ samples: record.samples, durationS: record.duration_s, gaps: record.gap_count, endCause: record.end_cause, trouble: TROUBLE.has(cause) ? text : null });
      },
      onRefused: (text) => reject(new DaemonError('bad-output', text)),
    });
    sink.attach(recorder, (text) => reject(new DaemonError('source-failed', text)));
    recorder.arm({ startOn: { kind: 'now' }, beforeS: 0, stopAfterS: durationS ?? null, stopAfterBytes: null, stopWhenAsleep: false });
  });
  const stop = (): void => sink.stop('stopped');
  source.start(sink);
  signal.addEventListener('abort', stop, { once: true });
  if (signal.aborted) stop();
  try {
    return await ended;
  } finally {
    signal.removeEventListener('abort', stop);
    await source.stop();
    for (const lock of locks) await lock.release();
  }
}

function createIn(folder: string, { thinA, openFile }: RecordOptions, clock: Clock, locks: FolderLock[]): RecorderParts['create'] {
  return async (facts, _startS, limits): Promise<Capture> => {
    const id = folder.split(/[\\/]/).findLast((part) => part !== '') ?? 'trace';
    const record = captureRecord(id, { ...facts, start: clock.date() });
    // asked with the first samples, and those come when the folder has been taken
    const lost = (): Promise<string | null> => locks[0]!.lost();
    const writer = await TraceWriter.create(folder, record, { ...limits, lost, thinning: thinA === undefined ? null : thinningFor(thinA), ...(openFile === undefined ? {} : { openFile }) });
    // so that nobody mends it meanwhile
    locks.push(await lockFolder(folder, (text) => limits.onEnd({ cause: 'lock-lost', text })));
    return { jobId: '', traceId: '', writer };
  };
}

function openOrExplain(options: RecordOptions): Source {
  try {
    return (options.openSource ?? openSource)(options.source);
  } catch (error) {
    throw new DaemonError('bad-source', messageOf(error));
  }
}
