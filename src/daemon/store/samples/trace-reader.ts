import { stat } from 'node:fs/promises';
import { extname } from 'node:path';
import { openArrowTrace } from './arrow-trace.ts';
import { calibratedReader } from './corrected-trace.ts';
import { openCsvTrace } from './csv-trace.ts';
import { explainError, StoreError } from '../files/store-error.ts';
import type { OpenOptions, TraceReader } from './types.ts';

export type { OpenOptions, TraceReader, TraceWindow } from './types.ts';

/**
 * Opens a trace folder, a `.csv` or a `.arrows` file. Throws StoreError, whose text says what is wrong and what to do. Never changes the
 * file; a folder whose index is missing or stale gets a new index if it can be written.
 */
export async function openTrace(path: string, options: OpenOptions = {}): Promise<TraceReader> {
  const found = await stat(path).catch((error: unknown) => Promise.reject(explainError(error, `open the trace ${path}`)));
  // a pipe could be waited for until the end of time
  if (!found.isDirectory() && !found.isFile()) throw new StoreError('wrong-format', `${path} is a pipe or a device, not a file. Give a trace folder, or a file on a disk.`);
  if (found.isDirectory()) {
    const reader = await openArrowTrace(path, 'folder', options);
    return options.asRecorded === true ? reader : calibratedReader(reader);
  }
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
