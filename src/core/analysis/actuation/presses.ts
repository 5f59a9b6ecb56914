import { median, quantile } from '../../stats.ts';
import { lowerBound } from '../../trace.ts';
import type { Baseline } from './baseline.ts';
import { findPulses, type Pulse } from './pulses.ts';
import type { Sampling } from './sampling.ts';
import { PRESS } from './settings.ts';
import type { FeedVoltage } from './feed-voltage.ts';

export interface IndexRange {
  readonly startIndex: number;
  readonly endIndex: number;
}

/** One press of the switch, from made to broken, as samples. */
export interface Press extends IndexRange {
  readonly sign: 1 | -1;
  /** the trace began (or came out of a hole) with the current already flowing */
  readonly startsMidway: boolean;
  readonly endsMidway: boolean;
  /** the motor was still turning the other way, or on, when this press began: its peak is no measure of the motor at rest */
  readonly fromRest: boolean;
  /** breaks of the current while the switch was held */
  readonly dropouts: readonly IndexRange[];
}

export interface Presses {
  readonly presses: Press[];
  /** braking currents after the switch opened; part of no press */
  readonly braking: IndexRange[];
  readonly thresholdA: number;
}

/**
 * Joins pulses of current into presses of the switch. Contact chatter and short losses of contact stay within one press; current of the
 * other sign that dies away after the switch has opened is braking, not a press; a change of sign that holds a level is a reversal.
 */
export function findPresses(timeS: Float64Array, baseline: Baseline, sampling: Sampling, feed: FeedVoltage | null): Presses {
  const scan = findPulses(baseline, sampling);
  const pulses = scan.pulses.filter((pulse) => isReal(pulse, timeS, baseline.deviationA, scan.thresholdA)).flatMap((pulse, p, all) => splitAfterBraking(pulse, all[p - 1], timeS, baseline.deviationA, sampling));
  const braking: IndexRange[] = [];
  const driven: Pulse[] = [];
  for (const [p, pulse] of pulses.entries()) {
    const last = driven.at(-1);
    // the first part of a split pulse runs straight into the press
    const next = pulses.at(p + 1);
    const runsInto = next !== undefined && next.startIndex === pulse.endIndex && next.sign === pulse.sign;
    if (last !== undefined && (isBraking(pulse, last, timeS, baseline.deviationA, sampling, scan.thresholdA, feed) || runsInto)) braking.push(pulse);
    else driven.push(pulse);
  }
  const groups = groupPulses(driven, timeS, baseline.deviationA, braking, feed);
  const presses: Press[] = [];
  for (const group of groups) presses.push(toPress(group, presses.at(-1), timeS, baseline.deviationA, scan.thresholdA, sampling));
  return { presses: presses.filter((press) => spanS(press, timeS, sampling) >= PRESS.shortestS || press.startsMidway || press.endsMidway), braking, thresholdA: scan.thresholdA };
}

function spanS(range: IndexRange, timeS: Float64Array, sampling: Sampling): number {
  return timeS[range.endIndex - 1] - timeS[range.startIndex] + sampling.periodS;
}

/** A pulse must pass the threshold clearly, or last: a lone spike is a disturbance. */
function isReal(pulse: Pulse, timeS: Float64Array, deviationA: Float32Array, thresholdA: number): boolean {
  const samples = pulse.tailIndex - pulse.startIndex;
  if (samples < 2) return false;
  if (timeS[pulse.tailIndex - 1] - timeS[pulse.startIndex] > 0.05) return true;
  const levelA = median(deviationA.subarray(pulse.startIndex, pulse.tailIndex)) * pulse.sign;
  return levelA > thresholdA * 1.1;
}

/** s; braking starts as the switch changes over, within its travel time (common practice, no published source) */
const CHANGE_OVER_S = 0.06;

/**
 * Braking: the switch shorts the motor, which drives a current of the other sign that dies away with the motor's speed. It is told from
 * a reversal by its end: nothing is left of it when it ends, while a press is cut off at a level.
 */
