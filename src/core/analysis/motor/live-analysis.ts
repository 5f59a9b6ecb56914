import { joinBlocks, lowerBound, type Gap, type Mark, type SampleBlock, type Trace } from '../../trace.ts';
import type { ActuationResult } from '../results.ts';
import type { ActuationOptions } from '../options.ts';
import type { LiveAnalysis } from '../live.ts';
import { composeResult } from './compose.ts';
import { readPiece, type Piece } from './piece.ts';

/** The window: at most this many samples are kept (32 MiB with a voltage channel); 210 s at 10 kS/s, 35 min at 1 kS/s. */
export const WINDOW_SAMPLES = 2_097_152;

/**
 * The same analysis, fed block by block. When the window is full, the part up to the last idle moment is read for good and only its
 * figures are kept; a press is cut only if it alone fills the window. Where the window fills depends on the number of samples, not on
 * the blocks, so any block sizes give the same result. `windowSamples` is smaller in tests only.
 */
export function createLiveActuation(options: ActuationOptions, windowSamples: number = WINDOW_SAMPLES): LiveAnalysis<ActuationResult> {
  const finished: Piece[] = [];
  const gaps: Gap[] = [];
  let blocks: SampleBlock[] = [];
  let kept = 0;
  const window = (): Trace => {
    const joined = joinBlocks(blocks, []);
    const last = joined.timeS.length - 1;
    return { ...joined, gaps: last < 0 ? gaps : gaps.filter((gap) => gap.startS >= joined.timeS[0] && gap.endS <= joined.timeS[last]) };
  };
  const closeWindow = (): void => {
    const whole = window();
    const cut = cutIndex(readPiece(whole, options), whole);
    finished.push(readPiece(slice(whole, 0, cut), options));
    const rest = slice(whole, cut, kept);
    blocks = rest.timeS.length > 0 ? [{ timeS: rest.timeS.slice(), currentA: rest.currentA.slice(), voltageV: rest.voltageV?.slice() ?? null }] : [];
    kept = rest.timeS.length;
  };
  return {
    push(block: SampleBlock): void {
      let from = 0;
      while (from < block.timeS.length) {
        const to = Math.min(block.timeS.length, from + windowSamples - kept);
        blocks.push(slice(block, from, to));
        kept += to - from;
        from = to;
        if (kept >= windowSamples) closeWindow();
      }
    },
    gap(gap: Gap): void {
      gaps.push(gap);
    },
    mark(_mark: Mark): void {},
    result(): ActuationResult {
      return composeResult(kept > 0 || finished.length === 0 ? [...finished, readPiece(window(), options)] : finished, options);
    },
  };
}

function slice<Columns extends SampleBlock>(columns: Columns, from: number, to: number): Columns {
  return { ...columns, timeS: columns.timeS.subarray(from, to), currentA: columns.currentA.subarray(from, to), voltageV: columns.voltageV === null ? null : columns.voltageV.subarray(from, to) };
}

/** Middle of the last idle moment that leaves more than half of the window behind; the end of the window when there is none. */
function cutIndex(piece: Piece, trace: Trace): number {
  const count = trace.timeS.length;
  const edges = [trace.timeS[0], ...piece.actuations.flatMap((actuation) => [actuation.start_s, actuation.end_s]), trace.timeS[count - 1]];
  for (let e = edges.length - 2; e >= 0; e -= 2) {
    const index = lowerBound(trace.timeS, (edges[e] + edges[e + 1]) / 2);
    if (edges[e + 1] - edges[e] > 0.1 && index > count / 2) return index;
  }
  return count;
}
