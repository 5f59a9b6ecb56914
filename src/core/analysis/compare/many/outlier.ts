import { MAD_TO_SIGMA, median } from '../../../stats.ts';
import type { Direction } from '../../results.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import type { StandsOut } from '../codes.ts';
import type { MetricName } from '../metrics/metric-names.ts';

/** One figure of one thing among its like. */
export interface FigureOf {
  readonly metric: MetricName;
  readonly direction: Direction | null;
  readonly value: number;
  /** the same figure of all the others; at least `LEAST_OTHERS` of them count */
  readonly others: readonly number[];
  /** share of the others' middle below which a difference means nothing, and the same as an absolute floor */
  readonly tolerance: number;
  readonly floor: number;
}

export interface Standing {
  /** distance from the others in robust standard deviations, of the figure that stands out most; 0 with too few others */
  readonly distance: number;
  /** that figure; null when nothing stands out */
  readonly reason: StandsOut | null;
}

/** With fewer others there is no middle to be far from. */
const LEAST_OTHERS = 2;
/** A value this far out counts as an outlier: Iglewicz and Hoaglin, How to Detect and Handle Outliers, ASQ 1993, for the modified z score. */
export const OUTLIER_FROM = 3.5;

/**
 * How far one thing lies from its like: for each figure the modified z score, |value - median of the others| over 1.4826 times
 * their median absolute deviation; the largest counts. Two things keep it honest with few others: the thing itself is left out of the
 * middle, and their scatter is never taken to be smaller than the figure's tolerance, so that three equal ones make no outlier of a
 * fourth that is a percent off.
 */
export function standingOf(figures: readonly FigureOf[]): Standing {
  let best: Standing = { distance: 0, reason: null };
  for (const { metric, direction, value, others, tolerance, floor } of figures) {
    if (others.length < LEAST_OTHERS) continue;
    const middle = median(others);
    const scatter = MAD_TO_SIGMA * median(others.map((other) => Math.abs(other - middle)));
    // a tolerance is taken as a half-width of 95 %
    const sigma = Math.max(scatter, Math.max(tolerance * Math.abs(middle), floor) / NORMAL_95);
    const distance = Math.abs(value - middle) / sigma;
    if (distance > best.distance) best = { distance, reason: { code: 'figure', metric, direction, value, othersMiddle: middle } };
  }
  return best.distance < 1 ? { ...best, reason: null } : best;
}
