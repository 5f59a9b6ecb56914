import { median } from '../../../stats.ts';

/** bins on either side of a line that its surroundings are read from: wide enough that lines do not fill half of them, narrow enough that the noise there is the same */
const BESIDE = 24;

/** Median power of the bins about one. */
export function floorAt(power: Float64Array, bin: number): number {
  return median(power.subarray(Math.max(1, bin - BESIDE), Math.min(power.length, bin + BESIDE + 1)));
}

/** The same for every bin, calculated anew every quarter of the surroundings, at least a trifle of the whole: what is divided by it stays finite. */
export function floorsOf(total: Float64Array): Float64Array {
  const least = Math.max(Number.MIN_VALUE, Number.EPSILON * total.reduce((most, power) => Math.max(most, power), 0));
  const floors = new Float64Array(total.length);
  const step = BESIDE >> 2;
  for (let k = 0; k < total.length; k += step) floors.fill(Math.max(least, floorAt(total, k)), k, k + step);
  return floors;
}