function isBraking(pulse: Pulse, before: Pulse, timeS: Float64Array, deviationA: Float32Array, sampling: Sampling, thresholdA: number, feed: FeedVoltage | null): boolean {
  if (pulse.sign === before.sign) return false;
  if (timeS[pulse.startIndex] - timeS[Math.min(before.tailIndex, timeS.length - 1)] > CHANGE_OVER_S) return false;
  if (pulse.tailIndex >= timeS.length) return false;
  const cutByHole = isHole(sampling, pulse.tailIndex);
  if (feed !== null) {
    const volts = feed.levelBetween(pulse.startIndex, pulse.endIndex);
    if (volts !== null) return volts < 0.4 * feed.onV;
  }
  const samples = pulse.tailIndex - pulse.startIndex;
  // no hand reverses a switch and lets go again within this
  if (samples < 4 || samples * sampling.periodS < CHANGE_OVER_S) return true;
  const peakA = topOf(deviationA, pulse.startIndex, pulse.tailIndex, pulse.sign);
  const share = (from: number, to: number): number => {
    const start = pulse.startIndex + Math.floor(samples * from);
    return (median(deviationA.subarray(start, Math.max(start + 1, pulse.startIndex + Math.floor(samples * to)))) * pulse.sign) / peakA;
  };
  // a slow clamp rounds the cut-off: its tail is as long as the one before
  const tail = before.tailIndex - before.endIndex;
  const cut = pulse.startIndex + Math.max(2, samples - Math.round(1.5 * tail) - 1);
  const lastA = median(deviationA.subarray(Math.max(pulse.startIndex, cut - Math.max(2, samples >> 4)), cut)) * pulse.sign;
  if (!cutByHole && samples > 3 * tail && lastA > 0.25 * peakA + 0.6 * thresholdA) return false;
  for (const from of [0.4, 0.5, 0.6, 0.7]) {
    const early = share(from, from + 0.1);
    const late = share(from + 0.2, from + 0.3);
    if (early > 0.03 && late > 0.82 * early && samples * sampling.periodS > 0.1) return false;
  }
  return true;
}

/** s; a hand that goes straight across a switch is through its middle within this (common practice, no published source) */
const THROUGH_S = 0.25;

/**
 * Going straight across a switch that brakes in its middle: the braking current and the new press have the same sign and run together.
 * The press begins where the current, falling until then, jumps up again.
 */
function splitAfterBraking(pulse: Pulse, before: Pulse | undefined, timeS: Float64Array, deviationA: Float32Array, sampling: Sampling): Pulse[] {
  if (before === undefined || before.sign === pulse.sign || timeS[pulse.startIndex] - timeS[Math.min(before.tailIndex, timeS.length - 1)] > CHANGE_OVER_S) return [pulse];
  const jump = Math.max(1, Math.round(0.004 * sampling.rateHz));
  const bounce = lowerBound(timeS, timeS[pulse.startIndex] + 0.012);
  const last = Math.min(pulse.endIndex - 2 * jump, lowerBound(timeS, timeS[pulse.startIndex] + THROUGH_S));
  let best = -1;
  let bestRiseA = 0;
  for (let i = Math.max(bounce, pulse.startIndex + 2 * jump); i < last; i++) {
    const fromA = meanOf(deviationA, i - jump, i) * pulse.sign;
    const riseA = meanOf(deviationA, i + jump, i + 2 * jump) * pulse.sign - fromA;
    if (riseA > bestRiseA && riseA > 0.4 * fromA) {
      best = i;
      bestRiseA = riseA;
    }
  }
  const topA = topOf(deviationA, pulse.startIndex, Math.max(pulse.startIndex + 1, best), pulse.sign);
  if (best < 0 || bestRiseA < 0.35 * topA || meanOf(deviationA, best - jump, best) * pulse.sign > 0.97 * topA) return [pulse];
  return [{ ...pulse, endIndex: best, tailIndex: best }, { ...pulse, startIndex: best }];
}

function topOf(deviationA: Float32Array, startIndex: number, endIndex: number, sign: number): number {
  let topA = 0;
  for (let i = startIndex; i < endIndex; i++) topA = Math.max(topA, deviationA[i] * sign);
  return topA;
}

function groupPulses(pulses: readonly Pulse[], timeS: Float64Array, deviationA: Float32Array, braking: readonly IndexRange[], feed: FeedVoltage | null): Pulse[][] {
  const groups: Pulse[][] = [];
  for (const pulse of pulses) {
    const group = groups.at(-1);
    if (group !== undefined && belongs(pulse, group, timeS, deviationA, braking, feed)) group.push(pulse);
    else groups.push([pulse]);
  }
  return groups;
}

