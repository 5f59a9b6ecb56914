import { median, quantile } from '../../../stats.ts';
import { backgroundOf } from './background.ts';
import { removeHum, type Hum } from './hum.ts';
import { blockMeans, findIdle } from './idle.ts';
import type { Sampling } from './sampling.ts';
import { converterStep } from './converter-step.ts';
import { MAINS_PERIOD_S, ENOUGH_READINGS } from '../time-scales.ts';
import { TRIFLE } from '../signal/decision-levels.ts';

/** What the clamp reads with nothing flowing. */
export interface Baseline {
  /** the reading minus what the clamp shows at rest at that moment, A, one per sample */
  readonly deviationA: Float32Array;
  /** level in the middle of the trace's idle time, A */
  readonly currentA: number;
  /** standard deviation of the idle reading about its level, A, without the hum that was taken out */
  readonly noiseA: number;
  /** 99 % of idle readings stay this close to their level, A */
  readonly reachA: number;
  /** how far the level wanders over the trace, A */
  readonly driftA: number;
  /** false: nothing idle was found, zero was assumed */
  readonly found: boolean;
  /** level of another load that is there before and after every press, A; subtracted, and no part of currentA. 0 where there is none */
  readonly backgroundA: number;
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

/**
 * Finds the resting level of the clamp and follows its drift.
 *
 * The trace is cut into blocks of one mains period. The idle level is the densest cluster of block means near zero; from the first
 * block in it the level is followed forward and back, so a clamp that drifts stays found. Idle stretches give nodes, lines join them
 * across the presses. O(n) besides one sort of the block means.
 */
export function findBaseline(timeS: Float64Array, readA: Float32Array, sampling: Sampling): Baseline {
  const count = readA.length;
  const blockLength = Math.max(1, Math.round(MAINS_PERIOD_S * sampling.rateHz));
  const blocks = Math.floor(count / blockLength);
  const asRead = blockMeans(readA, blockLength, blocks);
  const backgroundA = backgroundOf(asRead);
  const means = backgroundA === 0 ? asRead : asRead.map((value) => value - backgroundA);
  const currentA = backgroundA === 0 ? readA : readA.map((value) => value - backgroundA);
  const idle = findIdle(means, blockLength);
  const nodes = levelNodes(timeS, means, idle, blockLength);
  if (nodes.timeS.length === 0) {
    return nothingIdle(readA);
  }
  const deviationA = subtractLevel(timeS, currentA, nodes);
  const withHum = idleSpread(deviationA, idle);
  const hum = removeHum(timeS, deviationA, idle, sampling, withHum.sigmaA);
  const spread = hum === null ? withHum : idleSpread(deviationA, idle);
  return {
    deviationA,
    currentA: median(nodes.levelA),
    noiseA: spread.sigmaA,
    reachA: spread.reachA,
    driftA: Math.max(...nodes.levelA) - Math.min(...nodes.levelA),
    found: true,
    backgroundA,
    hum,
    nodeS: nodes.timeS,
    nodeA: nodes.levelA,
    stepA: converterStep(currentA),
    idle,
  };
}

function nothingIdle(currentA: Float32Array): Baseline {
  return { deviationA: currentA.slice(), currentA: 0, noiseA: 0, reachA: 0, driftA: 0, found: false, backgroundA: 0, hum: null, nodeS: [], nodeA: [], stepA: converterStep(currentA), idle: new Int32Array(0) };
}

interface Nodes {
  readonly timeS: number[];
  readonly levelA: number[];
}

function levelNodes(timeS: Float64Array, means: Float64Array, idle: Int32Array, blockLength: number): Nodes {
  const nodes: Nodes = { timeS: [], levelA: [] };
  // one node of the drifting level spans a second at the most
  const perNode = Math.round(1 / MAINS_PERIOD_S);
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
  const stride = Math.max(1, Math.floor(total / ENOUGH_READINGS));
  const sizes: number[] = [];
  let squares = 0;
  for (let r = 0; r < idle.length; r += 2) {
    for (let i = idle[r]; i < idle[r + 1]; i += stride) {
      sizes.push(Math.abs(deviationA[i]));
      squares += deviationA[i] * deviationA[i];
    }
  }
  if (sizes.length === 0) return { sigmaA: 0, reachA: 0 };
  return { sigmaA: Math.sqrt(squares / sizes.length), reachA: quantile(sizes, 1 - TRIFLE) };
}
