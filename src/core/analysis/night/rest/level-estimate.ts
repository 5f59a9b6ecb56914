import { robustSigma } from '../../../stats.ts';
import { UNKNOWN_ZERO_A } from '../../../reference/sensors.ts';
import { SECONDS_PER_HOUR } from '../../../units.ts';
import type { DrainOptions } from '../../options.ts';
import { UPPER_95, twoSided95 } from '../../uncertainty/distributions.ts';
import { ofLimits, ofStep } from '../../uncertainty/budget.ts';
import { NORMAL_95 } from '../../uncertainty/normal-95.ts';
import { halfWidthOf, partsOf, type UncertaintyPart } from '../../uncertainty/parts.ts';
import { edgeBlocks } from '../levels/segments.ts';
import { joinedRests } from './joined.ts';
import type { Settling } from './settling.ts';
import { recurringExtra } from './steady.ts';
import { CLEAR_SIGMAS, HALL_ZERO_A, HELD_SIGMAS, MANY_BLOCKS, MOST_ZERO_A, NEAR_S, NEGLIGIBLE_A, NOTABLE_A, PATTERN, SAME_SHARE, TRIFLE_A, TRIFLE_SHARE } from '../settings.ts';
import type { BlockRange, Readings, RestStretch } from '../types.ts';

export interface LevelEstimate {
  readonly levelA: number;
  readonly lowA: number;
  readonly highA: number;
  /** change of the rest level from its first to its last part that is not noise, A, signed; 0 when it holds still */
  readonly driftA: number;
  /** half-width of what the sensor alone may add, 95 %, A */
  readonly sensorA: number;
  readonly parts: readonly UncertaintyPart[];
}

/**
 * The sleeping level with a 95 % interval from batch means: rest is cut into up to 24 batches, whose scatter carries the noise that
 * hangs together in time. Added in: what rounding hides, how far the level moves at rest where nobody knows which of it is right, and
 * the sensor's own uncertainty where it is known. What is left of a creep that dies away is taken off.
 */
export function estimateLevel(readings: Readings, rests: readonly RestStretch[], options: DrainOptions, settling: Settling | null): LevelEstimate | null {
  const ranges = joinedRests(rests).map(({ startBlock, endBlock }) => {
    const trim = edgeBlocks(endBlock - startBlock);
    return { startBlock: startBlock + trim, endBlock: endBlock - trim };
  });
  const { values, times, counts, varianceA2, creepA } = restBlocks(readings, ranges, settling);
  if (values.length === 0) return null;
  const means = partMeans(values);
  const clearA = CLEAR_SIGMAS * Math.sqrt((varianceA2 * means.length) / values.length);
  const movedA = movementOf(means, clearA, times);
  const driftA = Math.abs(movedA) < TRIFLE_A ? 0 : movedA;
  let used = values.length;
  if (driftA !== 0 && !turns(means, clearA)) {
    used = 0;
    while (used < values.length && times[used] - times[0] < NEAR_S) used++;
  }
  const extra = recurringExtra(readings, ranges);
  const levelA = weightedMean(values, counts, used) + extra.extraA;
  const hours = (meanOf(times, 0, used) - readings.recordedFromS) / SECONDS_PER_HOUR;
  const sensor = sensorSizes(options, readings.readingSigmaA, levelA, hours);
  const sensorA = halfWidthOf(partsOf(sensor));
  const farthestA = movedA === 0 ? 0 : Math.max(...means.map((mean) => Math.abs(mean + extra.extraA - levelA)));
  const parts = partsOf({
    ...sensor,
    noise: Math.hypot(batchUncertainty(varianceA2, values, used), extra.errorA),
    resolution: stepUncertainty(readings, rests) / NORMAL_95,
    'zero-drift': Math.hypot(sensor['zero-drift'], unexplainedDrift(farthestA, times, readings.recordedFromS, options)),
    model: ofLimits(creepA),
  });
  const halfA = halfWidthOf(parts);
  return { levelA, lowA: levelA - halfA, highA: levelA + halfA, driftA, sensorA, parts };
}

