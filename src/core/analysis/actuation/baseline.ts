import { median, quantile } from '../../stats.ts';
import { removeHum, type Hum } from './hum.ts';
import type { Sampling } from './sampling.ts';
import { converterStep } from './converter-step.ts';

/** What the clamp reads with nothing flowing. */
export interface Baseline {
  /** the reading minus what the clamp shows at rest at that moment, A, one per sample */
  readonly deviationA: Float32Array;
  /** level in the middle of the trace's idle time, A */
  readonly currentA: number;
  /** standard deviation of the idle reading about its level, A, without the hum that was taken out */
  readonly noiseA: number;
  /** 99.5 % of idle readings stay this close to their level, A */
  readonly reachA: number;
  /** how far the level wanders over the trace, A */
  readonly driftA: number;
  /** false: nothing idle was found, zero was assumed */
  readonly found: boolean;
  /** mains hum that was found and taken out */
  readonly hum: Hum | null;
  /** the resting level where it was read: times, s, and levels, A; lines join them */
  readonly nodeS: readonly number[];
  readonly nodeA: readonly number[];
  /** step of the converter, A; 0 when the readings lie on no raster */
  readonly stepA: number;
  /** idle stretches as [startIndex, endIndex) pairs, in order */
  readonly idle: Int32Array;
}

/** s; one period of 50 Hz mains, so that hum drops out of a block's mean */
const BLOCK_S = 0.02;
/** A; no clamp that was zeroed is further off: 0.15 A is a bad one (common practice), the rest is margin */
const FURTHEST_A = 0.6;
/** of the highest block; blocks further from each other than this are no idle clamp. Common practice: noise of a clamp below 5 % of its range */
const WIDEST_SHARE = 0.05;
/** s; one node of the drifting level spans at most this */
const NODE_S = 1;
const RESIDUALS = 20_001;

/**
 * Finds the resting level of the clamp and follows its drift.
 *
 * The trace is cut into blocks of one mains period. The idle level is the densest cluster of block means near zero; from the first
 * block in it the level is followed forward and back, so a clamp that drifts stays found. Idle stretches give nodes, lines join them
 * across the presses. O(n) besides one sort of the block means.
 */
export function findBaseline(timeS: Float64Array, currentA: Float32Array, sampling: Sampling): Baseline {
  const count = currentA.length;
  const blockLength = Math.max(1, Math.round(BLOCK_S * sampling.rateHz));
  const blocks = Math.floor(count / blockLength);
  const means = blockMeans(currentA, blockLength, blocks);
  const cluster = idleCluster(means);
  if (cluster === null) {
    return nothingIdle(currentA);
  }
  const idle = idleStretches(means, cluster, blockLength);
  const nodes = levelNodes(timeS, means, idle, blockLength);
  if (nodes.timeS.length === 0) {
    return nothingIdle(currentA);
  }
  const deviationA = subtractLevel(timeS, currentA, nodes);
  const asRead = idleSpread(deviationA, idle);
  const hum = removeHum(timeS, deviationA, idle, sampling, asRead.sigmaA);
  const spread = hum === null ? asRead : idleSpread(deviationA, idle);
  return {
    deviationA,
    currentA: median(nodes.levelA),
    noiseA: spread.sigmaA,
    reachA: spread.reachA,
    driftA: Math.max(...nodes.levelA) - Math.min(...nodes.levelA),
    found: true,
    hum,
    nodeS: nodes.timeS,
    nodeA: nodes.levelA,
    stepA: converterStep(currentA),
    idle,
  };
}

function nothingIdle(currentA: Float32Array): Baseline {
  return { deviationA: currentA.slice(), currentA: 0, noiseA: 0, reachA: 0, driftA: 0, found: false, hum: null, nodeS: [], nodeA: [], stepA: converterStep(currentA), idle: new Int32Array(0) };
}

function blockMeans(currentA: Float32Array, blockLength: number, blocks: number): Float64Array {
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
  if (means.length < 3) return null;
  const steps = new Float64Array(means.length - 1);
  for (let b = 1; b < means.length; b++) steps[b - 1] = Math.abs(means[b] - means[b - 1]);
  // the lower quarter of the steps: most of a test may be spent with the motor running
  const noiseA = quantile(steps, 0.25) / (0.3186 * Math.SQRT2);
  let topA = 0;
  for (const mean of means) topA = Math.max(topA, Math.abs(mean));
  // a motor that runs through most of the trace with large waves would pass for noise, and its run for the zero
  const halfWidthA = Math.min(Math.max(5 * noiseA, 0.03), Math.max(FURTHEST_A, WIDEST_SHARE * topA));
  const sorted = Float64Array.from(means).sort();
  const needed = Math.max(3, Math.min(8, Math.ceil(means.length * 0.02)));
  const from = Float64Array.from(sorted).sort((a, b) => Math.abs(a) - Math.abs(b));
  for (const startA of from) {
    if (Math.abs(startA) > FURTHEST_A) return null;
    if (countWithin(sorted, startA, halfWidthA) < needed) continue;
    return { levelA: centreOf(sorted, startA, halfWidthA), halfWidthA };
  }
  return null;
}

