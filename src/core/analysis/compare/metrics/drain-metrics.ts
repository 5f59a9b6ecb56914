import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { SECONDS_PER_HOUR } from '../../../units.ts';
import type { DrainResult } from '../../results.ts';
import { halfWidthWithout, type UncertaintyPart } from '../../uncertainty/parts.ts';
import type { Measured } from '../change.ts';
import type { DrainMetricName } from './metric-names.ts';

interface DrainMetric {
  /** with its unit as suffix; public, never renamed */
  readonly name: DrainMetricName;
  readonly unit: string;
  /** share of the before value, and an absolute floor, below which a change counts as the same */
  readonly tolerance: number;
  readonly floor: number;
  /** less is better in all of them; 0 where the person at the logger makes the figure as much as the vehicle does */
  readonly worse: 1 | 0;
  /** whether it may decide a verdict by itself */
  readonly decides: boolean;
  read(result: DrainResult): Measured[];
}

/** A millimeter clamp's or shunt's own step is about a milliamp (100 A, 75 mV on a TI INA226: 3.3 mA a step; finer shunts 1 mA). */
const CURRENT_FLOOR_A = 0.002;
/** The moment of sleep is found within 5 s in 95 of 100 noisy logs: the goal the drain test is scored against. */
const SLEEP_MOMENT_SIGMA_S = 5 / NORMAL_95;

/**
 * Time until asleep decides nothing: it counts from the start of the recording, and nobody starts it at the same moment after key-off.
 * The average decides only between two traces that slept; before sleep it depends on how long one recorded, and the last level is used.
 */
export const DRAIN_METRICS: readonly DrainMetric[] = [
  {
    name: 'asleep_a', unit: 'A', tolerance: 0.05, floor: CURRENT_FLOOR_A, worse: 1, decides: true,
    read: ({ asleep }) => (asleep === null ? [] : [bounded(asleep.level_a, asleep.low_a, asleep.high_a, asleep.uncertainty)]),
  },
  {
    name: 'last_level_a', unit: 'A', tolerance: 0.05, floor: CURRENT_FLOOR_A, worse: 1, decides: true,
    read: ({ asleep, levels }) => {
      const last = levels[levels.length - 1];
      return asleep !== null || last === undefined ? [] : [bounded(last.mean_a, last.low_a, last.high_a)];
    },
  },
  {
    name: 'asleep_at_s', unit: 's', tolerance: 0.1, floor: 10, worse: 0, decides: false,
    read: ({ asleep }) => (asleep === null ? [] : [{ value: asleep.at_s, sigma: SLEEP_MOMENT_SIGMA_S }]),
  },
  {
    name: 'average_a', unit: 'A', tolerance: 0.05, floor: CURRENT_FLOOR_A, worse: 1, decides: true,
    read: (result) => [{ value: result.average_a, sigma: averageSigma(result) }],
  },
  { name: 'wakeups_per_h', unit: '', tolerance: 0.1, floor: 0.5, worse: 1, decides: false, read: (result) => wakeUpsPerHour(result) },
  {
    name: 'wakeup_charge_c', unit: 'C', tolerance: 0.1, floor: 0.5, worse: 1, decides: false,
    read: ({ wakeups }) => wakeups.map(({ charge_c: charge }) => ({ value: charge, sigma: null })),
  },
];

/** Without the scale of the sensor, whose part in a change is counted once, beside the bounds (sensors.ts). The zero of another night is another one; where nobody stated it, the floor is taken for how far it differs. */
function bounded(value: number, low: number, high: number, uncertainty?: readonly UncertaintyPart[]): Measured {
  return { value, sigma: halfWidthWithout((high - low) / 2, uncertainty, 'gain', 'zero-unknown') / NORMAL_95 };
}

/** The uncertainty of the average: that of the level asleep, and of the number of wake-ups (counts scatter as their root). Null before sleep. */
function averageSigma(result: DrainResult): number | null {
  if (result.asleep === null) return null;
  const { level_a: level, low_a: low, high_a: high, uncertainty } = result.asleep;
  const levelSigma = bounded(level, low, high, uncertainty).sigma ?? 0;
  const charges = result.wakeups.map(({ charge_c: charge }) => charge);
  const countSigma = Math.sqrt(charges.reduce((sum, charge) => sum + charge ** 2, 0)) / Math.max(asleepForS(result), 1);
  return Math.hypot(levelSigma, countSigma);
}

/** Shorter sleep tells nothing of modules that wake every ten minutes (Oldsmobile Aurora 2001: telematics every 9 to 10 minutes). */
const LEAST_ASLEEP_S = 900;

function wakeUpsPerHour(result: DrainResult): Measured[] {
  const asleepS = asleepForS(result);
  if (asleepS < LEAST_ASLEEP_S) return [];
  const count = result.wakeups.length;
  return [{ value: (count * SECONDS_PER_HOUR) / asleepS, sigma: (Math.sqrt(Math.max(count, 1)) * SECONDS_PER_HOUR) / asleepS }];
}

function asleepForS({ trace, asleep }: DrainResult): number {
  return asleep === null ? 0 : trace.duration_s - asleep.at_s;
}
