/**
 * How long a blade fuse may carry a current: ISO 8820-3 type C (ATO, SAE J1284), 3 to 30 A. Transcribed from a public copy of the ATOF 287
 * datasheet (200 %, 160 %) and, for 110 %, 135 %, 350 % and 600 %, from memory of the standard's table; a band, never a promise.
 */
interface OpeningRow {
  readonly share: number;
  readonly shortestS: number;
  readonly longestS: number;
}

const ROWS: readonly OpeningRow[] = [
  { share: 1.1, shortestS: 360_000, longestS: Infinity },
  { share: 1.35, shortestS: 0.75, longestS: 600 },
  { share: 1.6, shortestS: 0.25, longestS: 50 },
  { share: 2, shortestS: 0.15, longestS: 5 },
  { share: 3.5, shortestS: 0.04, longestS: 0.5 },
  { share: 6, shortestS: 0.02, longestS: 0.1 },
];

export interface OpeningBand {
  /** current over rating */
  readonly share: number;
  /** the fuse holds at least this long, s */
  readonly shortestS: number;
  /** and opens at the latest after this, s; Infinity where the table promises no opening */
  readonly longestS: number;
}

/**
 * Band of opening times at a constant current; between rows both edges are joined by straight lines in log-log. Up to 110 % a fuse need
 * not open at all; above 600 % the last row stands. Applies to 3 to 30 A fuses; null for other ratings.
 */
export function openingBand(currentA: number, ratingA: number): OpeningBand | null {
  if (!(ratingA >= 3 && ratingA <= 30) || !(currentA >= 0)) return null;
  const share = currentA / ratingA;
  const first = ROWS[0];
  const last = ROWS[ROWS.length - 1];
  if (share <= first.share) return { share, shortestS: first.shortestS, longestS: Infinity };
  if (share >= last.share) return { share, shortestS: 0, longestS: last.longestS };
  const above = ROWS.findIndex((row) => row.share > share);
  const low = ROWS[above - 1];
  const high = ROWS[above];
  const part = Math.log(share / low.share) / Math.log(high.share / low.share);
  const between = (from: number, to: number): number => (Number.isFinite(from) ? Math.exp(Math.log(from) + part * Math.log(to / from)) : part > 0 ? Infinity : from);
  return { share, shortestS: between(low.shortestS, high.shortestS), longestS: between(low.longestS, high.longestS) };
}
