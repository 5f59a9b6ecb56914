import { CsvReader, type CsvOptions, type CsvSummary } from '../../../src/core/tracefile/csv/csv.ts';
import type { SampleBlock } from '../../../src/core/trace.ts';

/** All blocks of a small CSV file at once. */
export function readCsv(bytes: Uint8Array, options: CsvOptions = {}): { blocks: SampleBlock[]; summary: CsvSummary } {
  const blocks: SampleBlock[] = [];
  const reader = new CsvReader(options, (block) => blocks.push(block));
  reader.push(bytes);
  return { blocks, summary: reader.end() };
}
