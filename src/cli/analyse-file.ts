import type { ActuationOptions, DrainOptions } from '../core/analysis/options.ts';
import type { AnalysisResult, TestKind } from '../core/analysis/results.ts';
import type { Mark } from '../core/trace.ts';
import { analyseTrace } from '../daemon/threads/analyse-trace.ts';
import { testOf, type Analysed } from '../daemon/prove/gather.ts';
import { openTrace, type OpenOptions, type TraceReader } from '../daemon/store/samples/trace-reader.ts';
import { UsageError, type CliIo } from './io.ts';
import { progressBar } from './progress.ts';
import { en } from '../core/present/en/index.ts';

const words = en.cli.results.analyseFile;

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

/** Opens a trace, hands it to `use`, and closes it whatever happens. */
async function withTrace<Result>(path: string, read: OpenOptions, use: (reader: TraceReader) => Promise<Result>): Promise<Result> {
  const reader = await openTrace(path, read);
  try {
    return await use(reader);
  } finally {
    await reader.close();
  }
}

/** Opens and analyses a trace with a progress bar; the kind of test comes from the call or from the trace itself. */
export async function analyseFile(path: string, options: FileAnalysis): Promise<AnalysisResult> {
  return withTrace(path, { ...options.read, signal: options.io.signal }, async (reader) => (await analyseOpened(reader, options)).result);
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
