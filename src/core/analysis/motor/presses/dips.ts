import { median, quantile } from '../../../stats.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { fallAfter } from './clamp-speed.ts';
import { PRESS } from '../settings.ts';
import type { Pulse, Scanned } from './pulses.ts';
import type { IndexRange } from '../types.ts';
import { CONTACT_S, LEVEL_S } from '../time-scales.ts';

/** of the level; a slow clamp shows a short break as a dip that does not reach zero. Scored */
const DIP_SHARE = 0.4;

/** Time constant of this clamp in samples, as its fall at the switch-offs shows it; Infinity where none is seen. */
export function clampFallOf(groups: readonly (readonly Pulse[])[], baseline: Baseline, sampling: Sampling): number {
  const fallsS = groups.flatMap((group) => fallAfter(group[group.length - 1], baseline, sampling) ?? []);
  return fallsS.length > 0 ? median(fallsS) * sampling.rateHz : Infinity;
}

/** A press from its first sample to its last, and the sign of its current. */
interface Held extends IndexRange {
  readonly sign: number;
}

/** Breaks that a slow clamp shows as dips only: far below every other level of the press, for at least 4 ms. */
export function partialBreaks(held: Held, known: readonly IndexRange[], clampFall: number, scanned: Scanned): IndexRange[] {
  const { timeS, deviationA, thresholdA, sampling } = scanned;
  const { startIndex, endIndex, sign } = held;
  const stride = Math.max(1, (endIndex - startIndex) >> 12);
  const levels: number[] = [];
  for (let i = startIndex; i < endIndex; i += stride) levels.push(deviationA[i] * sign);
  if (levels.length < 20) return [];
  const limitA = DIP_SHARE * quantile(levels, 0.2);
  if (limitA < thresholdA) return [];
  const shortest = Math.max(2, Math.round(CONTACT_S * sampling.rateHz));
  const guard = Math.round(LEVEL_S * sampling.rateHz);
  const found: IndexRange[] = [];
  let from = -1;
  for (let i = startIndex; i < endIndex - guard; i++) {
    const low = deviationA[i] * sign < limitA;
    if (low && from < 0) from = i;
    if (low || from < 0) continue;
    const range = { startIndex: from, endIndex: i };
    from = -1;
    if (range.endIndex - range.startIndex < shortest || timeS[range.startIndex] - timeS[startIndex] < LEVEL_S) continue;
    if (timeS[range.endIndex] - timeS[range.startIndex] > PRESS.handS || !isDip(range, held, guard, clampFall, scanned)) continue;
    if (!known.some((other) => other.startIndex < range.endIndex + guard && other.endIndex > range.startIndex - guard)) found.push(range);
  }
  return found;
}

/**
 * Whether the current was clearly higher on both sides and a break took it: it is low no longer than this clamp takes to fall to the threshold and the
 * readings that show nothing, to a reading. What stays low above the threshold for longer still flows: a mechanism that runs free through its play, a clamp that
 * was opened. Readings that stand still are the logger's.
 */
function isDip(range: IndexRange, { startIndex, endIndex, sign }: Held, guard: number, clampFall: number, { deviationA, thresholdA, isFrozen }: Scanned): boolean {
  // the readings at either edge are those of the run
  if (isFrozen(range.startIndex + 1, range.endIndex - 1)) return false;
  const before = median(deviationA.subarray(Math.max(startIndex, range.startIndex - guard), range.startIndex)) * sign;
  const after = median(deviationA.subarray(range.endIndex, Math.min(endIndex, range.endIndex + guard))) * sign;
  const levelA = Math.min(before, after);
  const low = deviationA.subarray(range.startIndex, range.endIndex).map((value) => value * sign);
  const nothing = low.reduce((count, valueA) => count + Number(valueA < thresholdA), 0);
  return Math.min(...low) < 0.3 * levelA && low.length <= clampFall * Math.log(levelA / thresholdA) + nothing + 1;
}
