import { median, quantile } from '../../../stats.ts';
import type { Commutation } from '../../results.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Press } from '../presses/presses.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { IndexRange } from '../types.ts';
import { FASTEST_TURN_HZ, FEWEST_TURNS, SLOWEST_TURN_HZ } from '../motor-model.ts';
import { ENOUGH_READINGS } from '../time-scales.ts';
import { NEARLY_ALL } from '../signal/decision-levels.ts';

/** of the level; shallower notches are looked for by folding the run (folding.ts) */
const DEEP = 0.3;
/** of a turn; a coil that is lost leaves a notch one or two commutations wide. 3 to 12 of them make a turn */
const NARROWEST = 0.03;
const WIDEST = 0.28;
/** above the level over below it: a notch goes one way, an uneven rotor's wave both */
const ONE_SIDED = 0.4;
/** of an interval; from one turn to the next a rotor keeps its speed this well */
const EVEN = 0.12;
/** standard deviations of the idle clamp that a notch must clear */
const CLEAR = 8;

/**
 * A lost coil: once a turn the current falls into a narrow, deep notch that nobody has to average to see. The intervals between notches
 * are the turns. Null where the notches are shallow, wide, uneven, or not at the rate of a motor. O(n).
 */
export function notchTrain(press: Press, range: IndexRange, { deviationA, noiseA }: Baseline, { rateHz }: Sampling): Commutation | null {
  const count = range.endIndex - range.startIndex;
  if (count < rateHz * (FEWEST_TURNS / FASTEST_TURN_HZ)) return null;
  const stride = Math.max(1, Math.ceil(count / ENOUGH_READINGS));
  const some = new Float64Array(Math.ceil(count / stride)).map((_value, r) => deviationA[range.startIndex + r * stride] * press.sign);
  const [lowA, levelA] = [quantile(some, 0.02), quantile(some, 0.6)];
  if (levelA - lowA < Math.max(DEEP * levelA, CLEAR * noiseA)) return null;
  if (quantile(some, 0.98) - levelA > ONE_SIDED * (levelA - lowA)) return null;
  const part = deviationA.subarray(range.startIndex, range.endIndex).map((value) => value * press.sign);
  const [fallsA, risesA] = [lowA + (levelA - lowA) / 3, lowA + (2 * (levelA - lowA)) / 3];
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
  if (starts.length < FEWEST_TURNS) return null;
  const turns = starts.slice(1).map((start, s) => start - starts[s]);
  const turn = median(turns);
  const turnHz = rateHz / turn;
  const width = median(widths) / turn;
  if (turnHz < SLOWEST_TURN_HZ || turnHz > FASTEST_TURN_HZ || width < NARROWEST || width > WIDEST) return null;
  const even = turns.filter((value, t) => Math.abs(value / (turns[t - 1] ?? turn) - 1) < EVEN || Math.abs(value / turn - 1) < EVEN).length;
  if (even < NEARLY_ALL * turns.length || even * turn < NEARLY_ALL * part.length) return null;
  const depthA = levelA - median(floors);
  return {
    revolutions_per_s: turnHz, ripples_per_revolution: null, depth_a: depthA, low_a: levelA - quantile(floors, 0.9), high_a: levelA - quantile(floors, 0.1),
    share: depthA / levelA, revolutions: turns.length,
  };
}
