import { open, rename, rm, stat } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import type { Problem } from '../../core/problems.ts';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../core/tracefile/arrow.ts';
import { csvHeader, csvRows } from '../../core/tracefile/csv.ts';
import type { SampleBlock } from '../../core/trace.ts';
import { copyTrace } from './copy-trace.ts';
import { ParquetSamples } from './parquet.ts';
import { checkCancelled, explainError, StoreError, type Progress } from './store-error.ts';
import { openTrace, type OpenOptions, type TraceReader } from './trace-reader.ts';
import { TraceWriter } from './trace-writer.ts';

export interface ConvertSummary {
  readonly samples: number;
  readonly problems: readonly Problem[];
}

/**
 * Writes a trace in another form, by the extension of `to`: `.csv`, `.arrows`, `.parquet`, or a capture folder without extension. Streams, so
 * the length does not matter. Files appear whole or not at all; nothing that is there already is written over. Throws StoreError.
 */
export async function convertTrace(from: string, to: string, options: OpenOptions = {}, progress?: Progress, signal?: AbortSignal): Promise<ConvertSummary> {
  const form = extname(to).toLowerCase();
  if (!['', '.csv', '.arrows', '.parquet'].includes(form)) {
    throw new StoreError('wrong-format', `${to}: traces are written as .csv, .arrows, .parquet, or as a folder (a name without extension).`);
  }
  if (await stat(to).then(() => true, () => false)) throw new StoreError('exists', `${to} is there already: choose another name, nothing is written over.`);
  const reader = await openTrace(from, signal === undefined ? options : { ...options, signal });
  try {
    if (form === '') {
      const record = { ...reader.record, id: basename(to) };
      const writer = await TraceWriter.create(to, record);
      await copyTrace(reader, writer, { ...(progress === undefined ? {} : { progress }), ...(signal === undefined ? {} : { signal }) });
    } else {
      await writeWhole(to, (part) => writeForm(form, part, reader, progress, signal));
    }
    return { samples: reader.samples, problems: reader.problems };
  } finally {
    await reader.close();
  }
}

/** Writes into a file beside the target and moves it there when it is whole. */
async function writeWhole(to: string, write: (part: string) => Promise<void>): Promise<void> {
  const part = `${to}.part`;
  try {
    await write(part);
    await rename(part, to);
  } catch (error) {
    await rm(part, { force: true });
    throw explainError(error, `write ${to}`);
  }
}

async function writeForm(form: string, part: string, reader: TraceReader, progress?: Progress, signal?: AbortSignal): Promise<void> {
  if (form === '.parquet') {
    const parquet = new ParquetSamples(part, reader.hasVoltage);
    await eachBlock(reader, async (block) => parquet.add(block), progress, signal);
    parquet.finish();
    return;
  }
  const file = await open(part, 'w');
  try {
    const csv = form === '.csv';
    await file.writeFile(csv ? csvHeader(reader.hasVoltage) : arrowSchemaBytes());
    await eachBlock(reader, async (block) => file.writeFile(csv ? csvRows(block, reader.hasVoltage) : arrowBatchBytes(block)), progress, signal);
    if (!csv) await file.writeFile(arrowStreamEnd());
    await file.sync();
  } finally {
    await file.close();
  }
}

async function eachBlock(reader: TraceReader, use: (block: SampleBlock) => Promise<void>, progress?: Progress, signal?: AbortSignal): Promise<void> {
  let done = 0;
  for await (const block of reader.blocks()) {
    checkCancelled(signal);
    await use(block);
    done += block.timeS.length;
    progress?.(done / Math.max(1, reader.samples));
  }
}
