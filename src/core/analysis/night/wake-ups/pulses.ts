import { median, quantile, robustSigma } from '../../../stats.ts';
import type { Pulses } from '../../results.ts';
import { CLEAR_SIGMAS, LOW_POINT, MANY_BLOCKS, MOST_KEPT, NOTABLE_A, REST_S } from '../settings.ts';
import { goesOn } from '../levels/pattern.ts';
import type { Bins } from '../types.ts';

/**
 * Pulses of a busy feed in `[startS, endS)`: floor, height above it, share of the time, mean and period. Null when there are few, when
 * they do not go on, or come further apart than modules are polled. Several modules may pulse, each at its own beat.
 */
export function findPulses(bins: Bins, startS: number, endS: number): Pulses | null {
  const fromBin = firstBin(bins, startS);
  const toBin = firstBin(bins, endS);
  const count = toBin - fromBin;
  if (count < MANY_BLOCKS) return null;
  const values = new Float64Array(count);
  let sumA = 0;
  let samples = 0;
  for (let i = 0; i < count; i++) {
    values[i] = bins.sumA[fromBin + i] / bins.count[fromBin + i];
    sumA += bins.sumA[fromBin + i];
    samples += bins.count[fromBin + i];
  }
  const floorA = quantile(values, LOW_POINT);
  const low = values.filter((value) => value <= floorA);
  // the lower part of a symmetric scatter, mirrored
  const sigmaA = robustSigma(Float64Array.from([...sample(low), ...sample(low).map((value) => 2 * floorA - value)]));
  const riseA = Math.max(NOTABLE_A, CLEAR_SIGMAS * sigmaA);
  return readPulses(bins, fromBin, values, { floorA, riseA, meanA: sumA / samples });
}

/** At most a few thousand values, evenly taken. */
function sample(values: Float64Array): number[] {
  const stride = Math.max(1, Math.floor(values.length / MOST_KEPT));
  const out: number[] = [];
  for (let i = 0; i < values.length; i += stride) out.push(values[i]);
  return out;
}

function readPulses(bins: Bins, fromBin: number, values: Float64Array, floor: { floorA: number; riseA: number; meanA: number }): Pulses | null {
  const starts: number[] = [];
  const heights: number[] = [];
  let above = 0;
  let highestA = -Infinity;
  for (let i = 0; i < values.length; i++) {
    const rises = values[i] - floor.floorA > floor.riseA;
    if (rises) {
      above++;
      if (i === 0 || values[i - 1] - floor.floorA <= floor.riseA) starts.push(bins.key[fromBin + i] * bins.widthS);
      highestA = Math.max(highestA, values[i]);
    } else if (highestA > -Infinity) {
      heights.push(highestA - floor.floorA);
      highestA = -Infinity;
    }
  }
  const endS = (bins.key[fromBin + values.length - 1] + 1) * bins.widthS;
  if (heights.length === 0 || !goesOn(starts, bins.key[fromBin] * bins.widthS, endS)) return null;
  const apart = Float64Array.from({ length: starts.length - 1 }, (_, i) => starts[i + 1] - starts[i]);
  const periodS = median(apart);
  if (periodS > REST_S) return null;
  return { floor_a: floor.floorA, pulse_a: median(heights), duty: above / values.length, mean_a: floor.meanA, period_s: periodS };
}

function firstBin(bins: Bins, atS: number): number {
  let low = 0;
  let high = bins.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (bins.key[middle] * bins.widthS < atS) low = middle + 1;
    else high = middle;
  }
  return low;
}
