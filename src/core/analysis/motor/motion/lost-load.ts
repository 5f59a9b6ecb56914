import { changePoints } from '../../change-points.ts';
import { median, robustSigma } from '../../../stats.ts';
import type { PressView } from './press-view.ts';
import { CELL_S } from '../signal/envelope.ts';
import { STEP } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { CLEAR_PART } from '../signal/decision-levels.ts';
import { CONTACT_S, MAINS_PERIOD_S } from '../time-scales.ts';

export interface LostLoad {
  readonly index: number;
  readonly beforeA: number;
  readonly afterA: number;
}

/** times the variance of the level and ln n: a change point must be worth this much (2 to 4 is usual, see change-points.ts) */
const PENALTY = 4;

/**
 * A drive that lets go in mid-travel: the current falls to what the motor takes by itself, as the rotor gains the speed that the load had kept from it, and
 * stays there. A load that is set to a lower speed undershoots first, since its rotor still turns too fast; one of several that is switched off goes at
 * once, and is a step. By exact change points on the envelope of the run; null where nothing of the sort happened.
 */
export function findLostLoad({ envelope }: PressView, running: readonly IndexRange[]): LostLoad | null {
  const last = running.at(-1);
  if (last === undefined) return null;
  const from = Math.max(0, Math.ceil((last.startIndex - envelope.startIndex) / envelope.step));
  const to = Math.min(envelope.cells, Math.floor((last.endIndex - envelope.startIndex) / envelope.step)) - Math.ceil((MAINS_PERIOD_S + CONTACT_S) / envelope.stepS);
  const side = Math.round(STEP.sideS / envelope.stepS);
  if (side < 1 || to - from < 3 * side) return null;
  const levels = envelope.levelA.subarray(from, to);
  // what stays to the end is at its end as well
  if (levels[levels.length - 1] > CLEAR_PART * levels.reduce((most, level) => Math.max(most, level), 0)) return null;
  const steps = new Float64Array(levels.length - 1).map((_value, k) => levels[k + 1] - levels[k]);
  const penalty = PENALTY * Math.max(robustSigma(steps), CELL_S * median(levels)) ** 2 * Math.log(levels.length) * side;
  const changes = changePoints(levels, penalty);
  for (const change of changes) {
    if (change < side || change > levels.length - side) continue;
    const beforeA = median(levels.subarray(change - side, change));
    const after = levels.subarray(change + (side >> 1));
    const afterA = median(after);
    // what is left once nothing is driven any more is a motor's own friction (common practice, no published source)
    if (!(afterA < CLEAR_PART * beforeA) || after.some((level) => level > CLEAR_PART * beforeA)) continue;
    const undershoots = levels.subarray(change, change + side).some((level) => level < afterA / 2);
    return undershoots ? null : { index: envelope.startIndex + (from + change) * envelope.step, beforeA, afterA };
  }
  return null;
}
