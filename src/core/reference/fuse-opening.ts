/**
 * How long a blade fuse may carry a current; a band, never a promise. Type C (ATO: ISO 8820-3, SAE J1284) and type E (MAXI, SAE J1888), each
 * transcribed from public copies of the makers' datasheets (ATOF 287: 160 % and 200 %; 35 and 40 A and MAXI 299: all rows) and, for the other
 * rows of 3 to 30 A and for 110 %, from memory of the standard's table.
 */
const HOURS_100_S = 360_000;

/**
 * By current over rating, the shortest and the longest opening time, s: small up to 30 A, large from 50 A. 35 and 40 A are made in both sizes: the band of
 * `either` holds both. At six times the small one is published without a shortest time; 1 ms is none, since the table is read in logarithms.
 */
const OPENING = {
  small: [[1.1, HOURS_100_S, Infinity], [1.35, 0.75, 600], [1.6, 0.25, 50], [2, 0.15, 5], [3.5, 0.04, 0.5], [6, 0.02, 0.1]],
  either: [[1.1, HOURS_100_S, Infinity], [1.35, 0.75, 1800], [2, 0.15, 50], [3.5, 0.08, 7], [6, 0.001, 1]],
  large: [[1.1, HOURS_100_S, Infinity], [1.35, 60, 1800], [2, 2, 50], [3.5, 0.2, 7], [6, 0.04, 1]],
} as const satisfies Readonly<Record<string, readonly (readonly [share: number, shortestS: number, longestS: number])[]>>;

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
 * not open at all; above 600 % the last row applies. Applies to blade fuses of 3 to 80 A; null for other ratings.
 */
export function openingBand(currentA: number, ratingA: number): OpeningBand | null {
  if (!(ratingA >= 3 && ratingA <= 80) || !(currentA >= 0)) return null;
  const rows = OPENING[ratingA <= 30 ? 'small' : ratingA <= 40 ? 'either' : 'large'].map(([of, shortestS, longestS]): OpeningBand => ({ share: of, shortestS, longestS }));
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
