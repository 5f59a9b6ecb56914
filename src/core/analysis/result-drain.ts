import type { DrainFinding } from './findings.ts';
import type { ResultCommon } from './result-common.ts';
import type { UncertaintyPart } from './uncertainty/parts.ts';

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
  /** of `change_a`: the zero is in both sides of the change and cancels */
  uncertainty?: UncertaintyPart[];
  /** null: not measured, since one side was not at rest, or less than the sensor can show */
  carries: boolean | null;
}

/** A step down and a step back up of nearly the same size that no mark names. */
export interface PossiblePull {
  from_s: number;
  to_s: number;
  /** after minus before: negative */
  change_a: number;
  low_a: number;
  high_a: number;
}

/** A load that pulses the whole time, such as a bus that polls its modules. */
export interface Pulses {
  /** between pulses */
  floor_a: number;
  /** how far a pulse rises above the floor */
  pulse_a: number;
  /** share of the time in pulses */
  duty: number;
  mean_a: number;
  period_s: number;
}

export interface DrainResult extends ResultCommon<'drain', DrainFinding> {
  levels: Level[];
  asleep: { at_s: number; level_a: number; low_a: number; high_a: number; uncertainty?: UncertaintyPart[] } | null;
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
  /** where the parked vehicle begins, when the recording began before; null when it began parked, or nothing shows it */
  key_off_s: number | null;
  possible_pulls: PossiblePull[];
  /** the level at the end while a time-out may still be running; null once it counts as rest, or when no time-out is running */
  held?: { since_s: number; level_a: number; low_a: number; high_a: number; uncertainty?: UncertaintyPart[] } | null;
  /** the time-out that may still be running, and when it ends at the latest, s of the trace; null when there is none to wait for */
  time_out?: { name: string; length_s: number; until_s: number } | null;
  pulses?: Pulses | null;
  /** null with fewer than three wake-ups */
  wake_rhythm?: WakeRhythm | null;
  /** reserve capacity over four, shown beside the limit; null when the reserve capacity is not known */
  reserve_limit_a?: number | null;
  /** the middle reading since asleep: with rare wake-ups it stays at the level while the average rises */
  median_a?: number | null;
  /** how much longer to record before the question can be answered; null when it is answered */
  wait_s?: number | null;
  /** the clock when that wait is over, RFC 3339 UTC; null where the recording does not say when it began */
  wait_until?: string | null;
}
