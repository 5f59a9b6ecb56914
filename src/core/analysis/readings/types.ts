import type { FuseType, OhmBasis } from '../../reference/blade-fuses.ts';

/** Readings of a meter, typed in or taken from the voltage channel, and what is calculated from them. */

export interface FuseReading {
  readonly label: string;
  /** null: a type without a table; then `ohm` must be given */
  readonly type: FuseType | null;
  /** the type as the person wrote it */
  readonly typeWord: string;
  readonly ratingA: number;
  readonly dropV: number;
  /** the user's own resistance of this fuse; null takes the table */
  readonly ownOhm: number | null;
}

/** One fuse of the list, as scripts rely on it. Bounds hold zero error, the fuse's spread and its warming: worst case, not 95 % of a model. */
export interface SurveyedFuse {
  label: string;
  type: string;
  rating_a: number;
  mv: number;
  /** null: no resistance is known for this fuse, or the reading is none of a whole fuse */
  current_a: number | null;
  low_a: number | null;
  high_a: number | null;
  ohm: number | null;
  ohm_basis: OhmBasis | null;
  source: string | null;
  /** the fuse is warm: the true current is lower than `current_a` */
  reads_high: boolean;
}

export type FuseNoteCode = 'fuse-unknown' | 'fuse-reckoned' | 'fuse-warm' | 'fuse-near-zero' | 'fuse-open' | 'fuse-sum' | 'fuse-twice' | 'fuse-not-in-sum';

/** Something to know about one fuse (`label`), or about the sum (`label` null; `labels`: the fuses it concerns). */
export interface FuseNote {
  readonly code: FuseNoteCode;
  readonly label: string | null;
  readonly type: string;
  readonly ratingA: number;
  readonly labels?: readonly string[];
}

export interface FuseSurvey {
  /** highest current first; fuses without a current last */
  readonly fuses: SurveyedFuse[];
  /** of the fuses whose current is known */
  readonly sum_a: number;
  readonly low_a: number;
  readonly high_a: number;
  /** fuses that are in neither the sum nor its bounds, because their current is not known */
  readonly not_in_sum: readonly string[];
  /** the battery's current less the sum, with what the fuses outside the sum carry; null when it was not given, or no fuse's current is known */
  readonly left_over_a: number | null;
  readonly low_left_over_a: number | null;
  readonly high_left_over_a: number | null;
  readonly notes: readonly FuseNote[];
}
