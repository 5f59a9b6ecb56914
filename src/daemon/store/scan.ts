import { setImmediate } from 'node:timers/promises';
import type { Problem } from '../../core/problems.ts';
import { blockFault } from '../../core/tracefile/arrow-message.ts';
import { BatchTable } from '../../core/tracefile/batch-table.ts';
import { GAP_PERIODS } from '../../core/tracefile/gap-finder.ts';
import type { SampleBlock } from '../../core/trace.ts';
import type { FoundBatch, SamplesFile } from './samples-file.ts';
import { checkCancelled, StoreError, type Progress } from './store-error.ts';

export interface ScanOptions {
  readonly progress?: Progress;
  readonly signal?: AbortSignal;
}

export interface Scan {
  readonly table: BatchTable;
  readonly problems: readonly Problem[];
  /** bytes up to the end of the last whole batch */
  readonly wholeBytes: number;
  readonly ended: boolean;
}

/** Bytes read between two looks at the rest of the world. */
const YIELD_BYTES = 32 << 20;

/**
 * Walks a samples file from end to end and lists its batches; every row is checked. Needed where there is no index, or not for all of the file.
 * What follows a damaged message cannot be found without the index, so the walk ends there.
 */
export async function scanSamples(file: SamplesFile, options: ScanOptions): Promise<Scan> {
  const table = new BatchTable();
  const problems: Problem[] = [];
  const size = file.size();
  let offset = file.dataAt;
  let sinceYield = 0;
  let ended = false;
  let lastS = -Infinity;
  let lastPeriodS = 0;
  for (;;) {
    const found = file.messageAt(offset, size);
    if ('end' in found) {
      ended = found.end === 'stream-end';
      if (found.end === 'damaged') {
        problems.push({ code: 'damaged-block', text: `${file.path} is damaged at byte ${offset}: ${found.text}. Samples up to ${Math.max(0, lastS)} s are read.` });
      } else if (found.end === 'cut' && offset !== size) {
        problems.push({ code: 'cut-short', text: `${file.path} was cut off while it was written: everything up to the last whole block is read.` });
      }
      break;
    }
    for (const block of file.rows(found)) {
      if (block.timeS.length === 0) continue;
      const fault = blockFault(block, lastS);
      if (fault !== null) {
        if (table.length === 0) throw new StoreError('wrong-format', `${file.path} cannot be used: ${fault}. A trace needs rising time and a number in every row.`);
        problems.push({ code: 'damaged-block', text: `${file.path}: block at byte ${offset}: ${fault}. Samples up to ${lastS} s are read.` });
        return { table, problems, wholeBytes: offset, ended: false };
      }
      const periodS = block.timeS.length < 2 ? lastPeriodS : (block.timeS[block.timeS.length - 1]! - block.timeS[0]!) / (block.timeS.length - 1);
      const gapBefore = table.length > 0 && block.timeS[0]! - lastS > GAP_PERIODS * Math.max(periodS, lastPeriodS) && Math.max(periodS, lastPeriodS) > 0;
      pushBatch(table, file, found, block, gapBefore);
      lastS = block.timeS[block.timeS.length - 1]!;
      lastPeriodS = periodS;
    }
    offset += found.bytes;
    sinceYield += found.bytes;
    if (sinceYield > YIELD_BYTES) {
      sinceYield = 0;
      options.progress?.(offset / size);
      await setImmediate();
      checkCancelled(options.signal);
    }
  }
  options.progress?.(1);
  return { table, problems, wholeBytes: offset, ended };
}

function pushBatch(table: BatchTable, file: SamplesFile, found: FoundBatch, block: SampleBlock, gapBefore: boolean): void {
  table.push({
    offset: found.offset,
    bytes: found.bytes,
    crc32: file.crcOf(found.offset, found.bytes),
    rows: block.timeS.length,
    firstS: block.timeS[0]!,
    lastS: block.timeS[block.timeS.length - 1]!,
    hasVoltage: block.voltageV !== null,
    gapBefore,
  });
}

