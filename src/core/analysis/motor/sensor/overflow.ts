import type { Sampling } from './sampling.ts';
import { EDGE, meanOf } from '../signal/levels.ts';
import { SWITCH_ON_S } from '../time-scales.ts';

/**
 * Puts back the tips of a current beyond the converter's range that came out at its other end. No current in a winding goes from one end to the other between two
 * readings: where one does within a switch-on, what lies past zero right before it is the rest of the tip, a whole range too low. O(n).
 *
 * @returns the same array where there are none
 */
export function withoutOverflow(readA: Float32Array, { rateHz }: Sampling): Float32Array {
  let topA = 0;
  for (let i = 0; i < readA.length; i++) topA = Math.max(topA, Math.abs(readA[i]));
  const rangeA = 2 * topA;
  const reach = Math.ceil(SWITCH_ON_S * rateHz);
  let result = readA;
  for (let i = 1; i < readA.length; i++) {
    const jumpA = readA[i] - readA[i - 1];
    if (!(Math.abs(jumpA) > EDGE.from * rangeA)) continue;
    // a tip ends with a jump to the end it left by, along the current that the motor then runs at
    const sign = Math.sign(jumpA);
    if (i + reach >= readA.length || meanOf(readA, i + reach, Math.min(readA.length, i + 2 * reach)) * sign <= 0) continue;
    let from = i;
    while (from > 0 && readA[from - 1] * sign < 0) from--;
    // the noise of the idle clamp lies past zero too, and a peak of nearly twice the range is rare
    while (from < i && Math.abs(readA[from]) < EDGE.to * topA) from++;
    if (from === 0 || i - from > reach || standsStill(readA, i) || !comesFromBeyond(readA, from, i, sign)) continue;
    if (result === readA) result = readA.slice();
    for (let k = from; k < i; k++) result[k] = readA[k] + sign * rangeA;
  }
  return result;
}

/** Three equal readings in a row are at the end of the range: they are cut off there and have not come out at the other end. */
function standsStill(readA: Float32Array, to: number): boolean {
  const repeats = (k: number): boolean => readA[k] === readA[k - 1];
  return repeats(to - 1) && repeats(to - 2);
}

/** A tip falls to the end of the range by which it leaves: nothing of it lies nearer to that end than its last reading. */
function comesFromBeyond(readA: Float32Array, from: number, to: number, sign: number): boolean {
  const lastA = readA[to - 1] * sign;
  for (let k = from; k < to; k++) if (readA[k] * sign < lastA / EDGE.from) return false;
  return true;
}
