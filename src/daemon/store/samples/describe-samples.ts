import { createWriteStream } from 'node:fs';
import { rm } from 'node:fs/promises';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { gapsOfTable, rateOfTable, type BatchTable } from '../../../core/tracefile/arrow/batch-table.ts';
import { gapRows, LISTED_GAPS, listGaps } from '../../../core/tracefile/gap-list.ts';
import type { TraceRecord } from '../../../core/tracefile/record.ts';
import type { Gap } from '../../../core/trace.ts';
import { GAPS_FILE } from '../files/record-file.ts';

/** What only the samples tell of a trace, as trace.json holds it. */
type SampleFacts = Pick<TraceRecord, 'samples' | 'duration_s' | 'rate_hz' | 'gaps' | 'gap_count' | 'gap_s'>;

export function factsOfTable(table: BatchTable, gaps: readonly Gap[] = gapsOfTable(table)): SampleFacts {
  return {
    samples: table.samples,
    duration_s: table.length === 0 ? 0 : table.lastS[table.length - 1]! - table.firstS[0]!,
    rate_hz: rateOfTable(table),
    ...listGaps(gaps),
  };
}

/** Writes gaps.csv where trace.json cannot list them all, and takes an old one away where it can. It is derived from the samples: a disk that refuses it costs nothing else. */
export async function writeGapsFile(folder: string, gaps: readonly Gap[]): Promise<void> {
  const path = join(folder, GAPS_FILE);
  try {
    await rm(path, { force: true });
    if (gaps.length > LISTED_GAPS) await pipeline(Readable.from(gapRows(gaps)), createWriteStream(path));
  } catch {
    await rm(path, { force: true }).catch(() => undefined);
  }
}
