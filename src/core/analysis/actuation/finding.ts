import type { Actuation, ActuationFinding, Run } from '../results.ts';
import type { ActuationOptions } from '../options.ts';
import type { Motion } from './motion.ts';

/**
 * What one press showed, most telling first: a motor that never turned cannot have run, a broken feed spoils what follows it, a
 * standing motor outweighs how it ran before.
 */
export function findingOf(motion: Motion, run: Run | null, dropoutsWhileRunning: number, options: ActuationOptions): ActuationFinding {
  if (!motion.turned) return 'locked';
  if (dropoutsWhileRunning > 0) return 'intermittent';
  if (motion.stalls.length > 0) return 'stalled';
  const limits = options.runLimitsA;
  if (limits !== undefined && run !== null) {
    if (run.median_a > limits[1]) return 'heavy';
    if (run.median_a < limits[0]) return 'light';
  }
  return 'normal';
}

/** Forward over reverse, medians of the presses that ran; null unless both directions did. */
export function asymmetryOf(actuations: readonly Actuation[]): { run_ratio: number; duration_ratio: number } | null {
  const forward = actuations.filter((actuation) => actuation.direction === 'forward' && actuation.run !== null);
  const reverse = actuations.filter((actuation) => actuation.direction === 'reverse' && actuation.run !== null);
  if (forward.length === 0 || reverse.length === 0) return null;
  const runA = (list: readonly Actuation[]): number => middle(list.map((actuation) => actuation.run?.median_a ?? 0));
  const lastsS = (list: readonly Actuation[]): number => middle(list.map((actuation) => actuation.end_s - actuation.start_s));
  return { run_ratio: runA(forward) / runA(reverse), duration_ratio: lastsS(forward) / lastsS(reverse) };
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