/** Block means of the rest less what a creep still adds to them; `creepA` is the mean of that. */
function restBlocks(readings: Readings, ranges: readonly BlockRange[], settling: Settling | null) {
  const values: number[] = [];
  const times: number[] = [];
  const counts: number[] = [];
  let variance = 0;
  let creepA = 0;
  for (const range of ranges) {
    for (let i = range.startBlock; i < range.endBlock; i++) {
      const leftA = settling === null ? 0 : settling.amplitudeA * Math.exp((settling.fromS - readings.blocks.startS[i]) / settling.tauS);
      values.push(readings.blocks.meanA[i] - leftA);
      times.push(readings.blocks.startS[i]);
      counts.push(readings.blocks.count[i]);
      variance += readings.varianceA2[i];
      creepA += leftA;
    }
  }
  return { values, times, counts, varianceA2: variance / values.length, creepA: creepA / values.length };
}

/**
 * The movement of the level that no stated drift explains, k = 1, A. Which of it is right nobody knows: the zero may have been set before
 * the recording, at the same drift over the whole of it.
 */
function unexplainedDrift(farthestA: number, times: readonly number[], firstS: number, { zeroDriftAPerHour }: DrainOptions): number {
  const lastS = times[times.length - 1];
  const statedA = ((zeroDriftAPerHour ?? 0) * (lastS - firstS)) / SECONDS_PER_HOUR;
  const sinceZeroA = (farthestA * (lastS - firstS)) / Math.max(1, lastS - times[0]);
  return Math.sqrt(Math.max(0, (sinceZeroA / NORMAL_95) ** 2 - statedA ** 2));
}

function meanOf(values: readonly number[], startIndex: number, endIndex: number): number {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += values[i];
  return sum / Math.max(1, endIndex - startIndex);
}

/** Each reading the same weight: blocks at a few readings a second hold now more, now fewer, in step with a bus that pulses each second. */
function weightedMean(values: readonly number[], counts: readonly number[], used: number): number {
  let sum = 0;
  let weight = 0;
  for (let i = 0; i < used; i++) {
    sum += values[i] * counts[i];
    weight += counts[i];
  }
  return sum / Math.max(1, weight);
}

/** Standard error of the mean of the first `used` values, A: from the scatter of batches, as many as each holds values, with Student's t for their number put in. */
function batchUncertainty(varianceA2: number, values: readonly number[], used: number): number {
  const batches = Math.min(PATTERN, Math.floor(Math.sqrt(used)));
  if (batches < 2) return Math.sqrt(varianceA2 / used);
  const size = used / batches;
  const all = meanOf(values, 0, used);
  let squares = 0;
  for (let k = 0; k < batches; k++) squares += (meanOf(values, Math.floor(k * size), Math.floor((k + 1) * size)) - all) ** 2;
  return (twoSided95(batches - 1) / NORMAL_95) * Math.sqrt(squares / (batches - 1) / batches);
}

/**
 * What rounding to steps of q may add to a level, A. Readings that hop between two steps, a share p of them on the upper, come from a
 * level between the steps' edge (no noise to speak of) and their mean (noise that spreads them evenly): at most |p - 1/2| q from the mean,
 * half a step when they never hop. Noise over more steps leaves at most (q / pi) exp(-2 pi^2 (sigma/q)^2) (Widrow and Kollar,
 * Quantization Noise, 2008, chapter on dither); its sigma is the readings' scatter less q^2/12, taken a little low, since it swings with
 * where between two steps the level lies.
 */
