import type { Direction } from '../results.ts';
import { judge, meanChange, type Measured } from './change.ts';
import type { ComparedMetric } from './results.ts';

/** What makes one row of the comparison: a named figure, its values on both sides, and what counts as no change. */
export interface PairInput {
  readonly direction: Direction | null;
  readonly metric: string;
  readonly before: readonly Measured[];
  readonly after: readonly Measured[];
  /** share of the mean before */
  readonly tolerance: number;
  /** the same as an absolute floor */
  readonly floor: number;
}

/** One row of the comparison; null when neither side has the figure. With the figure on one side only it is told and not judged. */
export function comparedPair({ direction, metric, before, after, tolerance: share, floor }: PairInput): ComparedMetric | null {
  if (before.length === 0 && after.length === 0) return null;
  const common = { direction, metric, before_count: before.length, after_count: after.length };
  if (before.length === 0 || after.length === 0) {
    return { ...common, before: meanOrNull(before), after: meanOrNull(after), change: null, low: null, high: null, judgement: 'unsure', method: 'none', tolerance: floor };
  }
  const change = meanChange(before, after);
  const tolerance = Math.max(floor, Math.abs(change.before) * share);
  return {
    ...common,
    before: change.before,
    after: change.after,
    change: change.change,
    low: change.low,
    high: change.high,
    judgement: judge(change, tolerance),
    method: change.method,
    tolerance,
  };
}

function meanOrNull(values: readonly Measured[]): number | null {
  return values.length === 0 ? null : values.reduce((sum, { value }) => sum + value, 0) / values.length;
}
