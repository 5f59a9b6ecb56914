import type { Gap, SampleBlock } from '../../../src/core/trace.ts';
import { allOf, columnEdges, fewEnough, piecesInside, PixelColumns } from '../../../src/core/tracefile/window/pixel-columns.ts';

/** A chart's window in one go: what the live view does in turns and a stored trace from its levels. */
export function wholeWindow(pieces: readonly SampleBlock[], gaps: readonly Gap[], fromS: number, toS: number, columns: number): SampleBlock & { reduced: boolean } {
  const parts = piecesInside(pieces, fromS, toS);
  if (fewEnough(parts, columns)) return allOf(parts);
  const pixels = new PixelColumns(columnEdges(fromS, toS, columns, gaps));
  for (const part of parts) pixels.addRows(part);
  return { ...pixels.points(), reduced: true };
}
