import { median, quantile, slopeOf } from '../../../stats.ts';
import { PRESS } from '../settings.ts';
import { quietScatter } from '../signal/levels.ts';
import { CLEAR_PART, FEWEST, LITTLE, TRIFLE, clearOf } from '../signal/decision-levels.ts';

/** A; what a bad clamp shows after it was zeroed, and may wander either way (common practice, no published source); the zero is looked for within four of these */
export const BAD_ZERO_A = 0.15;

/**
 * Idle stretches of a trace as [startIndex, endIndex) pairs, in order; empty when nothing is idle.
 *
 * The trace is looked at in blocks of one mains period. The idle level is the densest cluster of block means near zero; from the first
 * block in it the level is followed forward and back, so a clamp that drifts stays found. A small steady current is distinguished from drift by its
 * edges: a level that is jumped to and jumped back from is a current. O(n log n) in the number of blocks.
 */
export function findIdle(means: Float64Array, blockLength: number): Int32Array {
  const cluster = idleCluster(means);
  if (cluster === null) return new Int32Array(0);
  let stretches = idleStretches(means, cluster, 0);
  // a zero that runs away faster than it can be followed from one idle moment to the next is followed by its slope
  if (stretches.at(-1) !== means.length) {
    const sloping = idleStretches(means, cluster, longestSlope(means, stretches));
    if (sloping.at(-1) === means.length) stretches = sloping;
  }
  const ranges = withoutSteadyCurrents(stretches, means, cluster.halfWidthA);
  return Int32Array.from(ranges, (block) => block * blockLength);
}

export function blockMeans(currentA: Float32Array, blockLength: number, blocks: number): Float64Array {
  const means = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    let sum = 0;
    const endIndex = (b + 1) * blockLength;
    for (let i = b * blockLength; i < endIndex; i++) sum += currentA[i];
    means[b] = sum / blockLength;
  }
  return means;
}

interface Cluster {
  readonly levelA: number;
  readonly halfWidthA: number;
}

function idleCluster(means: Float64Array): Cluster | null {
  if (means.length < FEWEST) return null;
  let topA = 0;
  for (const mean of means) topA = Math.max(topA, Math.abs(mean));
  // noise of a clamp is below a twentieth of its range, its zero within a hundredth of it (Hall clamps: 0.5 to 1 %);
  // a motor that runs through most of the trace with large waves would pass for noise, and its run for the zero
  const halfWidthA = Math.min(Math.max(clearOf(means.length) * quietScatter(means), PRESS.floorA), Math.max(4 * BAD_ZERO_A, LITTLE * topA));
  const sorted = Float64Array.from(means).sort();
  const needed = Math.min(FEWEST, Math.ceil(LITTLE * means.length));
  const from = Float64Array.from(sorted).sort((a, b) => Math.abs(a) - Math.abs(b));
  for (const startA of from) {
    if (Math.abs(startA) > Math.max(4 * BAD_ZERO_A, TRIFLE * topA)) return null;
    if (countWithin(sorted, startA, halfWidthA) < needed) continue;
    return { levelA: centreOf(sorted, startA, halfWidthA), halfWidthA };
  }
  return null;
}

/** Follows the middle of the window uphill to where the values are densest (mean shift). */
function centreOf(sorted: Float64Array, startA: number, halfWidthA: number): number {
  let centreA = startA;
  for (let round = 0; round < FEWEST; round++) {
    const low = firstNotBelow(sorted, centreA - halfWidthA);
    const high = firstNotBelow(sorted, centreA + halfWidthA);
    const middle = sorted[(low + high - 1) >>> 1];
    if (Math.abs(middle - centreA) < TRIFLE * halfWidthA) break;
    centreA = middle;
  }
  return centreA;
}

function countWithin(sorted: Float64Array, centreA: number, halfWidthA: number): number {
  return firstNotBelow(sorted, centreA + halfWidthA) - firstNotBelow(sorted, centreA - halfWidthA);
}

