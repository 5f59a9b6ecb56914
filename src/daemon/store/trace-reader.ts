import { stat } from 'node:fs/promises';
import { extname } from 'node:path';
import type { ColumnSpec } from '../../core/decode/columns.ts';
import type { Problem } from '../../core/problems.ts';
import type { TraceRecord } from '../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock, Trace } from '../../core/trace.ts';
import { openArrowTrace } from './arrow-trace.ts';
import { openCsvTrace } from './csv-trace.ts';
import { explainError, StoreError, type Progress } from './store-error.ts';

/** A trace opened for reading, wherever it comes from. Nothing but its outline is in memory until asked for. */
export interface TraceReader {
  readonly path: string;
  /** as stored; for a plain file of samples what could be found out, the rest unknown */
  readonly record: TraceRecord;
  readonly marks: readonly Mark[];
  readonly gaps: readonly Gap[];
  /** what a person should know about the file: cut short, damaged, rows left out */
  readonly problems: readonly Problem[];
  readonly samples: number;
  /** time of the first and last sample, s; both 0 without samples */
  readonly firstS: number;
  readonly lastS: number;
  /** every sample has a voltage */
  readonly hasVoltage: boolean;
  /** Samples of `[fromS, toS)` in order, in blocks of at most some ten thousand rows without a gap inside. Damaged stretches are left out and stand in `gaps`. */
  blocks(fromS?: number, toS?: number): AsyncIterable<SampleBlock>;
  /** The same as one Trace. Throws StoreError `too-large` above MAX_LOADED_SAMPLES. */
  load(fromS?: number, toS?: number): Promise<Trace>;
  /** What a chart of `columns` pixel columns over `[fromS, toS)` needs: at most 4 points a column that draw what all samples would (core/tracefile/window.ts). */
  window(fromS: number, toS: number, columns: number): Promise<TraceWindow>;
  /** Takes in what has been written since to a capture opened as `growing`; false when the trace has to be opened anew instead. */
  follow(): Promise<boolean>;
  close(): Promise<void>;
}

export interface TraceWindow extends SampleBlock {
  /** false: every sample of the window stands there */
  readonly reduced: boolean;
}

export interface OpenOptions {
  /** for other people's CSV */
  readonly columns?: readonly ColumnSpec[] | null;
  readonly rateHz?: number | null;
  readonly skipBad?: boolean;
  readonly progress?: Progress;
  readonly signal?: AbortSignal;
  /** a capture that is being written: only what its index says already, and `follow` for the rest */
  readonly growing?: boolean;
}

/**
 * Opens a trace folder, a `.csv` or a `.arrows` file. Throws StoreError, whose text says what is wrong and what to do. Never changes the
 * file; a folder whose index is missing or stale gets a new index if it can be written.
 */
export async function openTrace(path: string, options: OpenOptions = {}): Promise<TraceReader> {
  const found = await stat(path).catch((error: unknown) => Promise.reject(explainError(error, `open the trace ${path}`)));
  // a pipe could be waited for until the end of time
  if (!found.isDirectory() && !found.isFile()) throw new StoreError('wrong-format', `${path} is a pipe or a device, not a file. Give a trace folder, or a file on a disk.`);
  if (found.isDirectory()) return openArrowTrace(path, 'folder', options);
  switch (extname(path).toLowerCase()) {
    case '.csv':
    case '.txt':
    case '.tsv':
      return openCsvTrace(path, options);
    case '.arrows':
      return openArrowTrace(path, 'file', options);
    case '.parquet':
      throw new StoreError('wrong-format', `${path}: Parquet is written but not read. Use the trace folder, its .csv or its .arrows.`);
    default:
      throw new StoreError('wrong-format', `${path}: a trace is a folder, or a file whose name ends in .csv or .arrows.`);
  }
}
