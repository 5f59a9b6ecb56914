import type { ActuationFinding, Run } from '../../results.ts';
import type { ActuationOptions } from '../../options.ts';
import type { Motion } from '../types.ts';

/**
 * What one press showed, most telling first: a motor that never turned cannot have run, a broken feed spoils what follows it, a
 * standing motor outweighs how it ran before. Whoever does not see the switch made cannot say that the motor never turned, only that it stood.
 */
export function findingOf(motion: Motion, run: Run | null, dropoutsWhileRunning: number, startSeen: boolean, options: ActuationOptions): ActuationFinding {
  if (!motion.turned) return startSeen ? 'locked' : 'stalled';
  if (dropoutsWhileRunning > 0) return 'intermittent';
  if (motion.stalls.length > 0) return 'stalled';
  if (!motion.certain) return 'unclear';
  const limits = options.runLimitsA;
  if (limits !== undefined && run !== null) {
    if (run.median_a > limits[1]) return 'heavy';
    if (run.median_a < limits[0]) return 'light';
  }
  return 'normal';
}
