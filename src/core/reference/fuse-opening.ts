/**
 * How long a blade fuse may carry a current; a band, never a promise. Type C (ATO: ISO 8820-3, SAE J1284) and type E (MAXI, SAE J1888), each
 * transcribed from public copies of the makers' datasheets (ATOF 287: 160 % and 200 %; 35 and 40 A and MAXI 299: all rows) and, for the other
 * rows of 3 to 30 A and for 110 %, from memory of the standard's table.
 */
interface OpeningRow {
  readonly share: number;
  readonly shortestS: number;
  readonly longestS: number;
}

const HOURS_100_S = 360_000;

const SMALL: readonly OpeningRow[] = [
  { share: 1.1, shortestS: HOURS_100_S, longestS: Infinity },
  { share: 1.35, shortestS: 0.75, longestS: 600 },
  { share: 1.6, shortestS: 0.25, longestS: 50 },
  { share: 2, shortestS: 0.15, longestS: 5 },
  { share: 3.5, shortestS: 0.04, longestS: 0.5 },
  { share: 6, shortestS: 0.02, longestS: 0.1 },
];

/** 35 and 40 A are made in both sizes: the band holds both. At six times the smaller one is published without a shortest time; 1 ms stands for none, since the table is read in logarithms */
const EITHER: readonly OpeningRow[] = [
  { share: 1.1, shortestS: HOURS_100_S, longestS: Infinity },
  { share: 1.35, shortestS: 0.75, longestS: 1800 },
  { share: 2, shortestS: 0.15, longestS: 50 },
  { share: 3.5, shortestS: 0.08, longestS: 7 },
  { share: 6, shortestS: 0.001, longestS: 1 },
];

const LARGE: readonly OpeningRow[] = [
  { share: 1.1, shortestS: HOURS_100_S, longestS: Infinity },
  { share: 1.35, shortestS: 60, longestS: 1800 },
  { share: 2, shortestS: 2, longestS: 50 },
  { share: 3.5, shortestS: 0.2, longestS: 7 },
  { share: 6, shortestS: 0.04, longestS: 1 },
];

interface OpeningBand {
  /** current over rating */
  readonly share: number;
  /** the fuse holds at least this long, s */
  readonly shortestS: number;
  /** and opens at the latest after this, s; Infinity where the table promises no opening */
  readonly longestS: number;
}

/**
 * Band of opening times at a constant current; between rows both edges are joined by straight lines in log-log. Up to 110 % a fuse need
 * not open at all; above 600 % the last row stands. Applies to blade fuses of 3 to 80 A; null for other ratings.
 */
export function openingBand(currentA: number, ratingA: number): OpeningBand | null {
  if (!(ratingA >= 3 && ratingA <= 80) || !(currentA >= 0)) return null;
  const rows = ratingA <= 30 ? SMALL : ratingA <= 40 ? EITHER : LARGE;
  const share = currentA / ratingA;
  const first = rows[0];
  const last = rows[rows.length - 1];
  if (share <= first.share) return { share, shortestS: first.shortestS, longestS: Infinity };
  if (share >= last.share) return { share, shortestS: 0, longestS: last.longestS };
  const above = rows.findIndex((row) => row.share > share);
  const low = rows[above - 1];
  const high = rows[above];
  const part = Math.log(share / low.share) / Math.log(high.share / low.share);
  const between = (from: number, to: number): number => (Number.isFinite(from) ? Math.exp(Math.log(from) + part * Math.log(to / from)) : part > 0 ? Infinity : from);
  return { share, shortestS: between(low.shortestS, high.shortestS), longestS: between(low.longestS, high.longestS) };
}
