/**
 * Current through a blade fuse from the millivolts across it, no fuse pulled: the fuse's own cold resistance is the shunt. Good for
 * small currents only; each row has the source it was read in. Ratings whose value could not be read are not in the table.
 */
export type FuseType = 'ato' | 'mini' | 'maxi';

export interface FuseRow {
  readonly type: FuseType;
  readonly ratingA: number;
  readonly coldOhm: number;
  readonly source: string;
}

export const FUSE_ROWS: readonly FuseRow[] = [
  { type: 'ato', ratingA: 10, coldOhm: 0.0077, source: 'mvwautotechniek.nl training page: 1 mV is 130 mA' },
  { type: 'ato', ratingA: 40, coldOhm: 0.00144, source: 'Littelfuse ATOF 287 data, as transcribed in a public design note' },
  { type: 'mini', ratingA: 15, coldOhm: 0.00458, source: 'MACS Service Reports, June 2017: 1.0 mV is 218 mA' },
  { type: 'maxi', ratingA: 30, coldOhm: 0.0019, source: 'Littelfuse MAXI 299 data, as transcribed in a public design note' },
  { type: 'maxi', ratingA: 35, coldOhm: 0.0017, source: 'Littelfuse MAXI 299 data, as transcribed in a public design note' },
  { type: 'maxi', ratingA: 40, coldOhm: 0.0014, source: 'Littelfuse MAXI 299 data, as transcribed in a public design note' },
];

/** Above this share of the rating the fuse warms and the method reads high: a 40 A fuse at its rating has 67 % more resistance than cold. */
export const COLD_SHARE = 0.2;
/** Spread of the resistance between fuses and of the contact at the test points, half-width (common practice, no published source). */
const SPREAD = 0.15;
/** Zero error of a millivolt reading: thermal voltages and the meter's last digit (common practice, no published source). */
const ZERO_ERROR_V = 0.00005;

export interface FuseDrop {
  readonly currentA: number;
  readonly lowA: number;
  readonly highA: number;
  readonly source: string;
  readonly warnings: readonly string[];
}

/** Returns the current with a band, or a sentence why it cannot be told. `dropV` in volts, either sign. */
export function fuseDropCurrent(type: FuseType, ratingA: number, dropV: number): FuseDrop | string {
  const row = FUSE_ROWS.find((known) => known.type === type && known.ratingA === ratingA);
  if (row === undefined) {
    const known = FUSE_ROWS.filter((other) => other.type === type).map((other) => `${other.ratingA} A`);
    return `There is no value that could be checked for a ${ratingA} A ${type} fuse. Known here: ${known.join(', ')}. Take the resistance from the fuse maker's sheet.`;
  }
  if (!Number.isFinite(dropV) || Math.abs(dropV) > 1) return 'A fuse that carries current shows millivolts: more than 1 V means that it is open, or that the reading is in another unit.';
  const sizeV = Math.abs(dropV);
  const sign = dropV < 0 ? -1 : 1;
  const currentA = sizeV / row.coldOhm;
  const nearA = Math.max(0, sizeV - ZERO_ERROR_V) / (row.coldOhm * (1 + SPREAD));
  const farA = (sizeV + ZERO_ERROR_V) / (row.coldOhm * (1 - SPREAD));
  const warnings = ['Imitation fuses have another resistance: on them this method says nothing.', 'Measure on the test points of the fuse itself, not on its holder.'];
  if (currentA > COLD_SHARE * ratingA) {
    warnings.unshift(`This is more than ${COLD_SHARE * 100} % of the rating: the fuse is warm, its resistance higher, and the true current lower than shown. Use a clamp.`);
  }
  if (sizeV < 4 * ZERO_ERROR_V) warnings.unshift('The reading is close to the meter\'s own zero error: short the leads together, note what it shows, and subtract it.');
  const warm = currentA > COLD_SHARE * ratingA;
  // a warm fuse can have up to 67 % more resistance than cold, so the low end opens to that
  const lowA = warm ? nearA / 1.67 : nearA;
  return { currentA: sign * currentA, lowA: sign < 0 ? -farA : lowA, highA: sign < 0 ? -lowA : farA, source: row.source, warnings };
}
