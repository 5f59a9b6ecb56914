import type { ActuationOptions } from '../options.ts';
import { UNKNOWN_GAIN_LIMIT_PERCENT } from '../../reference/sensors.ts';
import { ofLimits } from './budget.ts';
import { NORMAL_95 } from './normal-95.ts';
import { isJudgedByLimit, type ActuationFinding } from '../findings.ts';

/** A figure whose bounds hold a limit it is judged by: on which side of it the true value lies is not certain. */
export interface NearLimit {
  figure: 'run' | 'asleep';
  /** begin of the press, s; only of a run */
  at_s?: number;
  value_a: number;
  low_a: number;
  high_a: number;
  limit_a: number;
}

interface Bounded {
  readonly low_a: number;
  readonly high_a: number;
}

interface Pressed {
  readonly start_s: number;
  readonly run: (Bounded & { readonly median_a: number; readonly at_least?: true }) | null;
  readonly finding: ActuationFinding;
  readonly cut?: unknown;
}

/** Presses whose running level lies within its uncertainty of one of the limits of the circuit. */
export function runsNearLimits(presses: readonly Pressed[], limitsA: readonly [number, number] | undefined): NearLimit[] {
  if (limitsA === undefined) return [];
  return judgedRuns(presses).flatMap(({ run, atS }): NearLimit[] => {
    const limitA = limitsA.find((limit) => isWithin(run, limit));
    return limitA === undefined ? [] : [{ figure: 'run', at_s: atS, value_a: run.median_a, low_a: run.low_a, high_a: run.high_a, limit_a: limitA }];
  });
}

/** Running levels that a limit judges: known, and of whole presses. */
function judgedRuns(presses: readonly Pressed[]): { run: NonNullable<Pressed['run']>; atS: number }[] {
  return presses.flatMap(({ run, start_s: atS, finding, cut }) => (run === null || run.at_least === true || cut !== undefined || !isJudgedByLimit(finding) ? [] : [{ run, atS }]));
}

/** A running level that a gain nobody stated may put on the other side of a limit: its bounds do not hold that gain. */
export interface NearByGain {
  readonly at_s: number;
  readonly value_a: number;
  readonly limit_a: number;
  /** half the 95 % bounds of the gain of a sensor of which nothing is known, percent */
  readonly percent: number;
}

/**
 * Presses whose running level lies clear of the limits by its own bounds, and not once the sensor may be off by what a sensor of the table may
 * be. Limits from known-good recordings are left out: where one sensor took both, its gain is in both.
 */
export function runsNearByGain(presses: readonly Pressed[], { runLimitsA, runLimitsFrom, gainUncertaintyPercent }: ActuationOptions): NearByGain[] {
  if (runLimitsA === undefined || runLimitsFrom === 'known-good' || gainUncertaintyPercent !== undefined) return [];
  const percent = NORMAL_95 * ofLimits(UNKNOWN_GAIN_LIMIT_PERCENT);
  return judgedRuns(presses).flatMap(({ run, atS }): NearByGain[] => {
    if (runLimitsA.some((limit) => isWithin(run, limit))) return [];
    const half = Math.hypot((run.high_a - run.low_a) / 2, (percent / 100) * run.median_a);
    const limitA = runLimitsA.find((limit) => Math.abs(run.median_a - limit) < half);
    return limitA === undefined ? [] : [{ at_s: atS, value_a: run.median_a, limit_a: limitA, percent }];
  });
}

/** The level asleep, where it lies within its uncertainty of the drain limit. */
export function sleepNearLimit(asleep: (Bounded & { readonly level_a: number }) | null, limitA: number): NearLimit[] {
  if (asleep === null || !isWithin(asleep, limitA)) return [];
  return [{ figure: 'asleep', value_a: asleep.level_a, low_a: asleep.low_a, high_a: asleep.high_a, limit_a: limitA }];
}

function isWithin({ low_a: lowA, high_a: highA }: Bounded, limitA: number): boolean {
  return lowA < limitA && limitA < highA;
}
