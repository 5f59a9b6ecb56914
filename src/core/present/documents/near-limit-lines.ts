import type { NearByGain, NearLimit } from '../../analysis/uncertainty/near-limit.ts';
import type { CalibrationWords } from '../texts/calibration-words.ts';

/** One line for the first, which says how many there are. */
export function nearLimitLines(near: readonly NearLimit[] | undefined = [], words: CalibrationWords): string[] {
  const [first] = near;
  return first === undefined ? [] : [words.nearLimit(first, near.length)];
}

/** The same of levels that only a gain nobody stated may put there. */
export function nearByGainLines([first]: readonly NearByGain[], words: CalibrationWords): string[] {
  return first === undefined ? [] : [words.nearByGain(first)];
}
