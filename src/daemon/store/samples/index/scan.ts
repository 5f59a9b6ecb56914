import { setImmediate } from 'node:timers/promises';
import type { Problem } from '../../../../core/problems.ts';
import { blockFault } from '../../../../core/tracefile/arrow/message.ts';
import type { BatchEntry } from '../../../../core/tracefile/arrow/batch-table.ts';
import { findHoles, GAP_PERIODS } from '../../../../core/tracefile/gap-finder.ts';
import type { SampleBlock } from '../../../../core/trace.ts';
import type { FoundBatch, SamplesFile } from '../samples-file.ts';
import type { Progress } from '../../files/progress.ts';
import { checkCancelled, StoreError } from '../../files/store-error.ts';
import { language } from '../../../../core/present/language.ts';

const words = language.daemon.store.scan;

export interface ScanOptions {
  readonly progress?: Progress;
  readonly signal?: AbortSignal;
}

/** Where a walk begins: at the first batch, or after those an index knows already. */
interface ScanStart {
  readonly offset: number;
  /** time and usual interval of the sample before, -Infinity and 0 at the beginning */
  readonly lastS: number;
  readonly periodS: number;
}

interface ScanEnd {
  /** bytes up to the end of the last whole batch */
  readonly wholeBytes: number;
  readonly problems: readonly Problem[];
}

/** Bytes read between two looks at the rest of the world: some ten milliseconds. */
const YIELD_BYTES = 4 << 20;

/**
 * Walks a samples file from `start` to its end and hands on every batch, or piece of one, as an index entry with its rows. Every row is checked. Needed where there is no
 * index, or not for all of the file. What follows a damaged message cannot be found without an index, so the walk ends there.
 */
export async function scanSamples(file: SamplesFile, start: ScanStart, options: ScanOptions, onEntry: (entry: BatchEntry, block: SampleBlock) => void): Promise<ScanEnd> {
  const size = file.size();
  let { offset, lastS, periodS } = start;
  let sinceYield = 0;
  const stop = (code: Problem['code'], text: string): ScanEnd => ({ wholeBytes: offset, problems: [{ code, text }] });
  for (;;) {
    const found = file.messageAt(offset, size);
    if ('end' in found) {
      options.progress?.(1);
      if (found.end === 'damaged') return stop('damaged-block', words.isDamagedAtByte(file.path, offset, found.text));
      if (found.end === 'cut' && offset !== size) return stop('cut-short', words.wasCutOffWhile(file.path));
      return { wholeBytes: offset, problems: [] };
    }
    let crc = -1;
    let fromRow = 0;
    for (const rows of file.rows(found)) {
      if (rows.timeS.length === 0) continue;
      const fault = blockFault(rows, lastS);
      if (fault !== null) {
        if (lastS === -Infinity) throw new StoreError('wrong-format', words.cannotBeUsedA(file.path, fault));
        return stop('damaged-block', words.inTheBlockAt(file.path, offset, fault));
      }
      if (crc < 0) crc = file.crcOf(found.offset, found.bytes);
      const parts = pieces(rows);
      for (const piece of parts) {
        const count = piece.timeS.length;
        const pieceS = count < 2 ? periodS : (piece.timeS[count - 1]! - piece.timeS[0]!) / (count - 1);
        const longestS = Math.max(pieceS, periodS);
        // pieces are split where a hole is; between batches the rule is the hole finder's, with the batches' own intervals
        const gapBefore = lastS !== -Infinity && (piece !== parts[0] || (longestS > 0 && piece.timeS[0]! - lastS > GAP_PERIODS * longestS));
        onEntry(entryOf(found, crc, fromRow, piece, gapBefore), piece);
        fromRow += count;
        lastS = piece.timeS[count - 1]!;
        periodS = pieceS;
      }
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
}

/** A block split at the holes in time inside it, as views; blocks of our own have none. */
function pieces(block: SampleBlock): SampleBlock[] {
  const holes = findHoles(block.timeS);
  if (holes.length === 0) return [block];
  return [...holes, block.timeS.length].map((to, at) => {
    const from = at === 0 ? 0 : holes[at - 1]!;
    return { timeS: block.timeS.subarray(from, to), currentA: block.currentA.subarray(from, to), voltageV: block.voltageV?.subarray(from, to) ?? null };
  });
}

function entryOf(found: FoundBatch, crc32: number, fromRow: number, block: SampleBlock, gapBefore: boolean): BatchEntry {
  return {
    offset: found.offset,
    bytes: found.bytes,
    crc32,
    fromRow,
    rows: block.timeS.length,
    firstS: block.timeS[0]!,
    lastS: block.timeS[block.timeS.length - 1]!,
    hasVoltage: block.voltageV !== null,
    gapBefore,
    nodesAt: -1,
  };
}
