import { meanOf } from '../signal/levels.ts';
import type { Press } from '../presses/presses.ts';
import type { Readings } from '../sensor/readings.ts';
import type { IndexRange } from '../types.ts';
import { MAINS_PERIOD_S } from '../time-scales.ts';

/** What the mean speed over a run can be, as shares of the speed at its usual current. */
interface MeanSpeed {
  readonly low: number;
  readonly high: number;
}

/**
 * Standing current over the highest current seen. A rotor that stood shows it whole (1); a switch-on peak stays below it, by a fifth where the
 * clamp is quick (RE 65 datasheet vector: 105.8 of 131.5 A), by half where clamp and coil take the most (common practice, no published source).
 */
export const STANDING_OVER_HIGHEST = [1, 2] as const;

/**
 * Mean speed over a run against the speed at its usual current, by the line of a brushed motor at a constant voltage: the usual speed at the
 * usual current, nothing at the standing current (v = R i + k w), bounded by what the standing current can be. Where no current flows the
 * feed is broken and the rotor coasts: between nothing and its usual speed. Both are 1 where the highest current is the usual one. O(n).
 */
export function meanSpeedOver(run: IndexRange, press: Press, usualA: number, highestA: number, { baseline, sampling }: Readings): MeanSpeed {
  const block = Math.max(1, Math.round(MAINS_PERIOD_S * sampling.rateHz));
  const sums = STANDING_OVER_HIGHEST.map(() => 0);
  let coasting = 0;
  let count = 0;
  for (let from = run.startIndex; from < run.endIndex; from += block) {
    const levelA = meanOf(baseline.deviationA, from, Math.min(run.endIndex, from + block)) * press.sign;
    count++;
    if (levelA < usualA / 2) coasting++;
    else for (const [s, over] of STANDING_OVER_HIGHEST.entries()) sums[s] += speedAt(levelA, usualA, over * highestA);
  }
  if (count === 0) return { low: 1, high: 1 };
  const means = sums.map((sum) => sum / count);
  return { low: Math.min(...means), high: Math.max(...means) + coasting / count };
}

/** Share of the speed at the usual current; never below nothing: a current above the standing one is the motor standing. */
function speedAt(levelA: number, usualA: number, standingA: number): number {
  return standingA > usualA ? Math.max(0, (standingA - levelA) / (standingA - usualA)) : 1;
}
