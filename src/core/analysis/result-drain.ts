import type { DrainFinding } from './findings.ts';
import type { ResultCommon } from './result-common.ts';

export interface Level {
  start_s: number;
  end_s: number;
  mean_a: number;
  low_a: number;
  high_a: number;
}

export interface WakeUp {
  start_s: number;
  end_s: number;
  /** highest mean over 50 ms */
  peak_a: number;
  /** all that flowed from start to end, the sleeping level included */
  charge_c: number;
  /** near a person's `wake` mark · begun by a fuse pulled or put back · null: woke by itself */
  cause?: 'person' | 'fuse' | null;
}

export interface WakeRhythm {
  period_s: number;
  low_s: number;
  high_s: number;
  /** by a clock; false: again and again, without a beat */
  regular: boolean;
}

export interface BatteryOutlook {
  capacity_ah: number;
  days_to_half: number;
  days_to_empty: number;
  /** where the capacity comes from, for people */
  capacity_basis?: string;
  /** state of charge by the rested voltage, percent; null without a usable one */
  soc?: { low_percent: number; high_percent: number } | null;
  /** from the present charge down to half, when the state of charge is known: the days the vehicle has left */
  days_from_now?: { low: number; high: number } | null;
  /** by itself, without any drain */
  self_discharge_percent_per_month?: { low: number; high: number };
}

export interface Pull {
  label: string;
  at_s: number;
  /** after minus before: negative when the pulled fuse carried current */
  change_a: number;
  low_a: number;
  high_a: number;
  carries: boolean;
}

export interface DrainResult extends ResultCommon<'drain', DrainFinding> {
  levels: Level[];
  asleep: { at_s: number; level_a: number; low_a: number; high_a: number } | null;
  wakeups: WakeUp[];
  wake_period_s: number | null;
  /** asleep, wake-ups included */
  average_a: number;
  charge_ah_per_day: number;
  limit_a: number;
  over_limit: boolean | null;
  pulls: Pull[];
  unexplained_a: number | null;
  battery: BatteryOutlook | null;
  /** null with fewer than three wake-ups */
  wake_rhythm?: WakeRhythm | null;
  /** reserve capacity over four, shown beside the limit; null when the reserve capacity is not known */
  reserve_limit_a?: number | null;
  /** the middle reading since asleep: with rare wake-ups it stays at the level while the average rises */
  median_a?: number | null;
  /** how much longer to record before the question can be answered; null when it is answered */
  wait_s?: number | null;
}
