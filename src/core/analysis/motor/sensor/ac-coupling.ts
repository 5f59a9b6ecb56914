import { median, quantile } from '../../../stats.ts';
import type { Sampling } from './sampling.ts';
import { CLAMP_FOLLOWS_S, MAINS_PERIOD_S } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, LITTLE, MOST_OF, NEARLY_ALL, SMALL_PART, clearOf } from '../signal/decision-levels.ts';

/** A sensor that lets no direct current through. */
export interface AcCoupling {
  /** time constant with which a level sinks towards zero, s */
  readonly timeConstantS: number;
  /** the current as it must have been, A: what was lost is put back, which adds up every error of the zero */
  readonly currentA: Float32Array;
  /** what is left this near to zero once the loss is put back may be nothing, A */
  readonly idleA: number;
}


/**
 * Tells a sensor that is coupled through a capacitor or a transformer, a first-order high-pass: i = x + (1/tau) int x dt is then the current,
 * and lies at zero wherever the switch is open. Put back with any tau, a sensor for direct current never comes back to zero after its
 * first press; so the tau with which most of the recording lies at zero is looked for, and must beat the readings as they are.
 * O(n) and some hundred passes over blocks of 10 ms.
 */
export function findAcCoupling(currentA: Float32Array, sampling: Sampling): AcCoupling | null {
  const { rateHz, periodS } = sampling;
  // a rectified hum is averaged away over half a period
  const block = Math.max(1, Math.round((MAINS_PERIOD_S / 2) * rateHz));
  const blocks = Math.floor(currentA.length / block);
  if (blocks < 2 * FEWEST) return null;
  const means = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    let sum = 0;
    for (let i = b * block; i < (b + 1) * block; i++) sum += currentA[i];
    means[b] = sum / block;
  }
  const zeroA = zeroBefore(means);
  for (let b = 0; b < blocks; b++) means[b] -= zeroA;
  if (!swingsBothWays(means)) return null;
  const stepS = block * periodS;
  const asRead = awayFromZero(means, Infinity, stepS);
  let best = { idle: 0, swings: 0, tauS: 0 };
  // a shorter one leaves nothing of a level, one as long as the recording does not let it sink to be seen
  const longestS = (blocks * stepS) / 2;
  for (let tauS = CLAMP_FOLLOWS_S; tauS < longestS; tauS *= 1 + LITTLE) {
    const away = awayFromZero(means, tauS, stepS);
    let idle = 0;
    let swings = 0;
    for (let b = 0; b < blocks; b++) {
      if (away[b] >= 1) continue;
      idle++;
      // clear of what counts as idle before the loss was put back
      if (asRead[b] > 2) swings++;
    }
    if (idle > best.idle) best = { idle, swings, tauS };
  }
  // braking and what a load generates are shorter than the swings past zero, and not at zero by the same time constant
  if (best.idle < SMALL_PART * blocks || best.swings < LITTLE * blocks || !diesAway(means, awayFromZero(means, best.tauS, stepS), asRead, best.tauS / stepS)) return null;
  const restoredA = restored(currentA, zeroA, best.tauS, periodS);
  return { timeConstantS: best.tauS, currentA: restoredA, idleA: (LITTLE / 2) * restoredA.reduce((most, value) => Math.max(most, Math.abs(value)), 0) };
}

/** Level before the first press, A: any error of it adds up for as long as the recording lasts. */
function zeroBefore(means: Float64Array): number {
  const start = means.subarray(0, FEWEST);
  const startA = median(start);
  const farA = clearOf(means.length) * Math.max(...start.map((value) => Math.abs(value - startA)));
  let end = FEWEST;
  while (end < means.length && Math.abs(means[end] - startA) <= farA) end++;
  return median(means.subarray(0, end - 1));
}

/** A level that sinks must swing past zero when it ends. */
function swingsBothWays(means: Float64Array): boolean {
  const [low, high] = [quantile(means, LITTLE), quantile(means, 1 - LITTLE)];
  return Math.min(-low, high) > LITTLE * Math.max(-low, high);
}

/** How far each block lies from zero once the loss is put back, in units of what counts as idle. */
function awayFromZero(means: Float64Array, tauS: number, stepS: number): Float64Array {
  let charge = 0;
  const levels = new Float64Array(means.length);
  for (const [b, value] of means.entries()) {
    charge += value * stepS;
    levels[b] = Math.abs(value + charge / tauS - (value * stepS) / (2 * tauS));
  }
  // a switch-on is short
  const limitA = (LITTLE / 2) * quantile(levels, NEARLY_ALL);
  return levels.map((level) => level / limitA);
}


/** Whether presses end in swings past zero that die away with the time constant that was found. */
function diesAway(means: Float64Array, away: Float64Array, asRead: Float64Array, tauBlocks: number): boolean {
  let presses = 0;
  let swings = 0;
  for (let b = 0; b < means.length; ) {
    let end = b;
    const idle = away[b] < 1;
    while (end < means.length && away[end] < 1 === idle) end++;
    if (!idle && end - b >= FEWEST) {
      if (end < means.length) presses++;
      // an edge takes a block or two
      if (isSwing(means.subarray(end + 1), away.subarray(end + 1), asRead.subarray(end + 1), tauBlocks)) swings++;
    }
    b = end;
  }
  return swings > 0 && swings >= MOST_OF * presses && !dropsToRest(means, away, asRead, tauBlocks);
}


/**
 * A reading that drops to rest and stays there, where the restored current would flow on: a sensor for direct current. Braking, or a mechanism that
 * springs back, may lie between the drop and the rest, but no more than the quarter of a time constant in which no swing sinks to nothing.
 */
function dropsToRest(means: Float64Array, away: Float64Array, asRead: Float64Array, tauBlocks: number): boolean {
  const topA = means.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  const restsAt = (b: number): boolean => asRead[b] < 1 && away[b] > 2;
  for (let b = 1; b + FEWEST < means.length; b++) {
    if (Math.abs(means[b - 1] - means[b + 1]) < SMALL_PART * topA || asRead[b - 1] < 2) continue;
    let rest = b + 1;
    while (rest < means.length && rest - b < CLEAR_PART * tauBlocks && !restsAt(rest)) rest++;
    let end = rest;
    while (end < means.length && restsAt(end)) end++;
    if (end - rest >= Math.max(FEWEST, rest - b)) return true;
  }
  return false;
}

function isSwing(means: Float64Array, away: Float64Array, asRead: Float64Array, tauBlocks: number): boolean {
  let end = 0;
  while (end < means.length && away[end] < 1 && asRead[end] > 2 && means[end] * means[0] > 0) end++;
  if (end < FEWEST) return false;
  return [end - 1, (end - 1) >> 1].every((at) => {
    const fallen = Math.log(means[0] / means[at]) * tauBlocks;
    // a load that drives its motor on holds its current instead
    return fallen > MOST_OF * at && at > MOST_OF * fallen;
  });
}

function restored(currentA: Float32Array, zeroA: number, tauS: number, periodS: number): Float32Array {
  const result = new Float32Array(currentA.length);
  let charge = 0;
  for (let i = 0; i < currentA.length; i++) {
    charge += (currentA[i] - zeroA) * periodS;
    result[i] = currentA[i] - zeroA + charge / tauS;
  }
  return result;
}
