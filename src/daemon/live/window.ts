import { setImmediate } from 'node:timers/promises';
import type { Gap, SampleBlock } from '../../core/trace.ts';
import { allOf, columnEdges, fewEnough, piecesInside, PixelColumns } from '../../core/tracefile/window/pixel-columns.ts';
import type { SampleFrame } from '../../core/wire/sample-frame.ts';
import type { SampleRing } from './ring.ts';
import type { TraceWindow } from '../store/samples/reading/trace-reader.ts';

interface LiveWindow {
  readonly ring: SampleRing;
  readonly gaps: readonly Gap[];
  /** live time of trace time 0 of the running recording, null when none runs */
  readonly recordedFromS: number | null;
  /** a window of the running recording in its own time, as far as it is on the disk; null when it cannot be read */
  readonly recordedWindow: (fromS: number, toS: number, columns: number) => Promise<TraceWindow | null>;
}

/** `[fromS, toS)` of live time for a chart of so many columns; what the ring no longer holds comes from the running recording. */
export async function liveWindow({ ring, gaps, recordedFromS, recordedWindow }: LiveWindow, fromS: number, toS: number, columns: number): Promise<SampleFrame> {
  const wholeFromS = ring.rawFromS;
  if (recordedFromS !== null && wholeFromS !== null && fromS < wholeFromS && toS > recordedFromS) {
    const window = await recordedWindow(fromS - recordedFromS, toS - recordedFromS, columns);
    if (window !== null) return { ...window, timeS: window.timeS.map((timeS) => timeS + recordedFromS), sequence: 0, startS: fromS, endS: toS };
  }
  const window = await windowInTurns(ring.blocks(fromS, toS), gaps, fromS, toS, columns);
  const whole = wholeFromS === null || fromS >= wholeFromS;
  return { ...window, sequence: 0, reduced: window.reduced || !whole, startS: fromS, endS: toS };
}

/** Rows looked at in one turn of the event loop: about a millisecond. The ring holds 3.6 M, and looked at in one piece they would hold up the reader of the logger. */
const ROWS_A_TURN = 131_072;

/** First, last, least and greatest of each pixel column, in turns with everything else; the pieces are views that stay as they are meanwhile. */
async function windowInTurns(pieces: readonly SampleBlock[], gaps: readonly Gap[], fromS: number, toS: number, columns: number): Promise<SampleBlock & { readonly reduced: boolean }> {
  const parts = piecesInside(pieces, fromS, toS);
  if (fewEnough(parts, columns)) return allOf(parts);
  const pixels = new PixelColumns(columnEdges(fromS, toS, columns, gaps));
  let rows = 0;
  for (const part of parts) {
    pixels.addRows(part);
    rows += part.timeS.length;
    if (rows < ROWS_A_TURN) continue;
    rows = 0;
    await setImmediate();
  }
  return { ...pixels.points(), reduced: true };
}
