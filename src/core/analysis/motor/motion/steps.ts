import { mean, median, sampleDeviation } from '../../../stats.ts';
import type { LevelStep } from '../../results.ts';
import type { PressView } from './press-view.ts';
import { meanOf } from '../signal/levels.ts';
import { STEP } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { CONTACT_S, MAINS_PERIOD_S } from '../time-scales.ts';
import { CLEAR_PART, clearOf, LITTLE, MOST_OF, SMALL_PART } from '../signal/decision-levels.ts';

/** A step as cells of the press's envelope. */
export interface StepSeen extends LevelStep {
  /** cell from which the new level holds */
  readonly cell: number;
  /** it came as a motor stalls: the current climbs as the speed goes, then stays flat to the end */
  readonly isJam: boolean;
  /** nor is it a load that joins in: it came without a rush, and not at once */
  readonly stands: boolean;
}

/**
 * Lasting changes of level within a run: a load that is switched, stops or joins in goes at once; one motor of two or three that jams adds half of the level before, climbs
 * within its own time constant and then stays, flat, until the switch is let go. What a mechanism asks of its motor comes and goes with
 * the speed, more slowly and not for good. Read off the envelope (5 ms cells, one mains period wide); O(cells).
 */
export function findSteps(view: PressView, running: readonly IndexRange[], timeS: Float64Array, deviationA: Float32Array): StepSeen[] {
  const { envelope } = view;
  const found: StepSeen[] = [];
  const side = Math.max(2, Math.round(STEP.sideS / envelope.stepS));
  const edge = Math.max(2, Math.round((MAINS_PERIOD_S + CONTACT_S) / envelope.stepS));
  if (side < 2 * edge) return found;
  for (const range of running) {
    const from = Math.max(0, Math.floor((range.startIndex - envelope.startIndex) / envelope.step) + 1);
    const to = Math.min(envelope.cells, Math.floor((range.endIndex - envelope.startIndex) / envelope.step)) - edge;
    if (to - from < 2 * side) continue;
    const levels = envelope.levelA.subarray(from, to);
    let last = 0;
    for (let k = side; k < levels.length - side; k++) {
      if (k - last < side) continue;
      const step = stepAt(levels, k, side, edge, () => calms(envelope.rippleVarianceA2.subarray(from, to), k, side));
      if (step === null) continue;
      const at = envelope.startIndex + (from + k) * envelope.step;
      const isAtOnce = isSwitched(deviationA, at, view, step.changeA);
      if (!step.isJam && !isAtOnce) continue;
      const stands = step.isJam && !isAtOnce && !rushes(levels.subarray(k, k + 2 * side));
      found.push({ at_s: timeS[at], change_a: step.changeA, low_a: step.changeA - step.errorA, high_a: step.changeA + step.errorA, cell: from + k, isJam: step.isJam, stands });
      last = k + edge;
    }
  }
  return found;
}

/** A lasting change about cell `k`, where it is steepest; null where there is none. */
function stepAt(levels: Float64Array, k: number, side: number, edge: number, isCalm: () => boolean): { changeA: number; errorA: number; isJam: boolean } | null {
  const jump = levels[k + edge - 1] - levels[k - edge];
  // it must be steepest here
  for (let j = Math.max(edge, k - 2 * edge); j <= Math.min(levels.length - edge, k + 2 * edge); j++) if (Math.abs(levels[j + edge - 1] - levels[j - edge]) > Math.abs(jump)) return null;
  const before = levels.subarray(k - side, k - edge);
  const least = SMALL_PART * median(before);
  if (Math.abs(jump) < least / 2) return null;
  // what joins in may start with a rush of its own: the level that lasts counts
  const after = levels.subarray(Math.min(levels.length - 2, k + Math.max(edge, jump > 0 ? side >> 1 : edge)), Math.min(levels.length, k + 2 * side));
  const changeA = mean(after) - mean(before);
  // a current that had been on its way for as long as a level must last came up with its feed
  if ((median(before.subarray(-edge)) - median(before.subarray(0, edge))) / changeA > 1 / 2) return null;
  const scatterA = Math.max(sampleDeviation(before), sampleDeviation(after));
  if (Math.abs(changeA) < Math.max(least, clearOf() * scatterA) || changeA * jump <= 0) return null;
  const errorA = 2 * Math.hypot(sampleDeviation(before), sampleDeviation(after)) / Math.sqrt(STEP.independent);
  // where it is switched, most of a change comes within the edge; one motor of two that stalls adds half
  const isSharp = Math.abs(jump) > MOST_OF * Math.abs(changeA);
  const rest = levels.subarray(k + edge);
  const isFlatToTheEnd = changeA > mean(before) / 2 && sampleDeviation(after) < LITTLE * mean(after) && Math.abs(median(rest) - mean(after)) < LITTLE * mean(after) && isCalm();
  return isSharp || isFlatToTheEnd ? { changeA, errorA, isJam: isFlatToTheEnd } : null;
}

/** What joins in draws more at first than it goes on with, as a rotor gains speed or a filament heats up; one that stalls comes up to its level and keeps it. */
function rushes(levels: Float64Array): boolean {
  const usualA = median(levels);
  return levels.some((levelA) => levelA > (1 + LITTLE) * usualA);
}

/** A motor that stalls takes its ripple with it; one that is loaded harder, or slips, is livelier than before. */
function calms(rippleVarianceA2: Float64Array, k: number, side: number): boolean {
  return median(rippleVarianceA2.subarray(k + (side >> 1), k + 2 * side)) < (1 + CLEAR_PART) ** 2 * median(rippleVarianceA2.subarray(k - side, k));
}

/** Whether most of a change comes from one reading to the next few. */
function isSwitched(deviationA: Float32Array, at: number, { press, envelope }: PressView, changeA: number): boolean {
  const rate = envelope.step / envelope.stepS;
  const gap = Math.max(1, Math.round(CONTACT_S * rate));
  let most = 0;
  for (let i = Math.max(press.startIndex + 3 * gap, at - Math.round((MAINS_PERIOD_S + CONTACT_S) * rate)); i < Math.min(press.endIndex - 3 * gap, at + Math.round((MAINS_PERIOD_S + CONTACT_S) * rate)); i++) {
    const jump = (meanOf(deviationA, i + 1, i + 1 + 2 * gap) - meanOf(deviationA, i - 2 * gap, i)) * press.sign * Math.sign(changeA);
    if (jump > most) most = jump;
  }
  return most > MOST_OF * Math.abs(changeA);
}