/** Follows the middle of the window uphill to where the values are densest (mean shift). */
function centreOf(sorted: Float64Array, startA: number, halfWidthA: number): number {
  let centreA = startA;
  for (let round = 0; round < 8; round++) {
    const low = firstNotBelow(sorted, centreA - halfWidthA);
    const high = firstNotBelow(sorted, centreA + halfWidthA);
    const middle = sorted[(low + high - 1) >>> 1];
    if (Math.abs(middle - centreA) < halfWidthA * 0.01) break;
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

/** Blocks that follow the level, without the ones that touch a press; as sample ranges. */
function idleStretches(means: Float64Array, cluster: Cluster, blockLength: number): Int32Array {
  const blocks = means.length;
  const isIdle = new Uint8Array(blocks);
  const nearest = nearestBlock(means, cluster.levelA);
  const widestA = widestIdle(means, cluster);
  for (const direction of [1, -1]) {
    let levelA = cluster.levelA;
    for (let b = nearest; b >= 0 && b < blocks; b += direction) {
      if (Math.abs(means[b] - levelA) > widestA || !isSteady(means, b, cluster.halfWidthA)) continue;
      isIdle[b] = 1;
      levelA += 0.3 * (means[b] - levelA);
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
    if (to - from >= 1) ranges.push(from * blockLength, to * blockLength);
    b = end;
  }
  return Int32Array.from(ranges);
}

/** A; a clamp may wander this far behind a long press (0.15 A each way, common practice) */
const WANDERS_A = 0.35;

/**
 * How far from the level a steady block may lie and still be idle: a clamp may have wandered while the motor ran. Far below the usual
 * current of this trace, or within the noise.
 */
function widestIdle(means: Float64Array, cluster: Cluster): number {
  const active: number[] = [];
  for (const mean of means) if (Math.abs(mean - cluster.levelA) > Math.max(WANDERS_A, cluster.halfWidthA)) active.push(Math.abs(mean - cluster.levelA));
  if (active.length < 3) return cluster.halfWidthA;
  return Math.max(cluster.halfWidthA, Math.min(WANDERS_A, 0.3 * quantile(active, 0.2)));
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

interface Nodes {
  readonly timeS: number[];
  readonly levelA: number[];
}

function levelNodes(timeS: Float64Array, means: Float64Array, idle: Int32Array, blockLength: number): Nodes {
  const nodes: Nodes = { timeS: [], levelA: [] };
  const perNode = Math.round(NODE_S / BLOCK_S);
  for (let r = 0; r < idle.length; r += 2) {
    const from = idle[r] / blockLength;
    const to = idle[r + 1] / blockLength;
    const pieces = Math.max(1, Math.round((to - from) / perNode));
    for (let p = 0; p < pieces; p++) {
      const start = from + Math.floor(((to - from) * p) / pieces);
      const end = from + Math.floor(((to - from) * (p + 1)) / pieces);
      nodes.timeS.push((timeS[start * blockLength] + timeS[end * blockLength - 1]) / 2);
      nodes.levelA.push(median(means.subarray(start, end)));
    }
  }
  return nodes;
}

function subtractLevel(timeS: Float64Array, currentA: Float32Array, nodes: Nodes): Float32Array {
  const deviationA = new Float32Array(currentA.length);
  const nodeS = nodes.timeS;
  const levelA = nodes.levelA;
  const last = nodeS.length - 1;
  let node = 0;
  for (let i = 0; i < deviationA.length; i++) {
    const atS = timeS[i];
    while (node < last && atS > nodeS[node + 1]) node++;
    let restA = levelA[node];
    if (node < last && atS > nodeS[node]) restA += ((levelA[node + 1] - restA) * (atS - nodeS[node])) / (nodeS[node + 1] - nodeS[node]);
    deviationA[i] = currentA[i] - restA;
  }
  return deviationA;
}

function idleSpread(deviationA: Float32Array, idle: Int32Array): { sigmaA: number; reachA: number } {
  let total = 0;
  for (let r = 0; r < idle.length; r += 2) total += idle[r + 1] - idle[r];
  const stride = Math.max(1, Math.floor(total / RESIDUALS));
  const sizes: number[] = [];
  let squares = 0;
  for (let r = 0; r < idle.length; r += 2) {
    for (let i = idle[r]; i < idle[r + 1]; i += stride) {
      sizes.push(Math.abs(deviationA[i]));
      squares += deviationA[i] * deviationA[i];
    }
  }
  if (sizes.length === 0) return { sigmaA: 0, reachA: 0 };
  return { sigmaA: Math.sqrt(squares / sizes.length), reachA: quantile(sizes, 0.995) };
}
