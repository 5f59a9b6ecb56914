import type { Gap } from '../../core/trace.ts';
import { windowOfPieces } from '../../core/tracefile/pixel-columns.ts';
import type { SampleFrame } from '../../core/wire/sample-frame.ts';
import type { SampleRing } from './ring.ts';
import type { TraceWindow } from '../store/samples/trace-reader.ts';

export interface LiveWindow {
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
  const window = windowOfPieces(ring.blocks(fromS, toS), gaps, fromS, toS, columns);
  const whole = wholeFromS === null || fromS >= wholeFromS;
  return { ...window, sequence: 0, reduced: window.reduced || !whole, startS: fromS, endS: toS };
}
