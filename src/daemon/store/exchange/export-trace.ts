import { open, rename, rm } from 'node:fs/promises';
import { arrowBatchBytes, arrowSchemaBytes, arrowStreamEnd } from '../../../core/tracefile/arrow/arrow.ts';
import { csvHeader, csvRows } from '../../../core/tracefile/csv/csv.ts';
import type { SampleFormat } from '../../../core/tracefile/formats.ts';
import type { JobRecord } from '../../../core/tracefile/record.ts';
import type { SampleBlock } from '../../../core/trace.ts';
import { ParquetFile, type ParquetFacts } from './parquet.ts';
import { checkCancelled, StoreError } from '../files/store-error.ts';
import { TraceDigest } from '../samples/trace-digest.ts';
import type { Steps, TraceReader } from '../samples/types.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.exportTrace;

/** Writes a file under another name and renames it at the end: `out` appears whole or not at all. */
export async function appearing(out: string, write: (temporary: string) => Promise<void>): Promise<void> {
  const temporary = `${out}.${process.pid}.part`;
  try {
    await write(temporary);
    await rename(temporary, out);
  } catch (error) {
    await rm(temporary, { force: true });
    throw error;
  }
}

/** Writes an opened trace as one file; `out` appears whole or not at all. */
export async function exportTrace(reader: TraceReader, out: string, format: SampleFormat, steps: Steps): Promise<void> {
  if (format === 'parquet') return exportParquet(reader, out, factsOf(reader, null), steps);
  await appearing(out, async (temporary) => {
    const file = await open(temporary, 'wx');
    try {
      for await (const bytes of exportBytes(reader, WRITERS[format](reader), steps)) await file.writeFile(bytes);
    } finally {
      await file.close();
    }
  });
}

/** What is the same in every row of a trace's Parquet file. */
export function factsOf({ record }: TraceReader, job: JobRecord | null): ParquetFacts {
  return {
    trace_uid: record.trace_uid,
    trace: record.id,
    start: record.start,
    title: record.title,
    test: record.test,
    logger: record.logger.serial ?? record.logger.name,
    thinned: record.thinning !== null,
    simulated: record.simulated,
    job: job?.id ?? null,
    depot_name: job?.depot ?? null,
    vehicle_name: job?.vehicle ?? null,
    circuit: job?.circuit ?? null,
    complaint: job?.complaint ?? null,
    fuse_rating_a: job?.fuse_rating_a ?? null,
  };
}

/** Writes a trace as Parquet. Where the facts name a `trace_uid` the samples must be those it was made of: else StoreError `damaged-block`, and no file. */
export async function exportParquet(reader: TraceReader, out: string, facts: ParquetFacts, steps: Steps, mustBeWhole = false): Promise<void> {
  await appearing(out, async (temporary) => {
    const file = new ParquetFile(temporary, { facts, notes: { 'amptrail.trace': JSON.stringify(reader.record) } });
    const digest = new TraceDigest();
    try {
      for await (const block of counted(reader, steps)) {
        file.add(block);
        if (mustBeWhole) digest.add(block);
      }
      file.finish();
    } finally {
      file.close();
    }
    if (mustBeWhole && digest.uid(reader.record.start) !== facts.trace_uid) {
      throw new StoreError('damaged-block', words.itsSamplesAreNot);
    }
  });
}

/** How a stream of bytes is made: what comes first, each block, what comes last. */
interface BytesWriter {
  readonly head: Uint8Array;
  readonly block: (block: SampleBlock) => Uint8Array;
  readonly end?: Uint8Array;
}

const WRITERS: Readonly<Record<Exclude<SampleFormat, 'parquet'>, (reader: TraceReader) => BytesWriter>> = {
  csv: ({ hasVoltage }) => {
    const encoder = new TextEncoder();
    return { head: encoder.encode(csvHeader(hasVoltage)), block: (block) => encoder.encode(csvRows(block, hasVoltage)) };
  },
  arrows: () => ({ head: arrowSchemaBytes(), block: arrowBatchBytes, end: arrowStreamEnd() }),
};

/** A trace as the bytes of a file, piece by piece. */
async function* exportBytes(reader: TraceReader, { head, block: bytesOf, end }: BytesWriter, steps: Steps): AsyncGenerator<Uint8Array> {
  yield head;
  for await (const block of counted(reader, steps)) yield bytesOf(block);
  if (end !== undefined) yield end;
}

async function* counted(reader: TraceReader, { progress, signal }: Steps): AsyncGenerator<SampleBlock> {
  let done = 0;
  for await (const block of reader.blocks()) {
    checkCancelled(signal);
    yield block;
    done += block.timeS.length;
    progress?.(done / Math.max(1, reader.samples));
  }
}
