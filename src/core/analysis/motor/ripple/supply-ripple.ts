import type { Baseline } from '../sensor/baseline.ts';
import type { IdleSpectra } from '../sensor/idle-lines.ts';
import { floorsOf } from './surroundings.ts';
import { clearOfNoise } from './line-odds.ts';
import { strongestBin } from '../signal/spectrum.ts';
import { STANDING_OVER_HIGHEST } from './speed-over-run.ts';

interface Supplied {
  readonly baseline: Baseline;
  readonly idleOf: IdleSpectra;
  /** highest current of the trace at switch-on or standing, A */
  readonly highestA: number;
}

/**
 * Whether a line may be the supply's own ripple (an alternator's, a charger's) instead of the motor's: the load that is there before and
 * after the press shows it too, and it is no stronger than that share of the current would be in the motor. A winding passes no more of
 * the supply's ripple than its resistance does, so the standing current with the background's share of ripple is the most it can be.
 *
 * @param amplitudeA of the line in the run
 */
export function isSuppliesOwn(bin: number, length: number, amplitudeA: number, { baseline, idleOf, highestA }: Supplied): boolean {
  const idle = idleOf(length);
  if (baseline.backgroundA === 0 || idle === null) return false;
  const floors = floorsOf(idle);
  const [first, last] = [Math.max(1, bin - 1), Math.min(idle.length - 1, bin + 1)];
  const strongest = strongestBin(idle, first, last);
  if (idle[strongest] < clearOfNoise(last - first + 1, 1) * floors[strongest]) return false;
  const share = ((4 / length) * Math.sqrt(idle[strongest])) / Math.abs(baseline.backgroundA);
  return amplitudeA < share * STANDING_OVER_HIGHEST[1] * highestA;
}
