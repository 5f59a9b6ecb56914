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
  return presses.flatMap(({ run, start_s: atS, finding, cut }): NearLimit[] => {
    if (run === null || run.at_least === true || cut !== undefined || !isJudgedByLimit(finding)) return [];
    const limitA = limitsA.find((limit) => isWithin(run, limit));
    return limitA === undefined ? [] : [{ figure: 'run', at_s: atS, value_a: run.median_a, low_a: run.low_a, high_a: run.high_a, limit_a: limitA }];
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