export function stepUncertainty(readings: Readings, rests: readonly { readonly startS: number; readonly endS: number }[]): number {
  const { stepA, picked } = readings;
  if (stepA === 0) return 0;
  const differences: number[] = [];
  const onStep = new Map<number, number>();
  let counted = 0;
  let rest = 0;
  for (let i = 1; i < picked.timeS.length; i++) {
    while (rest < rests.length && rests[rest].endS <= picked.timeS[i]) rest++;
    if (rest === rests.length) break;
    if (picked.timeS[i - 1] < rests[rest].startS) continue;
    differences.push(picked.valueA[i] - picked.valueA[i - 1]);
    const step = Math.round((picked.valueA[i] - picked.valueA[0]) / stepA);
    onStep.set(step, (onStep.get(step) ?? 0) + 1);
    counted++;
  }
  if (counted < PATTERN) return stepA / 2;
  const offEdge = twoStepOffset(onStep, counted);
  if (offEdge !== null) return offEdge * stepA;
  const reachA = HELD_SIGMAS * Math.max(stepA, robustSigma(differences));
  let squares = 0;
  for (const difference of differences) squares += Math.min(reachA, Math.abs(difference)) ** 2;
  const share = ((1 - SAME_SHARE) * Math.sqrt(Math.max(0, squares / differences.length / 2 - ofStep(stepA) ** 2))) / stepA;
  return Math.min(0.5, Math.exp(-2 * Math.PI ** 2 * share ** 2) / Math.PI) * stepA;
}

/** How far, in steps, the mean of readings on two neighbouring steps lies from the edge between them; null when they spread further. */
function twoStepOffset(onStep: ReadonlyMap<number, number>, readings: number): number | null {
  let best = 0;
  let upper = 0;
  for (const [step, count] of onStep) {
    const above = onStep.get(step + 1) ?? 0;
    if (count + above <= best) continue;
    best = count + above;
    upper = above;
  }
  return best < UPPER_95 * readings ? null : Math.abs(upper / best - 0.5);
}

/** Half-width of what the sensor may add to a level read at `atS`, 95 %, A. */
export function sensorHalfWidthA(readings: Readings, options: DrainOptions, levelA: number, atS: number): number {
  return halfWidthOf(partsOf(sensorSizes(options, readings.readingSigmaA, levelA, (atS - readings.recordedFromS) / SECONDS_PER_HOUR)));
}

type SensorParts = Record<'zero' | 'zero-unknown' | 'zero-drift' | 'temperature' | 'gain', number>;

/** What the sensor may add, k = 1: its zero as set, or what it may be off by where nobody said, what it may have moved by since or with the warmth, and its scale. */
function sensorSizes(options: DrainOptions, readingSigmaA: number, levelA: number, hoursSinceZero: number): SensorParts {
  const unstatedA = readingSigmaA >= NOTABLE_A ? HALL_ZERO_A : UNKNOWN_ZERO_A;
  return {
    zero: options.zeroUncertaintyA ?? 0,
    'zero-unknown': options.zeroUncertaintyA === undefined ? unstatedA : 0,
    'zero-drift': Math.hypot((options.zeroDriftA ?? 0) / NORMAL_95, (options.zeroDriftAPerHour ?? 0) * hoursSinceZero),
    temperature: options.zeroTemperatureA ?? 0,
    gain: ((options.gainUncertaintyPercent ?? 0) / 100) * Math.abs(levelA),
  };
}

/** Change of level that the noise does not explain: first and last part of the rest against each other when most of it goes one way, else how far its parts lie apart. */
function movementOf(means: readonly number[], clearA: number, times: readonly number[]): number {
  if (times.length < MANY_BLOCKS || times[times.length - 1] - times[0] < NEAR_S) return 0;
  const spread = Math.max(...means) - Math.min(...means);
  if (spread < Math.max(TRIFLE_SHARE * NEGLIGIBLE_A, clearA) || spread > MOST_ZERO_A) return 0;
  const change = means[means.length - 1] - means[0];
  return Math.abs(change) > spread / 2 ? change : Math.sign(change || 1) * spread;
}

/** True when the level goes up and down more than once: a swing, whose middle is its level, and no zero that leaves where it was set. */
function turns(means: readonly number[], clearA: number): boolean {
  let last = 0;
  let count = 0;
  for (let k = 1; k < means.length; k++) {
    const step = means[k] - means[k - 1];
    if (Math.abs(step) < clearA) continue;
    if (last !== 0 && Math.sign(step) !== last) count++;
    last = Math.sign(step);
  }
  return count > 2;
}

function partMeans(values: readonly number[]): number[] {
  const parts = PATTERN / 2;
  const size = values.length / parts;
  return Array.from({ length: parts }, (_, k) => meanOf(values, Math.floor(k * size), Math.floor((k + 1) * size)));
}
