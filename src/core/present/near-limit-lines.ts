import type { NearLimit } from '../analysis/uncertainty/near-limit.ts';
import type { CalibrationWords } from './texts/calibration-words.ts';

/** One line for the first, which says how many there are. */
export function nearLimitLines(near: readonly NearLimit[] | undefined, words: CalibrationWords): string[] {
  const [first] = near ?? [];
  return first === undefined || near === undefined ? [] : [words.nearLimit(first, near.length)];
}
