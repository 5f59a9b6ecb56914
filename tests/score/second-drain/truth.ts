import type { DrainFinding } from '../../../src/core/analysis/results.ts';
import type { Mark, Trace } from '../../../src/core/trace.ts';

/** What the generator knows of a night. Labels are of the vehicle, never of what an analysis could see. */
export interface NightTruth {
  /** the moment the last module lets go: between its step and where its tail has 1 mA left. null: it never sleeps */
  readonly asleepAtS: { readonly lowS: number; readonly highS: number } | null;
  /** the mean current between wake-ups after that and before the first fuse is touched, as the zeroed sensor should show it */
  readonly levelA: number | null;
  /** how far the sensor's zero had moved on average over that stretch: a level cannot be better than this */
  readonly driftA: number;
  readonly wakeUps: readonly { readonly startS: number; readonly endS: number; readonly byPerson: boolean }[];
  /** null: none, too few, or without a beat */
  readonly wakePeriodS: number | null;
  readonly pulls: readonly PullTruth[];
  /** the findings a careful technician could stand behind; one entry where there is only one */
  readonly findings: readonly DrainFinding[];
  /** the current runs backwards: a charger, or the clamp turned */
  readonly negative: boolean;
}

export interface PullTruth {
  readonly label: string;
  readonly atS: number;
  /** after minus before */
  readonly changeA: number;
  /** null where the circuit takes so little that either answer is right */
  readonly carries: boolean | null;
}

export interface Night {
  readonly name: string;
  readonly durationS: number;
  readonly trace: Trace;
  readonly marks: readonly Mark[];
  readonly truth: NightTruth;
}
