import { open, rm } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../core/tracefile/arrow/arrow.ts';
import { csvHeader, csvRows } from '../core/tracefile/csv/csv.ts';
import { emptyTraceRecord } from '../core/tracefile/trace-json.ts';
import type { TestKind } from '../core/analysis/results.ts';
import type { Mark, SampleBlock, Trace } from '../core/trace.ts';
import { systemCode } from '../daemon/errors.ts';
import type { Progress } from '../daemon/store/files/progress.ts';
import { explainError } from '../daemon/store/files/store-error.ts';
import { checkWritten } from '../daemon/store/samples/writing/capture-end.ts';
import { TraceWriter } from '../daemon/store/samples/writing/trace-writer.ts';
import { VERSION } from '../daemon/version.ts';
import { InputError, stopped, UsageError } from './io.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.writeTrace;

/** Rows handed on at a time: about a minute at 1 kS/s. */
const BLOCK_ROWS = 65_536;

interface About {
  readonly source: string;
  readonly title: string;
  readonly test: TestKind;
}

interface WriteSteps {
  readonly signal: AbortSignal;
  readonly progress: Progress;
}

/** Writes a trace that is in memory: a folder, or a file ending in .csv or .arrows (which hold no marks). Never writes over something, and leaves nothing half written when it is stopped. */
export async function writeTrace(out: string, trace: Trace, marks: readonly Mark[], about: About, { signal, progress }: WriteSteps): Promise<void> {
  switch (extname(out).toLowerCase()) {
    case '.csv':
      return writeFileOf(out, csvHeader(trace.voltageV !== null), (block) => csvRows(block, trace.voltageV !== null), '');
    case '.arrows':
      return writeFileOf(out, arrowSchemaBytes(), arrowBatchBytes, arrowStreamEnd());
    case '':
      return writeFolder(out, trace, marks, about, { signal, progress });
    default:
      throw new UsageError(words.outIsAFolder(out));
  }

  async function writeFileOf(path: string, head: string | Uint8Array, block: (block: SampleBlock) => string | Uint8Array, tail: string | Uint8Array): Promise<void> {
    let file;
    try {
      file = await open(path, 'wx');
    } catch (error) {
      throw new InputError(cannotWrite(path, error));
    }
    try {
      await file.writeFile(head);
      for (const part of blocksOf(trace, progress)) {
        await file.writeFile(block(part));
        stopped(signal, words.wasNotFinishedAnd(path));
      }
      await file.writeFile(tail);
      await file.close();
    } catch (error) {
      await file.close().catch(() => undefined);
      await rm(path, { force: true });
      throw systemCode(error) === null ? error : explainError(error, language.daemon.store.convert.write(path));
    }
  }
}

async function writeFolder(out: string, trace: Trace, marks: readonly Mark[], about: About, { signal, progress }: WriteSteps): Promise<void> {
  const record = emptyTraceRecord(basename(out), new Date().toISOString(), VERSION);
  record.title = about.title;
  record.test = about.test;
  record.simulated = true;
  record.logger = { name: 'virtual vehicle', serial: null, firmware: null, source: about.source };
  if (trace.voltageV !== null) record.channels.push({ name: 'voltage', unit: 'V', range: null, resolution: null });
  // it can be made again: only its end waits for the disk
  const writer = await TraceWriter.create(out, record, { durable: false });
  let gap = 0;
  try {
    for (const part of blocksOf(trace, progress)) {
      for (let next = trace.gaps[gap]; next !== undefined && next.endS <= (part.timeS[0] ?? 0); next = trace.gaps[++gap]) writer.gap(next);
      writer.append(part);
      await writer.flush();
      checkWritten(writer.ended);
      stopped(signal, words.wasNotFinishedAndIs(out));
    }
    for (const mark of marks) await writer.mark(mark);
    await writer.finish('source-ended');
    checkWritten(writer.ended);
  } catch (error) {
    // part of a scenario is no trace of it, and what is thrown away needs no end
    await rm(out, { recursive: true, force: true });
    throw error;
  }
}

/** Runs of samples without a gap inside; how far they are is reported when the next is asked for. */
function* blocksOf(trace: Trace, progress: Progress): Generator<SampleBlock> {
  let start = 0;
  let gap = 0;
  const { timeS } = trace;
  while (start < timeS.length) {
    const first = timeS[start] ?? 0;
    while (gap < trace.gaps.length && (trace.gaps[gap]?.startS ?? 0) < first) gap++;
    const untilS = trace.gaps[gap]?.startS ?? Infinity;
    let end = Math.min(start + BLOCK_ROWS, timeS.length);
    while (end - 1 > start && (timeS[end - 1] ?? 0) > untilS) end--;
    yield { timeS: timeS.subarray(start, end), currentA: trace.currentA.subarray(start, end), voltageV: trace.voltageV?.subarray(start, end) ?? null };
    start = end;
    progress(start / timeS.length);
  }
}

function cannotWrite(path: string, error: unknown): string {
  const { code } = error as NodeJS.ErrnoException;
  if (code === 'EEXIST') return words.isThereAlreadyChoose(path);
  return words.cannotBeWrittenChoose(path, code ?? 'error');
}
