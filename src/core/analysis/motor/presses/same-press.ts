import { median, robustSigma } from '../../../stats.ts';
import { lowerBound } from '../../../trace.ts';
import { clearOf, FEWEST, LITTLE } from '../signal/decision-levels.ts';
import { meanOf, topOf } from '../signal/levels.ts';
import type { Pulse, Scanned } from './pulses.ts';
import { INRUSH, PRESS, STALL } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { CONTACT_S, HAND_CHANGES_S, LEVEL_S, MAINS_PERIOD_S, SWITCH_ON_S } from '../time-scales.ts';

/**
 * Joins pulses that belong to one press of the switch: between them the contact was lost or a cut-out opened, the switch stayed held.
 * A break too short for a hand proves a bad contact, and then one that a hand hardly makes is likelier its next one.
 */
export function groupPulses(pulses: readonly Pulse[], braking: readonly IndexRange[], scanned: Scanned): Pulse[][] {
  const groups = groupUpTo(PRESS.handS, pulses, braking, scanned);
  const joined = groups.some((group) => losesContact(group, scanned)) ? groupUpTo(HAND_CHANGES_S, pulses, braking, scanned) : groups;
  return joined.flatMap((group) => (isTimed(group, scanned) ? group.map((pulse) => [pulse]) : [group]));
}

/** Whether something switches by the clock, on for as long each time and off for as long, as no bad contact does: a flasher, a module's pulses. */
function isTimed(group: readonly Pulse[], { timeS }: Scanned): boolean {
  if (group.length < FEWEST) return false;
  const spans = (ends: (pulse: Pulse, next: Pulse) => number): number[] => group.slice(1).map((next, p) => ends(group[p], next));
  const isEven = (lengths: readonly number[]): boolean => Math.max(...lengths) <= (1 + LITTLE) * Math.min(...lengths);
  const offS = spans((pulse, next) => timeS[next.startIndex] - timeS[pulse.endIndex - 1]);
  return Math.min(...offS) > PRESS.handS && isEven(offS) && isEven(spans((pulse, next) => timeS[next.startIndex] - timeS[pulse.startIndex]));
}

function groupUpTo(longestS: number, pulses: readonly Pulse[], braking: readonly IndexRange[], scanned: Scanned): Pulse[][] {
  const groups: Pulse[][] = [];
  for (const pulse of pulses) {
    const group = groups.at(-1);
    if (group !== undefined && belongs(longestS, pulse, group, braking, scanned)) group.push(pulse);
    else groups.push([pulse]);
  }
  return groups;
}

/** Whether a press holds a break too short for a hand, other than the chatter of its contacts as they close and open. */
function losesContact(group: readonly Pulse[], scanned: Scanned): boolean {
  const { timeS } = scanned;
  const startS = timeS[group[0].startIndex];
  const endS = timeS[group[group.length - 1].endIndex - 1];
  return group.some((pulse, p) => {
    if (p === 0) return false;
    const before = group[p - 1];
    const [lostS, backS] = [timeS[before.endIndex - 1], timeS[pulse.startIndex]];
    return lostS - startS > LEVEL_S && endS - backS > LEVEL_S && backS - lostS <= PRESS.handS && !isNoBreak(group, before, pulse, scanned);
  });
}

function belongs(longestS: number, pulse: Pulse, group: readonly Pulse[], braking: readonly IndexRange[], scanned: Scanned): boolean {
  const { timeS, deviationA, feed } = scanned;
  const last = group[group.length - 1];
  if (pulse.sign !== last.sign) return false;
  const fromIndex = last.endIndex;
  const breakS = timeS[pulse.startIndex] - timeS[fromIndex - 1];
  if (isNoBreak(group, last, pulse, scanned)) return true;
  if (breakS <= PRESS.handS) return true;
  // the switch was let go if the motor was braked, or if its feed went dead
  if (braking.some((range) => range.startIndex >= fromIndex - 1 && range.endIndex <= pulse.startIndex + 1)) return false;
  if (breakS <= longestS) return true;
  if (feed !== null) {
    const held = feed.heldThrough(last.tailIndex, pulse.startIndex);
    if (held !== null && held) return true;
  }
  if (feed === null && isCutOut(group, pulse, breakS, scanned)) return true;
  if (breakS > PRESS.coastS) return false;
  // a motor that was let go for a moment only comes back at speed: its new peak is well below the one from rest
  const firstA = topOf(deviationA, group[0].startIndex, Math.min(group[0].endIndex, group[0].startIndex + peakSpan(group[0])), pulse.sign);
  const againA = topOf(deviationA, pulse.startIndex, Math.min(pulse.endIndex, pulse.startIndex + peakSpan(pulse)), pulse.sign);
  return againA < 0.8 * firstA;
}

