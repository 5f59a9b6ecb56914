import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { rm, truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { arrowSchemaBytes, arrowStreamEnd } from '../../../../core/tracefile/arrow/arrow.ts';
import { gapsOfTable } from '../../../../core/tracefile/arrow/batch-table.ts';
import { openAppend } from '../../files/append-file.ts';
import { factsOfTable, writeGapsFile } from '../describe-samples.ts';
import { INDEX_FILE, readTraceRecord, RECORD_FILE, RESERVE_FILE, SAMPLES_FILE, writeJson } from '../../files/record-file.ts';
import { SamplesFile } from '../samples-file.ts';
import { loadIndex } from '../index/trace-index.ts';
import { digestOf } from '../trace-digest.ts';
import { openTrace } from '../reading/trace-reader.ts';

/**
 * Closes a capture that was cut by a crash: everything up to the last whole batch stays, the torn rest is cut off, the stream gets its end mark and
 * trace.json says what happened. True when there was something to do. Only for folders nobody is writing to.
 */
export async function recoverTrace(folder: string): Promise<boolean> {
  const recordPath = join(folder, RECORD_FILE);
  const { record, known } = await readTraceRecord(recordPath, '');
  if (!known || record.end !== 'running') return false;
  const samplesPath = join(folder, SAMPLES_FILE);
  let file: SamplesFile;
  try {
    file = SamplesFile.open(samplesPath);
  } catch {
    // the crash came before the first block was on the disk
    await writeFile(samplesPath, arrowSchemaBytes());
    file = SamplesFile.open(samplesPath);
  }
  try {
    const { table, samplesEnd } = await loadIndex(file, join(folder, INDEX_FILE), { mayWrite: true });
    await truncate(samplesPath, samplesEnd);
    const end = await openAppend(samplesPath);
    await end.append(arrowStreamEnd());
    await end.sync();
    await end.close();
    record.id = folder.split(/[\\/]/).pop() ?? '';
    const gaps = gapsOfTable(table);
    Object.assign(record, factsOfTable(table, gaps));
    await writeGapsFile(folder, gaps);
    record.end = 'cut';
    record.end_cause = 'recovered';
    record.sha256 = await sha256Of(samplesPath);
    record.trace_uid = await uidOf(folder, record.start);
    await rm(join(folder, RESERVE_FILE), { force: true });
    await writeJson(recordPath, record);
    return true;
  } finally {
    file.close();
  }
}

async function uidOf(folder: string, start: string): Promise<string> {
  const reader = await openTrace(folder, { asRecorded: true });
  try {
    return await digestOf(reader.blocks(), start);
  } finally {
    await reader.close();
  }
}

/** Hex digest of a file, read in pieces. */
async function sha256Of(path: string, progress?: (bytes: number) => void): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(path, { highWaterMark: 1 << 20 }) as AsyncIterable<Buffer>) {
    hash.update(chunk);
    progress?.(chunk.length);
  }
  return hash.digest('hex');
}