function firstNotBelow(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sorted[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}


/** Slope of the longest of some stretches, A a block. */
function longestSlope(means: Float64Array, stretches: readonly number[]): number {
  let best = 0;
  for (let r = 0; r < stretches.length; r += 2) if (stretches[r + 1] - stretches[r] > stretches[best + 1] - stretches[best]) best = r;
  const levels = means.subarray(stretches[best] ?? 0, stretches[best + 1] ?? 0);
  return slopeOf(levels.map((_level, b) => b), levels);
}

/** Blocks that follow the level, without the ones that touch a press; as pairs of blocks. With a slope, A a block, the level keeps to it through what is not idle. */
function idleStretches(means: Float64Array, cluster: Cluster, slopeA: number): number[] {
  const blocks = means.length;
  const isIdle = new Uint8Array(blocks);
  const nearest = nearestBlock(means, cluster.levelA);
  const widestA = widestIdle(means, cluster);
  for (const direction of [1, -1]) {
    let levelA = cluster.levelA;
    for (let b = nearest; b >= 0 && b < blocks; b += direction) {
      levelA += direction * slopeA;
      if (Math.abs(means[b] - levelA) > widestA || !isSteady(means, b, cluster.halfWidthA)) continue;
      isIdle[b] = 1;
      levelA += CLEAR_PART * (means[b] - levelA);
    }
  }
  const ranges: number[] = [];
  for (let b = 0; b < blocks; ) {
    if (isIdle[b] === 0) {
      b++;
      continue;
    }
    let end = b;
    while (end < blocks && isIdle[end] === 1) end++;
    const from = b === 0 ? 0 : b + 1;
    const to = end === blocks ? end : end - 1;
    if (to - from >= 1) ranges.push(from, to);
    b = end;
  }
  return ranges;
}

/**
 * How far from the level a steady block may lie and still be idle: a clamp may have wandered while the motor ran. Far below the usual
 * current of this trace, or within the noise.
 */
function widestIdle(means: Float64Array, cluster: Cluster): number {
  const active: number[] = [];
  for (const mean of means) if (Math.abs(mean - cluster.levelA) > Math.max(2 * BAD_ZERO_A, cluster.halfWidthA)) active.push(Math.abs(mean - cluster.levelA));
  if (active.length < FEWEST) return cluster.halfWidthA;
  return Math.max(cluster.halfWidthA, Math.min(2 * BAD_ZERO_A, CLEAR_PART * quantile(active, CLEAR_PART)));
}

function isSteady(means: Float64Array, b: number, halfWidthA: number): boolean {
  const before = b > 0 && Math.abs(means[b] - means[b - 1]) <= halfWidthA;
  const after = b + 1 < means.length && Math.abs(means[b] - means[b + 1]) <= halfWidthA;
  return before || after;
}

function nearestBlock(means: Float64Array, levelA: number): number {
  let best = 0;
  for (let b = 1; b < means.length; b++) if (Math.abs(means[b] - levelA) < Math.abs(means[best] - levelA)) best = b;
  return best;
}


/** Stretches at one level after another, as pairs of blocks. */
interface Group {
  readonly ranges: number[];
  readonly firstA: number;
  lastA: number;
  lowA: number;
  highA: number;
}

/**
 * Takes out what only looks idle: a small motor that runs, or the little that a tripped cut-out lets through. Such a level is flat,
 * and the levels before and after it are the same, away from it.
 */
function withoutSteadyCurrents(all: readonly number[], means: Float64Array, jumpA: number): number[] {
  const groups = groupByLevel(splitAtJumps(all, means, jumpA), means, jumpA);
  const kept: number[] = [];
  for (let g = 0; g < groups.length; g++) {
    kept.push(...groups[g].ranges);
    g += steadyCurrentsAfter(groups, g);
  }
  return kept;
}

/** Cuts a stretch where its level jumps within two blocks, as it does when a small current ends with nothing before or after it. */
function splitAtJumps(ranges: readonly number[], means: Float64Array, jumpA: number): number[] {
  const parts: number[] = [];
  for (let r = 0; r < ranges.length; r += 2) {
    let from = ranges[r];
    for (let b = from + 2; b < ranges[r + 1]; b++) {
      if (Math.abs(means[b] - means[b - 2]) <= jumpA) continue;
      if (b - 1 > from) parts.push(from, b - 1);
      from = b;
    }
    if (ranges[r + 1] > from) parts.push(from, ranges[r + 1]);
  }
  return parts;
}

function groupByLevel(ranges: readonly number[], means: Float64Array, jumpA: number): Group[] {
  const groups: Group[] = [];
  for (let r = 0; r < ranges.length; r += 2) {
    const levelA = median(means.subarray(ranges[r], ranges[r + 1]));
    const group = groups.at(-1);
    if (group === undefined || Math.abs(levelA - group.lastA) > jumpA) {
      groups.push({ ranges: [ranges[r], ranges[r + 1]], firstA: levelA, lastA: levelA, lowA: levelA, highA: levelA });
      continue;
    }
    group.ranges.push(ranges[r], ranges[r + 1]);
    group.lastA = levelA;
    group.lowA = Math.min(group.lowA, levelA);
    group.highA = Math.max(group.highA, levelA);
  }
  return groups;
}


/** How many groups after `g` are currents: each is flat and away from the level to which the clamp comes back after them. */
function steadyCurrentsAfter(groups: readonly Group[], g: number): number {
  const restA = groups[g].lastA;
  for (let count = 1; g + count + 1 < groups.length; count++) {
    const backA = groups[g + count + 1].firstA;
    const between = groups.slice(g + 1, g + count + 1);
    const awayA = Math.min(...between.map((group) => Math.min(Math.abs(group.firstA - restA), Math.abs(group.lastA - backA))));
    if (Math.abs(restA - backA) < CLEAR_PART * awayA && between.every((group) => group.highA - group.lowA < CLEAR_PART * awayA)) return count;
  }
  return 0;
}
