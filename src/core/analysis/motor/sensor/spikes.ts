import { median, quantile } from '../../../stats.ts';
import type { Sampling } from './sampling.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { CONTACT_S, ENOUGH_READINGS } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, LITTLE, TRIFLE, clearOf } from '../signal/decision-levels.ts';

/** Isolated readings: no current in a motor's winding comes and goes within one period of the logger. */
export interface Spikes {
  /** rising */
  readonly indices: Int32Array;
  /** the readings with each spike replaced by the mean of its neighbours; the same array where there are none */
  readonly currentA: Float32Array;
}


/** Finds single readings far off their neighbours on both sides, which agree with each other. O(n). */
export function findSpikes(readA: Float32Array, { rateHz }: Sampling): Spikes {
  const none = { indices: new Int32Array(0), currentA: readA };
  const count = readA.length;
  if (count < 2 * FEWEST || rateHz * CONTACT_S < 2) return none;
  const limitA = clearOf(readA.length) * usualBend(readA);
  if (!(limitA > 0)) return none;
  const found: number[] = [];
  for (let i = 1; i < count - 1; i++) {
    const beforeA = readA[i] - readA[i - 1];
    const afterA = readA[i] - readA[i + 1];
    if (beforeA * afterA <= 0 || Math.min(Math.abs(beforeA), Math.abs(afterA)) < limitA) continue;
    if (isAlone(readA, i)) found.push(i);
  }
  // more than one in a hundred are how this signal is, not disturbances: a chopped supply, a coarse logger
  if (found.length === 0 || found.length > Math.max(FEWEST, TRIFLE * count)) return none;
  const currentA = readA.slice();
  for (const i of found) currentA[i] = (readA[i - 1] + readA[i + 1]) / 2;
  return { indices: Int32Array.from(found), currentA };
}

/** Robust deviation of a reading from the mean of its neighbours, the larger of the whole trace's and its livelier parts' (a running motor's). */
function usualBend(readA: Float32Array): number {
  const stride = Math.max(1, Math.floor(readA.length / ENOUGH_READINGS));
  const bends: number[] = [];
  for (let i = 1; i < readA.length - 1; i += stride) bends.push(Math.abs(readA[i] - (readA[i - 1] + readA[i + 1]) / 2));
  // a motor that runs for a fifth of the trace fills the last twentieth with its ripple
  return quantile(bends, 1 - LITTLE) / NORMAL_95;
}


function isAlone(readA: Float32Array, i: number): boolean {
  const before = readA.subarray(Math.max(0, i - FEWEST), i);
  const after = readA.subarray(i + 1, i + 1 + FEWEST);
  const [levelA, nextA] = [median(before), median(after)];
  const off = Math.abs(readA[i] - (levelA + nextA) / 2);
  const spreadA = Math.max(...before, ...after) - Math.min(...before, ...after);
  return off > CLEAR_PART * Math.abs(levelA) && Math.abs(levelA - nextA) < off / (2 * FEWEST) && spreadA < off / 2;
}
