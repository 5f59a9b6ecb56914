import type { ColumnSpec } from '../../../core/decode/columns.ts';
import type { Problem } from '../../../core/problems.ts';
import type { BatchTable } from '../../../core/tracefile/arrow/batch-table.ts';
import type { Levels } from '../../../core/tracefile/window/levels.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import type { Gap, Mark, SampleBlock, Trace } from '../../../core/trace.ts';
import type { Progress } from '../files/progress.ts';

/** What is in place of the logger's name in the record of a file that was taken in. */
export const TAKEN_IN = 'file';

/** A trace opened for reading, wherever it comes from. Nothing but its outline is in memory until asked for. */
export interface TraceReader {
  readonly path: string;
  /** as stored; for a plain file of samples what could be found out, the rest unknown */
  readonly record: TraceRecord;
  readonly marks: readonly Mark[];
  readonly gaps: readonly Gap[];
  /** what a person should know about the file: cut short, damaged, rows left out */
  readonly problems: readonly Problem[];
  /** without those of blocks that proved damaged when they were read */
  readonly samples: number;
  /** time of the first and last sample, s; both 0 without samples */
  readonly firstS: number;
  readonly lastS: number;
  /** every sample has a voltage */
  readonly hasVoltage: boolean;
  /** Samples of `[fromS, toS)` in order, in blocks of at most some ten thousand rows without a gap inside. Damaged stretches are left out and listed in `gaps`. */
  blocks(fromS?: number, toS?: number): AsyncIterable<SampleBlock>;
  /** The same as one Trace. Throws StoreError `too-large` above MAX_LOADED_SAMPLES. */
  load(fromS?: number, toS?: number): Promise<Trace>;
  /** What a chart of `columns` pixel columns over `[fromS, toS)` needs: at most 4 points a column that draw what all samples would (core/tracefile/window/). */
  window(fromS: number, toS: number, columns: number): Promise<TraceWindow>;
  /** Takes in what has been written since to a capture opened as `growing`; false when the trace has to be opened anew instead. */
  follow(): Promise<boolean>;
  close(): Promise<void>;
}

export interface TraceWindow extends SampleBlock {
  /** false: every sample of the window is there */
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
  /** samples as they were recorded, without the calibration in trace.json: for copies and checks */
  readonly asRecorded?: boolean;
}

/** What is known of a samples file without reading it. */
export interface TraceIndex {
  readonly table: BatchTable;
  readonly levels: Levels;
  /** end of the last whole batch in the samples file */
  readonly samplesEnd: number;
  /** the index file has been read up to here */
  readonly indexEnd: number;
  readonly problems: readonly Problem[];
}

/** Long work can be watched and given up. */
export interface Steps {
  readonly progress?: Progress;
  readonly signal?: AbortSignal;
}