function belongs(pulse: Pulse, group: readonly Pulse[], timeS: Float64Array, deviationA: Float32Array, braking: readonly IndexRange[], feed: FeedVoltage | null): boolean {
  const last = group[group.length - 1];
  if (pulse.sign !== last.sign) return false;
  const fromIndex = last.endIndex;
  const breakS = timeS[pulse.startIndex] - timeS[fromIndex - 1];
  if (isNoBreak(last, pulse, deviationA)) return true;
  if (breakS <= PRESS.handS) return true;
  // the switch was let go if the motor was braked, or if its feed went dead
  if (braking.some((range) => range.startIndex >= fromIndex - 1 && range.endIndex <= pulse.startIndex + 1)) return false;
  if (feed !== null) {
    const held = feed.heldThrough(last.tailIndex, pulse.startIndex);
    if (held !== null && held) return true;
  }
  if (feed === null && isCutOut(group, pulse, timeS, breakS, deviationA)) return true;
  if (breakS > PRESS.coastS) return false;
  // a motor that was let go for a moment only comes back at speed: its new peak is well below the one from rest
  const firstA = topOf(deviationA, group[0].startIndex, Math.min(group[0].endIndex, group[0].startIndex + peakSpan(group[0])), pulse.sign);
  const againA = topOf(deviationA, pulse.startIndex, Math.min(pulse.endIndex, pulse.startIndex + peakSpan(pulse)), pulse.sign);
  return againA < 0.8 * firstA;
}

/** s; a thermal cut-out at an end stop opens after 4 to 90 s (car makers' manuals, outside numbers 3.4); margin for a hot one */
const CUT_OUT_AFTER_S = 2.5;
/** s; and closes again within this, as long as the switch is held. Common practice, no published source */
const CUT_OUT_OPEN_S = 30;

/**
 * A thermal cut-out: a long flat current that broke off and comes back at the same level, without a switch-on peak and without having
 * run. A hand that lets go and presses on against the stop looks the same when there is no voltage to tell; the rarer case after so long.
 */
function isCutOut(group: readonly Pulse[], after: Pulse, timeS: Float64Array, breakS: number, deviationA: Float32Array): boolean {
  const before = group[group.length - 1];
  const { sign } = before;
  if (breakS > CUT_OUT_OPEN_S) return false;
  const flatFrom = lowerBound(timeS, timeS[before.endIndex - 1] - CUT_OUT_AFTER_S, before.startIndex, before.endIndex);
  if (timeS[before.endIndex - 1] - timeS[before.startIndex] < CUT_OUT_AFTER_S + 0.1 && group.length === 1) return false;
  const levelOf = (from: number, to: number): number => median(deviationA.subarray(from, Math.max(from + 1, to))) * sign;
  const quarter = Math.max(1, (before.endIndex - flatFrom) >> 2);
  const lastA = levelOf(before.endIndex - quarter, before.endIndex);
  for (let from = flatFrom; from + quarter <= before.endIndex; from += quarter) if (Math.abs(levelOf(from, from + quarter) / lastA - 1) > 0.06) return false;
  // it must have stood: clearly above the lower level at which it ran before
  if (group.length === 1 && !ranBelow(before, flatFrom, lastA, deviationA)) return false;
  const early = after.startIndex + Math.max(1, Math.min((after.endIndex - after.startIndex) >> 2, lowerBound(timeS, timeS[after.startIndex] + 0.1) - after.startIndex));
  const backA = levelOf(after.startIndex + ((early - after.startIndex) >> 1), early);
  return backA > 0.85 * lastA && backA < 1.3 * lastA;
}

function ranBelow(pulse: Pulse, endIndex: number, levelA: number, deviationA: Float32Array): boolean {
  const levels: number[] = [];
  const stride = Math.max(1, (endIndex - pulse.startIndex) >> 10);
  for (let i = pulse.startIndex; i < endIndex; i += stride) levels.push(deviationA[i] * pulse.sign);
  return levels.length > 10 && quantile(levels, 0.1) < levelA / 1.3;
}

/** Noise on a small current can dip below the threshold: a break is one only when the current is nearer to nothing than to its level. */
function isNoBreak(before: Pulse, after: Pulse, deviationA: Float32Array): boolean {
  const { sign } = before;
  const aroundA = Math.min(
    median(deviationA.subarray(Math.max(before.startIndex, before.endIndex - 20), before.endIndex)) * sign,
    median(deviationA.subarray(after.startIndex, Math.min(after.endIndex, after.startIndex + 20))) * sign,
  );
  return meanOf(deviationA, before.endIndex, after.startIndex) * sign > 0.35 * aroundA;
}

