import { joinBlocks, lowerBound, type SampleBlock, type Trace } from '../../../core/trace.ts';
import { StoreError } from '../files/store-error.ts';
import type { TraceReader } from './types.ts';
import { language } from '../../../core/present/language.ts';

const words = language.daemon.store.blocks;

/** 64 M samples are 1 GB as columns: half a day at 1 kS/s, and about what a small machine can hold beside an analysis. */
const MAX_LOADED_SAMPLES = 64 * 1024 * 1024;

/** Collects blocks into one Trace; shared by the readers. */
export async function loadBlocks(reader: TraceReader, fromS: number, toS: number): Promise<Trace> {
  const blocks: SampleBlock[] = [];
  let samples = 0;
  for await (const block of reader.blocks(fromS, toS)) {
    samples += block.timeS.length;
    if (samples > MAX_LOADED_SAMPLES) {
      throw new StoreError('too-large', words.moreThanSamplesAt(reader.path, MAX_LOADED_SAMPLES));
    }
    blocks.push(block);
  }
  const gaps = reader.gaps.filter((gap) => gap.endS > fromS && gap.startS < toS).map((gap) => ({ startS: Math.max(gap.startS, fromS), endS: Math.min(gap.endS, toS) }));
  return joinBlocks(blocks, gaps);
}

/** The part of a block in `[fromS, toS)`, as views; null when there is none. */
export function clip(block: SampleBlock, fromS: number, toS: number): SampleBlock | null {
  const startIndex = lowerBound(block.timeS, fromS);
  const endIndex = lowerBound(block.timeS, toS, startIndex);
  if (startIndex === endIndex) return null;
  if (startIndex === 0 && endIndex === block.timeS.length) return block;
  return {
    timeS: block.timeS.subarray(startIndex, endIndex),
    currentA: block.currentA.subarray(startIndex, endIndex),
    voltageV: block.voltageV === null ? null : block.voltageV.subarray(startIndex, endIndex),
  };
}
