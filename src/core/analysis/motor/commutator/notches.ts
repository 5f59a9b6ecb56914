import { median, quantile } from '../../../stats.ts';
import type { Commutation } from '../../results.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Press } from '../presses/presses.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { IndexRange } from '../types.ts';
import { FASTEST_TURN_HZ, FEWEST_PER_TURN, FEWEST_PERIODS, SLOWEST_TURN_HZ } from '../motor-model.ts';
import { ENOUGH_READINGS } from '../time-scales.ts';
import { CLEAR_PART, clearOf, MOST_OF, NEARLY_ALL, SMALL_PART, TRIFLE } from '../signal/decision-levels.ts';

/**
 * A lost coil: once a turn the current falls into a narrow, deep notch that nobody has to average to see (shallower ones: folding.ts). The intervals between notches
 * are the turns. Null where the notches are shallow, wider than two commutations, uneven, or not at the rate of a motor. O(n).
 */
export function notchTrain(press: Press, range: IndexRange, { deviationA, noiseA }: Baseline, { rateHz }: Sampling): Commutation | null {
  const count = range.endIndex - range.startIndex;
  if (count < rateHz * (FEWEST_PERIODS / FASTEST_TURN_HZ)) return null;
  const stride = Math.max(1, Math.ceil(count / ENOUGH_READINGS));
  const some = new Float64Array(Math.ceil(count / stride)).map((_value, r) => deviationA[range.startIndex + r * stride] * press.sign);
  const [lowA, levelA] = [quantile(some, TRIFLE), quantile(some, MOST_OF)];
  if (levelA - lowA < Math.max(CLEAR_PART * levelA, clearOf(some.length) * noiseA)) return null;
  // a notch goes one way, an uneven rotor's wave both
  if (quantile(some, 1 - TRIFLE) - levelA > (levelA - lowA) / 2) return null;
  const part = deviationA.subarray(range.startIndex, range.endIndex).map((value) => value * press.sign);
  const [fallsA, risesA] = [lowA + CLEAR_PART * (levelA - lowA), lowA + MOST_OF * (levelA - lowA)];
  const starts: number[] = [];
  const widths: number[] = [];
  const floors: number[] = [];
  let since = -1;
  let floorA = Infinity;
  for (let i = 0; i < part.length; i++) {
    if (since < 0 && part[i] < fallsA) since = i;
    if (since >= 0) floorA = Math.min(floorA, part[i]);
    if (since >= 0 && part[i] > risesA) {
      starts.push(since);
      widths.push(i - since);
      floors.push(floorA);
      since = -1;
      floorA = Infinity;
    }
  }
  if (starts.length < FEWEST_PERIODS) return null;
  const turns = starts.slice(1).map((start, s) => start - starts[s]);
  const turn = median(turns);
  const turnHz = rateHz / turn;
  const width = median(widths) / turn;
  if (turnHz < SLOWEST_TURN_HZ || turnHz > FASTEST_TURN_HZ || width > 2 / FEWEST_PER_TURN) return null;
  const even = turns.filter((value, t) => Math.abs(value / (turns[t - 1] ?? turn) - 1) < SMALL_PART || Math.abs(value / turn - 1) < SMALL_PART).length;
  if (even < NEARLY_ALL * turns.length || even * turn < NEARLY_ALL * part.length) return null;
  const depthA = levelA - median(floors);
  return {
    revolutions_per_s: turnHz, ripples_per_revolution: null, depth_a: depthA, low_a: levelA - quantile(floors, NEARLY_ALL), high_a: levelA - quantile(floors, SMALL_PART),
    share: depthA / levelA, revolutions: turns.length,
  };
}
