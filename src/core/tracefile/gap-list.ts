import type { Gap } from '../trace.ts';
import type { TraceRecord } from './record.ts';

/** Gaps that trace.json lists: more cannot be drawn apart on a screen, and a logger with a bad plug makes a quarter of a million in a night. */
export const LISTED_GAPS = 1000;
/** Rows of gaps.csv: 40 MB. What lies beyond is counted. */
const MAX_GAP_ROWS = 1_000_000;

/** The gaps as trace.json holds them: the longest ones in order of time, and the count and length of all. */
export function listGaps(gaps: readonly Gap[]): Pick<TraceRecord, 'gaps' | 'gap_count' | 'gap_s'> {
  let totalS = 0;
  for (const { startS, endS } of gaps) totalS += endS - startS;
  return { gaps: longest(gaps).map(({ startS, endS }) => ({ start_s: startS, end_s: endS })), gap_count: gaps.length, gap_s: totalS };
}

/** The longest stretches, as many as trace.json lists, in order of time. */
export function longest(stretches: readonly Gap[]): readonly Gap[] {
  if (stretches.length <= LISTED_GAPS) return stretches;
  return [...stretches].sort((a, b) => b.endS - b.startS - (a.endS - a.startS)).slice(0, LISTED_GAPS).sort((a, b) => a.startS - b.startS);
}

/** gaps.csv in pieces of some ten thousand rows; its first line is `start_s,end_s`. */
export function* gapRows(gaps: readonly Gap[]): Generator<string> {
  const ROWS_AT_ONCE = 16_384;
  const rows = Math.min(gaps.length, MAX_GAP_ROWS);
  yield 'start_s,end_s\n';
  for (let from = 0; from < rows; from += ROWS_AT_ONCE) {
    let text = '';
    for (let i = from; i < Math.min(rows, from + ROWS_AT_ONCE); i++) text += `${gaps[i].startS},${gaps[i].endS}\n`;
    yield text;
  }
}
