import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import type { Actuation, ActuationResult, Direction, Inrush } from '../../results.ts';
import { halfWidthWithout, type UncertaintyPart } from '../../uncertainty/parts.ts';
import type { Measured } from '../change.ts';
import type { ActuationMetricName } from './metric-names.ts';

/** One figure that is compared between actuations of two traces. */
export interface Metric {
  /** with its unit as suffix; public, never renamed */
  readonly name: ActuationMetricName;
  readonly unit: string;
  /** a change smaller than this share of the before value counts as the same, unless the caller chose another tolerance */
  readonly tolerance: number;
  /** the same as an absolute floor, in the metric's unit: below it a change means nothing in the bay */
  readonly floor: number;
  /** +1 when a higher value is the worse one, -1 when a lower one is, 0 when it depends on the fault or on the hand at the switch */
  readonly worse: 1 | -1 | 0;
  /** whether it may decide a verdict by itself; the others are only shown beside it */
  readonly decides: boolean;
  /** how the figure follows the supply voltage of a permanent-magnet motor under the same load torque */
  readonly follows: 'none' | 'voltage' | 'speed' | 'time';
  read(actuation: Actuation): Measured | null;
}

/** Without the scale of the sensor, whose part in a change is counted once, beside the bounds (sensors.ts). */
function bounded(value: number, low: number, high: number, uncertainty?: readonly UncertaintyPart[]): Measured {
  return { value, sigma: halfWidthWithout((high - low) / 2, uncertainty, 'gain') / NORMAL_95 };
}

/**
 * Tolerances: five per cent for a running current and a speed is about what the same healthy mechanism shows from one actuation to the
 * next, ten for the figures that hang on a single moment (common practice, no published source). A person may choose another.
 */
export const ACTUATION_METRICS: readonly Metric[] = [
  {
    name: 'run_a', unit: 'A', tolerance: 0.05, floor: 0.05, worse: 1, decides: true, follows: 'none',
    read: ({ run }) => (run === null ? null : { ...bounded(run.median_a, run.low_a, run.high_a, run.uncertainty), atLeast: run.at_least === true }),
  },
  {
    name: 'inrush_peak_a', unit: 'A', tolerance: 0.1, floor: 0.2, worse: 0, decides: false, follows: 'voltage',
    read: ({ inrush }) => (inrush === null ? null : peak(inrush)),
  },
  {
    name: 'duration_s', unit: 's', tolerance: 0.05, floor: 0.1, worse: 0, decides: false, follows: 'none',
    read: (actuation) => ({ value: actuation.end_s - actuation.start_s, sigma: null }),
  },
  {
    name: 'moving_s', unit: 's', tolerance: 0.05, floor: 0.1, worse: 0, decides: false, follows: 'none',
    read: (actuation) => (actuation.run === null ? null : { value: movingS(actuation), sigma: null }),
  },
  {
    name: 'travel_s', unit: 's', tolerance: 0.05, floor: 0.1, worse: 0, decides: false, follows: 'time',
    read: (actuation) => travelS(actuation),
  },
  {
    name: 'stalled_s', unit: 's', tolerance: 0.1, floor: 0.1, worse: 0, decides: false, follows: 'none',
    read: ({ stalls }) => ({ value: stalls.reduce((sum, stall) => sum + stall.end_s - stall.start_s, 0), sigma: null }),
  },
  {
    name: 'stall_a', unit: 'A', tolerance: 0.05, floor: 0.2, worse: 0, decides: false, follows: 'voltage',
    read: ({ stalls }) => (stalls.length === 0 ? null : { value: stalls.reduce((sum, stall) => sum + stall.level_a, 0) / stalls.length, sigma: null, atLeast: stalls.some((stall) => stall.at_least === true) }),
  },
  {
    name: 'ripple_hz', unit: 'Hz', tolerance: 0.05, floor: 0.5, worse: -1, decides: false, follows: 'speed',
    read: ({ ripple }) => (ripple === null ? null : bounded(ripple.frequency_hz, ripple.low_hz, ripple.high_hz)),
  },
  {
    name: 'source_ohm', unit: 'ohm', tolerance: 0.15, floor: 0.005, worse: 1, decides: true, follows: 'none',
    read: ({ supply }) => (supply === null ? null : bounded(supply.source_ohm, supply.low_ohm, supply.high_ohm, supply.uncertainty)),
  },
  {
    name: 'dropouts', unit: '', tolerance: 0, floor: 0.5, worse: 1, decides: true, follows: 'none',
    read: ({ dropouts }) => ({ value: dropouts.length, sigma: null }),
  },
];

/** Of all presses of a trace, those with any finding but normal; compared as a share and not as a mean. */
export const FAULTY_SHARE = { name: 'faulty_share', unit: '', floor: 0.1, worse: 1, decides: true } as const;

/** Presses of one direction that are evidence: of one that the recording cuts neither length nor currents are whole. */
export function actuationsOf(result: ActuationResult, direction: Direction): Actuation[] {
  return result.actuations.filter((actuation) => actuation.direction === direction && actuation.cut === undefined);
}

/** A peak that a clipped or slow sensor read too low has bounds of its own, open upwards where the trace holds none. */
function peak({ peak_a: value, peak_at_least: clipped, low_peak_a: low, high_peak_a: high }: Inrush): Measured {
  if (clipped === true || high === null) return { value, sigma: null, atLeast: true };
  return low === undefined || high === undefined ? { value, sigma: null } : bounded(value, low, high);
}

/** From switch made to the stall that lasts until the switch is broken: the mechanism's own time, whoever holds the switch. */
function travelS({ start_s: startS, end_s: endS, stalls, run }: Actuation): Measured | null {
  const last = stalls[stalls.length - 1];
  if (run === null || last === undefined || last.at !== 'travel' || endS - last.end_s > AT_THE_END_S) return null;
  return { value: last.start_s - startS, sigma: null };
}

/** A stall that ends within this before the switch opens lasted until it opened: the fall of the current takes about that long. */
const AT_THE_END_S = 0.1;

/** Time from switch made to switch broken less the time it stood still. */
function movingS(actuation: Actuation): number {
  return actuation.end_s - actuation.start_s - actuation.stalls.reduce((sum, stall) => sum + stall.end_s - stall.start_s, 0);
}
