import { normalQuantile } from '../../distributions.ts';
import type { Actuation, ActuationResult, Direction } from '../results.ts';
import type { Measured } from './change.ts';

/** One figure that is compared between actuations of two traces. */
export interface Metric {
  /** with its unit as suffix; public, never renamed */
  readonly name: string;
  readonly words: string;
  readonly unit: string;
  /** a change smaller than this share of the before value counts as the same, unless the caller chose another tolerance */
  readonly tolerance: number;
  /** the same as an absolute floor, in the metric's unit: below it a change means nothing in the bay */
  readonly floor: number;
  /** +1 when a higher value is the worse one, -1 when a lower one is, 0 when it depends on the fault */
  readonly worse: 1 | -1 | 0;
  /** how the figure follows the supply voltage of a permanent-magnet motor under the same load torque */
  readonly follows: 'none' | 'voltage' | 'speed' | 'time';
  read(actuation: Actuation): Measured | null;
}

/** Half-width of a 95 % interval in standard deviations. */
const HALF_WIDTH_95 = normalQuantile(0.975);

function bounded(value: number, low: number, high: number): Measured {
  return { value, sigma: (high - low) / (2 * HALF_WIDTH_95) };
}

/**
 * Tolerances: five per cent for a running current and a speed is about what the same healthy mechanism shows from one actuation to the
 * next, ten for the figures that hang on a single moment (common practice, no published source). A person may choose another.
 */
export const ACTUATION_METRICS: readonly Metric[] = [
  {
    name: 'run_a', words: 'running current', unit: 'A', tolerance: 0.05, floor: 0.05, worse: 1, follows: 'none',
    read: ({ run }) => (run === null ? null : bounded(run.median_a, run.low_a, run.high_a)),
  },
  {
    name: 'inrush_peak_a', words: 'inrush peak', unit: 'A', tolerance: 0.1, floor: 0.2, worse: 0, follows: 'voltage',
    read: ({ inrush }) => (inrush === null ? null : { value: inrush.peak_a, sigma: null }),
  },
  {
    name: 'duration_s', words: 'time under power', unit: 's', tolerance: 0.05, floor: 0.1, worse: 0, follows: 'none',
    read: (actuation) => ({ value: actuation.end_s - actuation.start_s, sigma: null }),
  },
  {
    name: 'moving_s', words: 'time moving', unit: 's', tolerance: 0.05, floor: 0.1, worse: 1, follows: 'time',
    read: (actuation) => (actuation.run === null ? null : { value: movingS(actuation), sigma: null }),
  },
  {
    name: 'stalled_s', words: 'time standing still under power', unit: 's', tolerance: 0.1, floor: 0.1, worse: 1, follows: 'none',
    read: ({ stalls }) => ({ value: stalls.reduce((sum, stall) => sum + stall.end_s - stall.start_s, 0), sigma: null }),
  },
  {
    name: 'stall_a', words: 'stall current', unit: 'A', tolerance: 0.05, floor: 0.2, worse: 0, follows: 'voltage',
    read: ({ stalls }) => (stalls.length === 0 ? null : { value: stalls.reduce((sum, stall) => sum + stall.level_a, 0) / stalls.length, sigma: null }),
  },
  {
    name: 'ripple_hz', words: 'ripple (speed)', unit: 'Hz', tolerance: 0.05, floor: 0.5, worse: -1, follows: 'speed',
    read: ({ ripple }) => (ripple === null ? null : bounded(ripple.frequency_hz, ripple.low_hz, ripple.high_hz)),
  },
  {
    name: 'source_ohm', words: 'resistance of the feed', unit: 'ohm', tolerance: 0.15, floor: 0.005, worse: 1, follows: 'none',
    read: ({ supply }) => (supply === null ? null : bounded(supply.source_ohm, supply.low_ohm, supply.high_ohm)),
  },
  {
    name: 'dropouts', words: 'breaks of contact', unit: '', tolerance: 0, floor: 0.5, worse: 1, follows: 'none',
    read: ({ dropouts }) => ({ value: dropouts.length, sigma: null }),
  },
];

export function actuationsOf(result: ActuationResult, direction: Direction): Actuation[] {
  return result.actuations.filter((actuation) => actuation.direction === direction);
}

/** Time from switch made to switch broken less the time it stood still. */
function movingS(actuation: Actuation): number {
  return actuation.end_s - actuation.start_s - actuation.stalls.reduce((sum, stall) => sum + stall.end_s - stall.start_s, 0);
}
