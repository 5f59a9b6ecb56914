import type { ActuationOptions, DrainOptions } from '../core/analysis/options.ts';
import type { AnalysisResult, TestKind } from '../core/analysis/results.ts';
import type { Mark } from '../core/trace.ts';
import { analyseTrace } from '../daemon/threads/analyse-trace.ts';
import { testOf, type Analysed } from '../daemon/prove/gather.ts';
import { openTrace, type OpenOptions, type TraceReader } from '../daemon/store/samples/reading/trace-reader.ts';
import { UsageError, type CliIo } from './io.ts';
import { progressBar } from './progress.ts';
import { language } from '../core/present/language.ts';

const words = language.cli.results.analyseFile;

interface FileAnalysis {
  readonly io: CliIo;
  readonly read: OpenOptions;
  readonly test?: TestKind;
  readonly marks?: readonly Mark[];
  readonly fromS?: number;
  readonly toS?: number;
  readonly actuation?: ActuationOptions;
  readonly drain?: DrainOptions;
}

/** Opens a trace with a progress bar: a file of samples is read from end to end before anything is made of it. */
export async function openShown(path: string, read: OpenOptions, io: CliIo): Promise<TraceReader> {
  const bar = progressBar(io, 'open');
  try {
    return await openTrace(path, { ...read, progress: bar.update, signal: io.signal });
  } finally {
    bar.end();
  }
}

/** Opens and analyses a trace with a progress bar; the kind of test comes from the call or from the trace itself. */
export async function analyseFile(path: string, options: FileAnalysis): Promise<AnalysisResult> {
  const reader = await openShown(path, options.read, options.io);
  try {
    return (await analyseOpened(reader, options)).result;
  } finally {
    await reader.close();
  }
}

export async function analyseOpened(reader: TraceReader, options: FileAnalysis): Promise<Analysed> {
  const test = testOf(reader, options.test);
  if (test === null) throw new UsageError(words.doesNotSayWhich(reader.path));
  const bar = progressBar(options.io, 'analyse');
  try {
    const { io, read: _read, ...request } = options;
    return { reader, result: await analyseTrace(reader, { ...request, test, progress: bar.update, signal: io.signal }) };
  } finally {
    bar.end();
  }
}
