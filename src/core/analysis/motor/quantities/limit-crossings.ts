import type { LimitCrossing } from '../../results.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { LEVEL_S } from '../time-scales.ts';

/** Stretches in which the reading stayed past the limit for longer than `holdS`, by magnitude; those that lie closer than a level takes are one: ripple and hum about the limit are not many events. O(n). */
export function findLimitCrossings(timeS: Float64Array, baseline: Baseline, limitA: number, holdS: number): LimitCrossing[] {
  const flags: LimitCrossing[] = [];
  const deviationA = baseline.deviationA;
  let last: LimitCrossing | null = null;
  for (let i = 0; i < deviationA.length; i++) {
    const sizeA = Math.abs(deviationA[i]);
    if (sizeA <= limitA) continue;
    const endS = timeS[Math.min(i + 1, timeS.length - 1)];
    if (last === null || timeS[i] - last.end_s > LEVEL_S) {
      last = { limit_a: limitA, start_s: timeS[i], end_s: endS, peak_a: sizeA };
      flags.push(last);
    } else {
      last.end_s = endS;
      last.peak_a = Math.max(last.peak_a, sizeA);
    }
  }
  return holdS === 0 ? flags : flags.filter((flag) => flag.end_s - flag.start_s > holdS);
}
