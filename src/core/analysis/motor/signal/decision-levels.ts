import { normalQuantile } from '../../uncertainty/distributions.ts';

/**
 * The levels that decisions of the motor reading are made by: a handful of shares, one probability of a false alarm, one fewest count. What is compared with a share takes
 * the nearest of these, what is compared with noise a multiple computed from how many readings were looked at; neither is fitted to a detector of its own.
 *
 * The shares are the customary ones of measuring: a rise is timed from a tenth to nine tenths of its step (IEEE Std 181), a spread is told by its quartiles, and what one in
 * twenty does is left out of a 95 % statement (JCGM 100). Their counterparts (three quarters, nine tenths, nineteen twentieths) are one less them.
 */

/** of a level; as much as a sensor's gain and the waves of a steady load leave open: less changes no answer */
export const TRIFLE = 0.01;
/** of a level, of a distribution; one in twenty: how well two levels are the same, what does not count */
export const LITTLE = 0.05;
/** of a level; a tenth: the rest of a fall, a share that is small but there */
export const SMALL_PART = 0.1;
/** of a level, of several; a quarter: what is clearly there, a part that has to be reckoned with */
export const CLEAR_PART = 0.25;
/** of several that should agree, of a change: as many as make most of them */
export const MOST_OF = 1 - CLEAR_PART;
/** the same, nearly all */
export const NEARLY_ALL = 1 - SMALL_PART;
/** of a level; from here on a current that comes up to it is there: what ripple and rounding leave open */
export const CAME_UP = 0.97;
/** probability that noise alone passes for what is reported: for a line somewhere in the bins that are looked at, for readings that stand still */
export const FALSE_ALARM = 0.001;
/** readings, blocks, gaps or turns; the fewest that show a level or a habit: two of five may be wrong and their median is still right (its breakdown point is one half) */
export const FEWEST = 5;

const multiples = new Map<number, number>();

/**
 * Standard deviations that none of so many normal values passes on either side but for FALSE_ALARM: 3.3 for one, 4.9 for a thousand, 6.1 for a million. A mean of n readings
 * has the n-th part of their variance.
 */
export function clearOf(count = 1): number {
  const looked = Math.max(1, Math.ceil(count));
  const known = multiples.get(looked);
  if (known !== undefined) return known;
  const multiple = -normalQuantile(FALSE_ALARM / (2 * looked));
  multiples.set(looked, multiple);
  return multiple;
}
