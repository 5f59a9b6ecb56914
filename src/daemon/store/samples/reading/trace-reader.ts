import { stat } from 'node:fs/promises';
import { extname } from 'node:path';
import { openArrowTrace } from './arrow-trace.ts';
import { calibratedReader } from './corrected-trace.ts';
import { openCsvTrace } from './csv-trace.ts';
import { explainError, StoreError } from '../../files/store-error.ts';
import type { OpenOptions, TraceReader } from '../types.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.traceReader;

export type { OpenOptions, TraceReader, TraceWindow } from '../types.ts';

/**
 * Opens a trace folder, a `.csv` or a `.arrows` file. Throws StoreError, whose text says what is wrong and what to do. Never changes the
 * file; a folder whose index is missing or stale gets a new index if it can be written.
 */
export async function openTrace(path: string, options: OpenOptions = {}): Promise<TraceReader> {
  const found = await stat(path).catch((error: unknown) => Promise.reject(explainError(error, words.openTheTrace(path))));
  // a pipe could be waited for until the end of time
  if (!found.isDirectory() && !found.isFile()) throw new StoreError('wrong-format', words.isAPipeOr(path));
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
      throw new StoreError('wrong-format', words.parquetIsWrittenBut(path));
    default:
      throw new StoreError('wrong-format', words.aTraceIsA(path));
  }
}
