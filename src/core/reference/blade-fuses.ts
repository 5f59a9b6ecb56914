/**
 * Resistance of cold fuses, for the millivolts method: the fuse itself is the shunt. A value that was read carries its source. Between
 * and beside two read values of one type the resistance follows a straight line in log-log (the element of a larger fuse is a wider strip of
 * the same metal); such a value is marked as reckoned and its spread is wider. Types with less than two read values are not reckoned.
 */
export const FUSE_TYPES = ['ato', 'mini', 'low-mini', 'maxi', 'micro2', 'micro3', 'jcase'] as const;
export type FuseType = (typeof FUSE_TYPES)[number];

/** Names found on packets and in fuse lists, as written there, in small letters (makers' catalogues and ISO 8820-3 types C, E and F). */
const ALIASES: ReadonlyMap<string, FuseType> = new Map(Object.entries<FuseType>({
  atc: 'ato', atof: 'ato', regular: 'ato', standard: 'ato', blade: 'ato', 'type c': 'ato', c: 'ato',
  atm: 'mini', 'type f': 'mini', f: 'mini',
  'low-profile mini': 'low-mini', 'low profile mini': 'low-mini', 'mini low profile': 'low-mini', 'lp-mini': 'low-mini', aps: 'low-mini', att: 'low-mini',
  apx: 'maxi', 'type e': 'maxi', e: 'maxi',
  micro: 'micro2', 'micro 2': 'micro2', apt: 'micro2', atr: 'micro2',
  'micro 3': 'micro3', atl: 'micro3',
  'j-case': 'jcase', cartridge: 'jcase',
}));

/** The type a person meant, or null for a word that names none. */
export function fuseTypeOf(word: string): FuseType | null {
  const plain = word.trim().toLowerCase().replace(/[™®]/g, '');
  return FUSE_TYPES.find((type) => type === plain) ?? ALIASES.get(plain) ?? null;
}

/** Ratings that are made, A (makers' catalogues; colours and steps as in ISO 8820-3). */
export const FUSE_RATINGS_A: Readonly<Record<FuseType, readonly number[]>> = {
  ato: [1, 2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30, 35, 40],
  mini: [2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30],
  'low-mini': [2, 3, 4, 5, 7.5, 10, 15, 20, 25, 30],
  maxi: [20, 25, 30, 35, 40, 50, 60, 70, 80],
  micro2: [3, 4, 5, 7.5, 10, 15, 20, 25, 30],
  micro3: [5, 7.5, 10, 15],
  jcase: [20, 25, 30, 35, 40, 50, 60],
};

interface ReadRow {
  readonly type: FuseType;
  readonly ratingA: number;
  readonly coldOhm: number;
  readonly source: string;
}

const READ_ROWS: readonly ReadRow[] = [
  { type: 'ato', ratingA: 10, coldOhm: 0.0077, source: 'mvwautotechniek.nl training page: 1 mV is 130 mA' },
  { type: 'ato', ratingA: 40, coldOhm: 0.00144, source: 'Littelfuse ATOF 287 data, as transcribed in a public design note' },
  { type: 'mini', ratingA: 15, coldOhm: 0.00458, source: 'MACS Service Reports, June 2017: 1.0 mV is 218 mA' },
  { type: 'maxi', ratingA: 30, coldOhm: 0.0019, source: 'Littelfuse MAXI 299 data, as transcribed in a public design note' },
  { type: 'maxi', ratingA: 35, coldOhm: 0.0017, source: 'Littelfuse MAXI 299 data, as transcribed in a public design note' },
  { type: 'maxi', ratingA: 40, coldOhm: 0.0014, source: 'Littelfuse MAXI 299 data, as transcribed in a public design note' },
];

/** Half-widths of the resistance, as shares: fuse to fuse with the contact of the test points; on a line between read values; on the line beyond them (common practice, no published source). */
const SPREAD = { read: 0.15, between: 0.25, beyond: 0.4 };

/** read: seen in the source named · reckoned: calculated on the line through read values · own: typed in by the user */
export type OhmBasis = 'read' | 'reckoned' | 'own';

export interface FuseOhm {
  readonly ohm: number;
  /** half-width as a share of `ohm` */
  readonly spread: number;
  readonly basis: OhmBasis;
  readonly source: string;
}

/** Resistance of a cold fuse, or null where no value could be read or calculated. */
export function fuseOhm(type: FuseType, ratingA: number): FuseOhm | null {
  const rows = READ_ROWS.filter((row) => row.type === type);
  const exact = rows.find((row) => row.ratingA === ratingA);
  if (exact !== undefined) return { ohm: exact.coldOhm, spread: SPREAD.read, basis: 'read', source: exact.source };
  const first = rows[0];
  const last = rows.at(-1);
  if (first === undefined || last === undefined || first === last || !FUSE_RATINGS_A[type].includes(ratingA)) return null;
  const slope = Math.log(last.coldOhm / first.coldOhm) / Math.log(last.ratingA / first.ratingA);
  const between = ratingA > first.ratingA && ratingA < last.ratingA;
  return {
    ohm: first.coldOhm * (ratingA / first.ratingA) ** slope,
    spread: between ? SPREAD.between : SPREAD.beyond,
    basis: 'reckoned',
    source: `calculated from the ${first.ratingA} A and ${last.ratingA} A fuse of this type`,
  };
}

/** A resistance that the user typed in: measured or from the maker's sheet, it still varies from fuse to fuse. */
export function ownFuseOhm(ohm: number): FuseOhm {
  return { ohm, spread: SPREAD.read, basis: 'own', source: 'typed in' };
}

/** Above this share of the rating the fuse warms and the method reads high (Littelfuse ATOF 287 and MAXI 299: the drop at the rated current is above that of the cold resistance). */
export const COLD_SHARE = 0.2;
/** A 40 A ATO fuse drops 96 mV at its rating: 2.40 mohm, against 1.44 cold (Littelfuse ATOF 287). The largest ratio that could be read. */
export const HOT_RATIO_AT_RATING = 2.4 / 1.44;
/** Past its rating the element heats on until it melts; zinc at 419 C has 1 + 0.0042/K x 400 K of its resistance at 20 C (physics). */
export const HOT_RATIO_MELTING = 2.7;
