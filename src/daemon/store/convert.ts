import { constants } from 'node:fs';
import { access, open, rename, rm } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../core/tracefile/arrow.ts';
import { csvHeader, csvRows } from '../../core/tracefile/csv.ts';
import { emptyTraceRecord } from '../../core/tracefile/trace-json.ts';
import type { Problem } from '../../core/problems.ts';
import type { SampleBlock } from '../../core/trace.ts';
import { copyTrace } from './copy-trace.ts';
import { exportFleet, fleetKind } from './fleet.ts';
import { ParquetFile, type ParquetFacts } from './parquet.ts';
import { checkCancelled, explainError, StoreError, type Progress } from './store-error.ts';
import { openTrace, type OpenOptions, type TraceReader } from './trace-reader.ts';
import { TraceWriter } from './trace-writer.ts';

export interface ConvertSummary {
  readonly samples: number;
  readonly problems: readonly Problem[];
}

/**
 * Writes a trace in another form, told by the ending of `out`: `.csv`, `.arrows`, `.parquet`, or none for a trace folder. The file is made under another name and renamed
 * at the end, so that a cancelled or failed conversion leaves nothing that looks whole. Never writes over something. Throws StoreError.
 *
 * A whole data folder, or the folder of a job, becomes partitioned Parquet in the folder `out` (fleet.ts).
 */
export async function convertTrace(from: string, out: string, options: OpenOptions = {}, progress?: Progress, signal?: AbortSignal): Promise<ConvertSummary> {
  const steps = { ...(progress === undefined ? {} : { progress }), ...(signal === undefined ? {} : { signal }) };
  const ending = extname(out).toLowerCase();
  if (ending === '' && fleetKind(from) !== null) return exportFleet(from, out, steps);
  if (!['', '.csv', '.arrows', '.parquet'].includes(ending)) throw new StoreError('wrong-format', `${out}: a trace is written as .csv, .arrows or .parquet, or as a folder (no ending).`);
  if (await access(out, constants.F_OK).then(() => true, () => false)) throw new StoreError('exists', `${out} is there already. Choose another name; nothing is written over.`);
  const reader = await openTrace(from, { ...options, ...steps });
  try {
    if (ending === '') {
      const record = { ...emptyTraceRecord(basename(out), reader.record.start, reader.record.software), ...reader.record, id: basename(out), end: 'running' as const, sha256: null };
      const writer = await TraceWriter.create(out, record, { durable: false });
      try {
        await copyTrace(reader, writer, steps);
      } catch (error) {
        await writer.finish('source-ended').catch(() => undefined);
        await rm(out, { recursive: true, force: true });
        throw error;
      }
    } else await exportTrace(reader, out, ending as ExportEnding, steps);
    return { samples: reader.samples, problems: reader.problems };
  } catch (error) {
    throw explainError(error, `write ${out}`);
  } finally {
    await reader.close();
  }
}

export type ExportEnding = '.csv' | '.arrows' | '.parquet';

/** Writes an opened trace as one file; `out` appears whole or not at all. */
export async function exportTrace(reader: TraceReader, out: string, ending: ExportEnding, steps: { progress?: Progress; signal?: AbortSignal }, facts: ParquetFacts = {}): Promise<void> {
  const temporary = `${out}.${process.pid}.part`;
  try {
    if (ending === '.parquet') await exportParquet(reader, temporary, steps, facts);
    else {
      const file = await open(temporary, 'wx');
      try {
        for await (const bytes of exportBytes(reader, ending, steps)) await file.writeFile(bytes);
      } finally {
        await file.close();
      }
    }
    await rename(temporary, out);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
}

/** A trace as the bytes of a CSV or Arrow file, piece by piece; also what a page downloads. */
export async function* exportBytes(reader: TraceReader, ending: '.csv' | '.arrows', steps: { progress?: Progress; signal?: AbortSignal }): AsyncGenerator<Uint8Array> {
  const { hasVoltage } = reader;
  const encoder = new TextEncoder();
  yield ending === '.csv' ? encoder.encode(csvHeader(hasVoltage)) : arrowSchemaBytes();
  for await (const block of counted(reader, steps)) yield ending === '.csv' ? encoder.encode(csvRows(block, hasVoltage)) : arrowBatchBytes(block);
  if (ending === '.arrows') yield arrowStreamEnd();
}

async function exportParquet(reader: TraceReader, path: string, steps: { progress?: Progress; signal?: AbortSignal }, facts: ParquetFacts): Promise<void> {
  const { record } = reader;
  const file = new ParquetFile(path, { withVoltage: reader.hasVoltage, facts, notes: { 'amptrail.trace': JSON.stringify(record) } });
  try {
    for await (const block of counted(reader, steps)) file.add(block);
    file.finish();
  } finally {
    file.close();
  }
}

async function* counted(reader: TraceReader, { progress, signal }: { progress?: Progress; signal?: AbortSignal }): AsyncGenerator<SampleBlock> {
  let done = 0;
  for await (const block of reader.blocks()) {
    checkCancelled(signal);
    yield block;
    done += block.timeS.length;
    progress?.(done / Math.max(1, reader.samples));
  }
}
