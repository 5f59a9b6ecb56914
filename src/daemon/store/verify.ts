import { createReadStream } from 'node:fs';
import { createHash } from 'node:crypto';
import { stat } from 'node:fs/promises';
import { extname, join } from 'node:path';
import type { Problem } from '../../core/problems.ts';
import { blockFault } from '../../core/tracefile/arrow-message.ts';
import { INDEX_FILE, readTraceRecord, RECORD_FILE, SAMPLES_FILE } from './record-file.ts';
import { SamplesFile } from './samples-file.ts';
import { checkCancelled, explainError, type Progress } from './store-error.ts';
import { loadIndex, type TraceIndex } from './trace-index.ts';
import { openTrace } from './trace-reader.ts';

export interface DamagedRange {
  readonly start_s: number;
  readonly end_s: number;
  readonly text: string;
}

export interface VerifyReport {
  readonly ok: boolean;
  readonly blocks: number;
  /** samples in whole blocks */
  readonly samples: number;
  readonly damaged: readonly DamagedRange[];
  readonly problems: readonly Problem[];
}

/**
 * Checks every block of a trace: against its CRC-32 in the index where there is one, row by row (rising time, a number in every row), and the whole file
 * against the SHA-256 of trace.json once it has ended. Changes nothing. Throws StoreError when nothing of it can be read.
 */
export async function verifyTrace(path: string, progress?: Progress, signal?: AbortSignal): Promise<VerifyReport> {
  const isFolder = await stat(path).then((facts) => facts.isDirectory(), (error: unknown) => {
    throw explainError(error, `open ${path}`);
  });
  if (!isFolder && extname(path).toLowerCase() !== '.arrows') return verifyText(path, signal);
  const file = SamplesFile.open(isFolder ? join(path, SAMPLES_FILE) : path);
  try {
    const index = await loadIndex(file, isFolder ? join(path, INDEX_FILE) : null, { mayWrite: false, ...(signal === undefined ? {} : { signal }) });
    const damaged = checkBlocks(file, index, progress, signal);
    const problems = [...index.problems];
    for (const problem of index.problems) {
      const lastS = index.table.length === 0 ? 0 : index.table.lastS[index.table.length - 1]!;
      if (problem.code === 'damaged-block' || problem.code === 'cut-short') damaged.push({ start_s: lastS, end_s: lastS, text: problem.text });
    }
    if (isFolder && damaged.length === 0) await checkSum(path, damaged, index);
    const whole = index.table.samples - damaged.reduce((sum, { rows }) => sum + (rows ?? 0), 0);
    return { ok: damaged.length === 0, blocks: index.table.length, samples: whole, damaged: damaged.map(({ rows: _rows, ...range }) => range), problems };
  } finally {
    file.close();
  }
}

type Damage = DamagedRange & { readonly rows?: number };

function checkBlocks(file: SamplesFile, { table }: TraceIndex, progress?: Progress, signal?: AbortSignal): Damage[] {
  const damaged: Damage[] = [];
  const size = file.size();
  for (let i = 0; i < table.length; i++) {
    checkCancelled(signal);
    const entry = table.entry(i);
    const text = blockTrouble(file, entry.offset, entry.bytes, entry.crc32, size);
    if (text !== null) damaged.push({ start_s: entry.firstS, end_s: entry.lastS, text, rows: entry.rows });
    progress?.((i + 1) / table.length);
  }
  return damaged;
}

function blockTrouble(file: SamplesFile, offset: number, bytes: number, crc32: number, size: number): string | null {
  if (offset + bytes > size) return 'the file ends before this block does';
  if (file.crcOf(offset, bytes) !== crc32) return 'its bytes do not fit their checksum';
  const found = file.messageAt(offset, offset + bytes);
  if ('end' in found) return found.text;
  for (const block of file.rows(found)) {
    const fault = blockFault(block, -Infinity);
    if (fault !== null) return fault;
  }
  return null;
}

/** A file whose blocks are all whole can still have been exchanged: then its sum differs from the one in trace.json. */
async function checkSum(folder: string, damaged: Damage[], { table }: TraceIndex): Promise<void> {
  const { record } = await readTraceRecord(join(folder, RECORD_FILE), '');
  if (record.sha256 === null) return;
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(join(folder, SAMPLES_FILE))) hash.update(chunk as Buffer);
  if (hash.digest('hex') === record.sha256) return;
  const lastS = table.length === 0 ? 0 : table.lastS[table.length - 1]!;
  damaged.push({ start_s: table.length === 0 ? 0 : table.firstS[0]!, end_s: lastS, text: 'the samples are not those that were recorded: their SHA-256 differs from the one in trace.json' });
}

async function verifyText(path: string, signal?: AbortSignal): Promise<VerifyReport> {
  const reader = await openTrace(path, signal === undefined ? {} : { signal });
  try {
    return { ok: true, blocks: 1, samples: reader.samples, damaged: [], problems: reader.problems };
  } finally {
    await reader.close();
  }
}
