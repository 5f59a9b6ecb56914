import type { Direction } from '../../results.ts';

/** What `compare --json` says; names are public and never renamed. Changes are after minus before. */
export type Judgement = 'higher' | 'lower' | 'same' | 'unsure';

export type CompareFinding = 'repaired' | 'better' | 'unchanged' | 'worse';

/**
 * how the bounds were got: resampling over actuations; Welch's t over few actuations; Student's t with the scatter of the side that
 * has several; the uncertainty within single ones; Newcombe's for a share; none
 */
export type BoundsMethod = 'bootstrap' | 'welch' | 'pooled' | 'within' | 'newcombe' | 'none';

export interface ComparedMetric {
  /** null for a drain test and for figures of the whole trace */
  direction: Direction | null;
  /** with its unit as suffix, for example run_a, duration_s, asleep_a */
  metric: string;
  before: number | null;
  after: number | null;
  change: number | null;
  /** 95 % bounds of the change; null where there is no basis for them */
  low: number | null;
  high: number | null;
  judgement: Judgement;
  method: BoundsMethod;
  /** a change smaller than this counts as the same */
  tolerance: number;
  /** 95 % half-width that the scales of two sensors put on the change, in the bounds already; absent where one sensor recorded both */
  scales_half_width?: number;
  before_count: number;
  after_count: number;
}