function meanOf(deviationA: Float32Array, startIndex: number, endIndex: number): number {
  let sum = 0;
  for (let i = startIndex; i < endIndex; i++) sum += deviationA[i];
  return endIndex > startIndex ? sum / (endIndex - startIndex) : Infinity;
}

function peakSpan(pulse: Pulse): number {
  return Math.max(3, Math.round((pulse.endIndex - pulse.startIndex) * 0.5));
}

function toPress(group: readonly Pulse[], before: Press | undefined, timeS: Float64Array, deviationA: Float32Array, thresholdA: number, sampling: Sampling): Press {
  const first = group[0];
  const last = group[group.length - 1];
  const dropouts: IndexRange[] = [];
  for (let g = 1; g < group.length; g++) {
    const range = { startIndex: group[g - 1].endIndex, endIndex: group[g].startIndex };
    // chatter in the first moments is the contact being made, not lost
    if (timeS[range.startIndex] - timeS[first.startIndex] > BOUNCE_S && !isNoBreak(group[g - 1], group[g], deviationA)) dropouts.push(range);
  }
  const count = timeS.length;
  const startsMidway = first.startIndex <= 1 || isHole(sampling, first.startIndex);
  const endsMidway = last.tailIndex >= count - 1 || isHole(sampling, last.tailIndex);
  dropouts.push(...partialBreaks(first.startIndex, last.endIndex, first.sign, dropouts, timeS, deviationA, thresholdA, sampling));
  dropouts.sort((a, b) => a.startIndex - b.startIndex);
  const restS = before === undefined ? Infinity : timeS[first.startIndex] - timeS[before.endIndex - 1];
  return {
    startIndex: first.startIndex,
    endIndex: Math.max(last.endIndex, first.startIndex + 1),
    sign: first.sign,
    startsMidway,
    endsMidway,
    fromRest: restS > PRESS.coastS,
    dropouts,
  };
}

/** of the level; a slow clamp shows a short break as a dip that does not reach zero. Scored */
const DIP_SHARE = 0.4;

/** Breaks that a slow clamp shows as dips only: far below every other level of the press, for at least 4 ms. */
function partialBreaks(startIndex: number, endIndex: number, sign: number, known: readonly IndexRange[], timeS: Float64Array, deviationA: Float32Array, thresholdA: number, sampling: Sampling): IndexRange[] {
  const stride = Math.max(1, (endIndex - startIndex) >> 12);
  const levels: number[] = [];
  for (let i = startIndex; i < endIndex; i += stride) levels.push(deviationA[i] * sign);
  if (levels.length < 20) return [];
  const limitA = DIP_SHARE * quantile(levels, 0.2);
  if (limitA < thresholdA) return [];
  const shortest = Math.max(2, Math.round(0.004 * sampling.rateHz));
  const guard = Math.round(0.04 * sampling.rateHz);
  const found: IndexRange[] = [];
  let from = -1;
  for (let i = startIndex; i < endIndex - guard; i++) {
    const low = deviationA[i] * sign < limitA;
    if (low && from < 0) from = i;
    if (low || from < 0) continue;
    const range = { startIndex: from, endIndex: i };
    from = -1;
    if (range.endIndex - range.startIndex < shortest || timeS[range.startIndex] - timeS[startIndex] < BOUNCE_S) continue;
    if (timeS[range.endIndex] - timeS[range.startIndex] > PRESS.handS || !isDip(range, startIndex, endIndex, guard, sign, deviationA)) continue;
    if (!known.some((other) => other.startIndex < range.endIndex + guard && other.endIndex > range.startIndex - guard)) found.push(range);
  }
  return found;
}

/** Whether the current was clearly higher on both sides. */
function isDip(range: IndexRange, startIndex: number, endIndex: number, guard: number, sign: number, deviationA: Float32Array): boolean {
  const before = median(deviationA.subarray(Math.max(startIndex, range.startIndex - guard), range.startIndex)) * sign;
  const after = median(deviationA.subarray(range.endIndex, Math.min(endIndex, range.endIndex + guard))) * sign;
  const lowest = Math.min(...deviationA.subarray(range.startIndex, range.endIndex).map((value) => value * sign));
  return lowest < 0.3 * Math.min(before, after);
}

/** s; contact bounce at make is over within some 10 ms (common practice, no published source) */
const BOUNCE_S = 0.03;

function isHole(sampling: Sampling, index: number): boolean {
  let low = 0;
  let high = sampling.holes.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (sampling.holes[middle] < index) low = middle + 1;
    else high = middle;
  }
  return sampling.holes[low] === index;
}
