import { COLD_SHARE, fuseOhm, HOT_RATIO_AT_RATING, HOT_RATIO_MELTING, ownFuseOhm, type FuseOhm } from '../../reference/blade-fuses.ts';
import type { FuseNote, FuseNoteCode, FuseReading, FuseSurvey, SurveyedFuse } from './types.ts';

/** Zero error of a millivolt reading: thermal voltages at the probes and the meter's last digit (common practice, no published source). */
const ZERO_ERROR_V = 0.00005;
/** Below so many times its zero error a reading says little more than "small" (common practice, no published source). */
const NEAR_ZERO_TIMES = 4;
/** A whole blade fuse drops under 0.2 V at its rating (Littelfuse data); a volt means an open fuse or another unit. */
const OPEN_FUSE_V = 1;

/**
 * A list of fuse drops as a list of currents, highest first. Which test point of a fuse faces the battery cannot be seen, so the sign of a
 * reading is dropped. Bounds of the sum add the bounds of the fuses: the meter's zero error is the same in each of them.
 */
export function surveyFuses(readings: readonly FuseReading[], batteryA: number | null): FuseSurvey {
  const notes: FuseNote[] = [];
  const fuses = readings.map((reading) => surveyed(reading, notes));
  const seen = new Set<string>();
  for (const { label, typeWord, ratingA } of readings) {
    if (seen.has(label)) notes.push({ code: 'fuse-twice', label, type: typeWord, ratingA });
    seen.add(label);
  }
  fuses.sort((a, b) => (b.current_a ?? -1) - (a.current_a ?? -1));
  const sum = (pick: (fuse: SurveyedFuse) => number | null): number => fuses.reduce((total, fuse) => total + (pick(fuse) ?? 0), 0);
  const sumA = sum((fuse) => fuse.current_a);
  const lowA = sum((fuse) => fuse.low_a);
  const highA = sum((fuse) => fuse.high_a);
  const outside = fuses.flatMap(({ label, current_a: currentA }) => (currentA === null ? [label] : []));
  if (outside.length > 0) notes.push({ code: 'fuse-not-in-sum', label: null, type: '', ratingA: 0, labels: outside });
  const overA = outside.length === fuses.length ? null : batteryA;
  if (batteryA !== null && lowA > batteryA) notes.push({ code: 'fuse-sum', label: null, type: '', ratingA: 0 });
  return {
    fuses,
    sum_a: sumA,
    low_a: lowA,
    high_a: highA,
    not_in_sum: outside,
    left_over_a: overA === null ? null : overA - sumA,
    low_left_over_a: overA === null ? null : overA - highA,
    high_left_over_a: overA === null ? null : overA - lowA,
    notes,
  };
}

function surveyed(reading: FuseReading, notes: FuseNote[]): SurveyedFuse {
  const { label, type, typeWord, ratingA, dropV, ownOhm } = reading;
  const note = (code: FuseNoteCode): void => void notes.push({ code, label, type: type ?? typeWord, ratingA });
  const resistance = ownOhm !== null ? ownFuseOhm(ownOhm) : type === null ? null : fuseOhm(type, ratingA);
  const fuse: SurveyedFuse = {
    label,
    type: type ?? typeWord,
    rating_a: ratingA,
    mv: dropV * 1000,
    current_a: null,
    low_a: null,
    high_a: null,
    ohm: resistance?.ohm ?? null,
    ohm_basis: resistance?.basis ?? null,
    source: resistance?.source ?? null,
    reads_high: false,
  };
  const sizeV = Math.abs(dropV);
  if (sizeV > OPEN_FUSE_V) {
    note('fuse-open');
    return fuse;
  }
  if (resistance === null) {
    note('fuse-unknown');
    return fuse;
  }
  if (resistance.basis === 'reckoned') note('fuse-reckoned');
  const current = fuseCurrent(resistance, ratingA, sizeV);
  if (current.warm) note('fuse-warm');
  else if (sizeV < NEAR_ZERO_TIMES * ZERO_ERROR_V) note('fuse-near-zero');
  return { ...fuse, current_a: current.currentA, low_a: current.lowA, high_a: current.highA, reads_high: current.warm };
}

/** Current by the cold resistance. A warm fuse has more than that: then the low bound opens to the hottest ratio that its load allows. */
function fuseCurrent({ ohm, spread }: FuseOhm, ratingA: number, sizeV: number): { currentA: number; lowA: number; highA: number; warm: boolean } {
  const currentA = sizeV / ohm;
  const warm = currentA > COLD_SHARE * ratingA;
  const leastV = Math.max(0, sizeV - ZERO_ERROR_V);
  const atMostOhm = ohm * (1 + spread);
  const highA = (sizeV + ZERO_ERROR_V) / (ohm * (1 - spread));
  // where even the warm resistance of its rating leaves more than the rating, the element may be on its way to melting
  const hot = !warm ? 1 : highA / HOT_RATIO_AT_RATING > ratingA ? HOT_RATIO_MELTING : HOT_RATIO_AT_RATING;
  return { currentA, lowA: leastV / (atMostOhm * hot), highA, warm };
}