/** s; a thermal cut-out at an end stop opens after 4 to 90 s (Toyota and Lexus seat motors, SOURCES.md); margin for a hot one */
const CUT_OUT_AFTER_S = 2.5;
/** s; and closes again within this, as long as the switch is held. Common practice, no published source */
const CUT_OUT_OPEN_S = 30;

/**
 * A thermal cut-out: a long flat current that broke off and comes back at the same level, without a switch-on peak and without having
 * run. A hand that lets go and presses on against the stop looks the same when there is no voltage to tell; the rarer case after so long.
 */
function isCutOut(group: readonly Pulse[], after: Pulse, breakS: number, { timeS, deviationA }: Scanned): boolean {
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
  if (!group.some((pulse) => ranBelow(pulse, pulse === before ? flatFrom : pulse.endIndex, lastA, timeS, deviationA))) return false;
  // no standing motor draws so much more as it is fed again: that is the switch-on of one that turns
  if (topOf(deviationA, after.startIndex, Math.min(after.endIndex, lowerBound(timeS, timeS[after.startIndex] + SWITCH_ON_S)), sign) > INRUSH.overRun * topOf(deviationA, before.endIndex - quarter, before.endIndex, sign)) return false;
  const early = after.startIndex + Math.max(1, Math.min((after.endIndex - after.startIndex) >> 2, lowerBound(timeS, timeS[after.startIndex] + 0.1) - after.startIndex));
  const backA = levelOf(after.startIndex + ((early - after.startIndex) >> 1), early);
  return backA > 0.85 * lastA && backA < 1.3 * lastA;
}

/** Whether the current, fallen from its switch-on, lay well below a level: a motor ran before it stood. One that only climbs to its level is fed softly. */
function ranBelow(pulse: Pulse, endIndex: number, levelA: number, timeS: Float64Array, deviationA: Float32Array): boolean {
  let topA = 0;
  for (let from = pulse.startIndex; from < endIndex; ) {
    const to = Math.min(endIndex, Math.max(from + 1, lowerBound(timeS, timeS[from] + MAINS_PERIOD_S)));
    const blockA = meanOf(deviationA, from, to) * pulse.sign;
    if (blockA < levelA / STALL.overRun && topA > INRUSH.overRun * blockA) return true;
    topA = Math.max(topA, blockA);
    from = to;
  }
  return false;
}

/**
 * A break is one only when the current is nearer to nothing than to its level, and farther below it than means of as many readings of the run lie by
 * themselves where it is short: the noise of a small current, or its ripple as a slow logger reads it, dips as low now and then.
 */
export function isNoBreak(group: readonly Pulse[], before: Pulse, after: Pulse, { deviationA, sampling, isFrozen }: Scanned): boolean {
  // the readings at either edge are those of the run
  if (isFrozen(before.endIndex + 1, after.startIndex - 1)) return true;
  const { sign } = before;
  const wide = Math.max(1, Math.round(LEVEL_S * sampling.rateHz));
  const aroundA = Math.min(
    median(deviationA.subarray(Math.max(before.startIndex, before.endIndex - wide), before.endIndex)) * sign,
    median(deviationA.subarray(after.startIndex, Math.min(after.endIndex, after.startIndex + wide))) * sign,
  );
  const leftA = meanOf(deviationA, before.endIndex, after.startIndex) * sign;
  if (leftA > 0.35 * aroundA) return true;
  const width = after.startIndex - before.endIndex;
  // a contact takes the current away and brings it back within this: what lasts longer is no dip of the run
  if (width * sampling.periodS > 2 * CONTACT_S) return false;
  const off = [
    ...blocksOff(deviationA, Math.max(group[0].startIndex, before.endIndex - BESIDE * width), before.endIndex, width),
    ...blocksOff(deviationA, after.startIndex, Math.min(after.endIndex, after.startIndex + BESIDE * width), width),
  ];
  return off.length > BESIDE / 4 && aroundA - leftA < clearOf(off.length) * robustSigma(off);
}

/** means of as many readings as a break has, on either side of it: the scatter of sixty is known to 15 % by their median deviation (efficiency 0.37), of eight, in a short press, to 40 % */
const BESIDE = 30;

/** How far the means of neighbouring blocks lie apart, as each one's own scatter: the fall from a switch-on, or a load that grows, is none. */
function blocksOff(deviationA: Float32Array, from: number, to: number, width: number): number[] {
  const means = Array.from({ length: Math.floor((to - from) / width) }, (_value, b) => meanOf(deviationA, from + b * width, from + (b + 1) * width));
  return means.slice(1).map((value, b) => (value - means[b]) / Math.SQRT2);
}

function peakSpan(pulse: Pulse): number {
  return Math.max(3, Math.round((pulse.endIndex - pulse.startIndex) * 0.5));
}
