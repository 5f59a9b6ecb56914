import type { ActuationResult } from '../results.ts';
import type { CompareProblem } from './codes.ts';
import { actuationsOf } from './metrics/metrics.ts';
import type { SupplyScale } from './supply.ts';

/** A slower logger than this misses part of a start-up peak, Hz: the peak is over within some 10 ms (maxon RE 65 data sheet: time constant 3.25 ms). */
const PEAK_RATE_HZ = 500;
/** Rates that differ by less change no figure. */
const SAME_RATE = 1.5;

/** Whether one logger was too slow to see the peak that the other one saw. */
export function peaksDiffer(before: ActuationResult, after: ActuationResult): boolean {
  const rates = [before.trace.rate_hz, after.trace.rate_hz];
  const slower = Math.min(...rates);
  return slower > 0 && slower < PEAK_RATE_HZ && Math.max(...rates) / slower > SAME_RATE;
}

/** What hinders a comparison, and what can still be compared. */
export function actuationProblems(before: ActuationResult, after: ActuationResult, scale: SupplyScale | null): CompareProblem[] {
  const problems: CompareProblem[] = [];
  if (scale !== null) problems.push({ problem: 'different-supply', code: 'other-supply', beforeV: scale.beforeV, afterV: scale.afterV });
  const [first, second] = [before.trace.voltage_at, after.trace.voltage_at];
  if (first !== null && second !== null && first !== second) problems.push({ problem: 'different-lead', code: 'other-lead', first, second });
  if (peaksDiffer(before, after)) {
    const [slowHz, fastHz] = [before.trace.rate_hz, after.trace.rate_hz].sort((a, b) => a - b);
    problems.push({ problem: 'different-rate', code: 'other-rate', slowHz, fastHz });
  }
  return [...problems, ...pairingProblems(before, after)];
}

function pairingProblems(before: ActuationResult, after: ActuationResult): CompareProblem[] {
  const [none, noneAfter] = [before.actuations.length === 0, after.actuations.length === 0];
  if (none || noneAfter) return [{ problem: 'no-pairs', code: 'no-presses', side: none && noneAfter ? 'both' : none ? 'first' : 'second' }];
  const problems: CompareProblem[] = [];
  let common = 0;
  for (const direction of ['forward', 'reverse'] as const) {
    const counts = [actuationsOf(before, direction).length, actuationsOf(after, direction).length];
    const least = Math.min(counts[0], counts[1]);
    if (least > 0) common++;
    else if (counts[0] !== counts[1]) problems.push({ problem: 'no-pairs', code: 'one-side-only', side: counts[0] === 0 ? 'second' : 'first', direction });
    if (least === 1) problems.push({ problem: 'few-traces', code: 'single-press', direction });
  }
  if (common === 0) problems.push({ problem: 'no-pairs', code: 'no-direction-in-common' });
  return problems;
}
