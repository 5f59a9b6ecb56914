import { mean, median, sampleDeviation } from '../../../stats.ts';
import type { PressView } from './press-view.ts';
import type { StepSeen } from './steps.ts';
import { CAME_UP, CLEAR_PART, LITTLE } from '../signal/decision-levels.ts';
import { STEP } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { CONTACT_S, MAINS_PERIOD_S } from '../time-scales.ts';

/**
 * A load that a running motor takes up for good: a rope that tightens, a pump that water reaches, a valve that opens at the end. The current climbs from one even level to another, clearly higher, as the motor
 * loses speed, and stays there until the switch is let go. What a mechanism asks of its motor on the way comes and goes, and leaves no such pair of levels. Null where none is. O(cells).
 */
export function findTakenUp({ envelope }: PressView, running: readonly IndexRange[], timeS: Float64Array): StepSeen | null {
  const last = running.at(-1);
  if (last === undefined) return null;
  const from = Math.max(0, Math.ceil((last.startIndex - envelope.startIndex) / envelope.step));
  const to = Math.min(envelope.cells, Math.floor((last.endIndex - envelope.startIndex) / envelope.step)) - Math.ceil((MAINS_PERIOD_S + CONTACT_S) / envelope.stepS);
  const side = Math.round(STEP.sideS / envelope.stepS);
  if (side < 1 || to - from < 2 * side) return null;
  const levels = envelope.levelA.subarray(from, to);
  const highA = median(levels.subarray(levels.length - side));
  const isOn = (levelA: number, usualA: number): boolean => Math.abs(levelA - usualA) < LITTLE * usualA;
  let arrived = levels.length;
  while (arrived > 0 && isOn(levels[arrived - 1], highA)) arrived--;
  let left = Math.min(arrived, levels.length - 1);
  while (left > side && levels[left - side] < CAME_UP * levels[left]) left--;
  if (arrived > levels.length - 2 * side || left < side || arrived - left > 2 * side) return null;
  const before = levels.subarray(left - side, left);
  const lowA = median(before);
  if (!before.every((levelA) => isOn(levelA, lowA)) || highA < (1 + CLEAR_PART) * lowA) return null;
  // a dip, as of a clamp that was opened, comes back to where the run was
  if (median(levels.subarray(0, left)) > (1 + CLEAR_PART) * lowA) return null;
  let lowestA = Infinity;
  for (const levelA of levels.subarray(0, left)) {
    lowestA = Math.min(lowestA, levelA);
    if (levelA > (1 + CLEAR_PART) * lowestA) return null;
  }
  const after = levels.subarray(arrived, arrived + 2 * side);
  const changeA = mean(after) - mean(before);
  const errorA = (2 * Math.hypot(sampleDeviation(before), sampleDeviation(after))) / Math.sqrt(STEP.independent);
  const at = envelope.startIndex + (from + left) * envelope.step;
  return { at_s: timeS[at], change_a: changeA, low_a: changeA - errorA, high_a: changeA + errorA, cell: from + left, isJam: false, stands: false };
}
