import { columnEdges, PixelColumns } from '../../../../core/tracefile/window/pixel-columns.ts';
import { joinBlocks, type Gap, type SampleBlock } from '../../../../core/trace.ts';
import type { TraceWindow } from '../types.ts';

/** A window by reading every sample of it; for files without an index. Memory holds four samples a column. */
export async function windowOfBlocks(blocks: AsyncIterable<SampleBlock>, gaps: readonly Gap[], fromS: number, toS: number, columns: number): Promise<TraceWindow> {
  const pixels = new PixelColumns(columnEdges(fromS, toS, columns, gaps));
  let few: SampleBlock[] | null = [];
  let count = 0;
  for await (const block of blocks) {
    pixels.addRows(block);
    count += block.timeS.length;
    few?.push(block);
    if (count > 4 * columns) few = null;
  }
  return few === null ? { ...pixels.points(), reduced: true } : { ...joinBlocks(few, []), reduced: false };
}
