import { median, robustSigma } from '../../../stats.ts';
import { changePoints } from '../../change-points.ts';
import { localVariance, longRunFactor, memoryFactor } from './noise.ts';
import type { Rounding } from './noise.ts';
import { meanOf } from './segments.ts';
import { CLEAR_SIGMAS, HAND_BLIP_S, LEAST_A, MANY_BLOCKS, NOTABLE_A, PATTERN, PENALTY_FACTOR, SAME_SHARE, SHORTEST_WAKE_S, SURE_REST_S, TRIFLE_SHARE } from '../settings.ts';

interface NoisyLevels {
  /** start of each level, 0 first, the number of values last */
  readonly levels: readonly number[];
  /** long-run variance of each value */
  readonly varianceA2: Float64Array;
}

/** Noise and levels depend on each other: levels are found with a first guess of the noise, then both again. */
const MOST_ROUNDS = 3;

/** Values recorded in one range of the logger: `[startIndex, endIndex)`, and the least variance one of them can have. */
export interface RangePart {
  readonly startIndex: number;
  readonly endIndex: number;
  readonly floorA2: number;
}

/** Levels in a series whose noise is unknown, changes its size and may hang together in time. `widthS`: time of one value; `parts` cover all values; `reading`: how they are rounded. */
export function noisyLevels(values: Float64Array, widthS: number, parts: readonly RangePart[], reading?: Rounding): NoisyLevels {
  const varianceA2 = new Float64Array(values.length);
  for (const part of parts) varianceA2.set(localVariance(values.subarray(part.startIndex, part.endIndex), part.floorA2, reading), part.startIndex);
  let levels: readonly number[] = [0, values.length];
  let factor = Math.max(memoryFactor(values, varianceA2), longRunFactor(values, varianceA2, levels, HAND_BLIP_S / widthS));
  for (let round = 0; round < MOST_ROUNDS; round++) {
    levels = levelsAt(values, varianceA2, factor);
    const better = longRunFactor(values, varianceA2, levels, SURE_REST_S / widthS);
    if (better <= (1 + TRIFLE_SHARE) * factor) break;
    factor = better;
  }
  levels = withStandouts(values, widthS, varianceA2, levels);
  for (let i = 0; i < varianceA2.length; i++) varianceA2[i] *= factor;
  return { levels: withinPulses(values, widthS, varianceA2, levels), varianceA2 };
}

/**
 * The levels, and the steps that the pulses of a busy feed hide: means over several pulses scatter far less than single values do, and
 * show a module that times out beside them. Where such a step is found, `varianceA2` becomes that of those means.
 */
function withinPulses(values: Float64Array, widthS: number, varianceA2: Float64Array, levels: readonly number[]): number[] {
  const size = Math.max(1, Math.round((2 * HAND_BLIP_S) / widthS));
  const out = [0];
  for (let k = 0; k + 1 < levels.length; k++) {
    const [start, end] = [levels[k], levels[k + 1]];
    const count = Math.floor((end - start) / size);
    if (count >= PATTERN) {
      const means = Float64Array.from({ length: count }, (_, i) => meanOf(values, start + i * size, start + (i + 1) * size));
      const ofMeansA2 = localVariance(means, LEAST_A ** 2);
      if (median(ofMeansA2) * size < SAME_SHARE * median(varianceA2.subarray(start, end))) {
        const factor = longRunFactor(means, ofMeansA2, [0, count], SURE_REST_S / (size * widthS));
        const steps = levelsAt(means, ofMeansA2, factor).slice(1, -1).filter((at, i, all) => isNotable(means, all[i - 1] ?? 0, at, all[i + 1] ?? count));
        if (steps.length > 0) varianceA2.fill(median(ofMeansA2) * size * factor, start, end);
        out.push(...steps.map((at) => start + at * size));
      }
    }
    out.push(end);
  }
  return out;
}

/** True for a step at `at` that is worth asking about, and more than a trifle beside the level that it leaves. */
function isNotable(means: Float64Array, from: number, at: number, to: number): boolean {
  const afterA = meanOf(means, at, to);
  return Math.abs(meanOf(means, from, at) - afterA) > Math.max(NOTABLE_A, TRIFLE_SHARE * Math.abs(afterA));
}

/** The levels, and every stretch inside one that stands out of its scatter as a level of its own. */
function withStandouts(values: Float64Array, widthS: number, varianceA2: Float64Array, levels: readonly number[]): number[] {
  const out = [0];
  for (let k = 0; k + 1 < levels.length; k++) {
    const endIndex = levels[k + 1];
    if (endIndex - levels[k] >= MANY_BLOCKS) {
      const inside = values.subarray(levels[k], endIndex);
      const middle = median(inside);
      const sigma = robustSigma(inside);
      let startIndex = -1;
      let short = 0;
      const long: number[] = [];
      for (let i = levels[k] + 1; i < endIndex; i++) {
        const isHigh = values[i] - middle > CLEAR_SIGMAS * Math.max(sigma, Math.sqrt(varianceA2[i]) / 2);
        if (isHigh && startIndex < 0) startIndex = i;
        if (isHigh || startIndex < 0) continue;
        if ((i - startIndex) * widthS >= SHORTEST_WAKE_S) long.push(startIndex, i);
        else short++;
        startIndex = -1;
      }
      // most are shorter: the flashes of a lamp, some of them in a row
      if (short <= long.length) out.push(...long);
    }
    out.push(endIndex);
  }
  return out;
}

/** Start of each level by functional pruning on block means, each weighted by its own variance; 0 first, the number of blocks last. */
function levelsAt(values: Float64Array, varianceA2: Float64Array, factor: number): number[] {
  const count = values.length;
  const weights = new Float64Array(count);
  for (let i = 0; i < count; i++) weights[i] = 1 / (varianceA2[i] * factor);
  const penalty = PENALTY_FACTOR * Math.log(Math.max(count, 2));
  return withoutEdges(values, [0, ...changePoints(values, penalty, weights), count]);
}

/** A single block between two longer levels whose mean lies between theirs is the one in which the change happened, not a level. */
function withoutEdges(values: Float64Array, levels: readonly number[]): number[] {
  const kept = [0];
  for (let k = 1; k + 1 < levels.length; k++) {
    const start = levels[k];
    const last = kept[kept.length - 1];
    const isSingle = levels[k + 1] - start === 1 && k + 2 < levels.length && levels[k + 2] - levels[k + 1] > 1 && start - last > 1;
    if (isSingle) {
      const before = meanOf(values, last, start);
      const after = meanOf(values, levels[k + 1], levels[k + 2]);
      const mean = values[start];
      if ((mean - before) * (after - mean) > 0) {
        kept.push(Math.abs(mean - before) < Math.abs(mean - after) ? levels[k + 1] : start);
        k++;
        continue;
      }
    }
    kept.push(start);
  }
  kept.push(levels[levels.length - 1]);
  return kept;
}
