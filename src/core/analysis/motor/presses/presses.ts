import { median } from '../../../stats.ts';
import type { Trace } from '../../../trace.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { isBraking, splitAfterBraking } from './braking.ts';
import { clampFallOf, partialBreaks } from './dips.ts';
import { FALSE_ALARM, MOST_OF } from '../signal/decision-levels.ts';
import { topOf } from '../signal/levels.ts';
import { findPulses, REBOUND_SHARE, type Pulse, type Scanned } from './pulses.ts';
import { groupPulses, isNoBreak } from './same-press.ts';
import { isHole, type Sampling } from '../sensor/sampling.ts';
import { QUICKEST_ROTOR_S } from '../motor-model.ts';
import { PRESS, STEP } from '../settings.ts';
import type { FeedVoltage } from '../sensor/feed-voltage.ts';
import type { IndexRange } from '../types.ts';
import { CLAMP_FOLLOWS_S, LEVEL_S } from '../time-scales.ts';

/** The longest part of some stretches without a hole in time; null when there is none. */
export function longestWhole(ranges: readonly IndexRange[], sampling: Sampling): IndexRange | null {
  let best: IndexRange | null = null;
  for (const { startIndex, endIndex } of ranges) {
    let from = startIndex;
    for (const hole of [...sampling.holes, endIndex]) {
      if (hole <= from) continue;
      const to = Math.min(hole, endIndex);
      if (best === null || to - from > best.endIndex - best.startIndex) best = { startIndex: from, endIndex: to };
      from = to;
    }
  }
  return best;
}

/** One press of the switch, from made to broken, as samples. */
export interface Press extends IndexRange {
  readonly sign: 1 | -1;
  /** the trace began (or came out of a hole) with the current already flowing */
  readonly startsMidway: boolean;
  readonly endsMidway: boolean;
  /** where the recording itself begins or ends inside the press; a hole in its middle is a gap */
  readonly cut: 'start' | 'end' | 'both' | null;
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
 *
 * @param leastA no current below this is a press, A: what cheap clamps resolve, or what is left where a sensor's loss was put back
 */
export function findPresses({ timeS, currentA }: Trace, baseline: Baseline, sampling: Sampling, feed: FeedVoltage | null, leastA: number = PRESS.floorA): Presses {
  const scan = findPulses(baseline, sampling, leastA);
  const scanned: Scanned = { timeS, deviationA: baseline.deviationA, sampling, thresholdA: scan.thresholdA, feed, isFrozen: frozenBy(currentA, baseline) };
  const pulses = scan.pulses.filter((pulse) => isReal(pulse, scanned)).flatMap((pulse, p, all) => splitAfterBraking(pulse, all[p - 1], scanned));
  const braking: IndexRange[] = [];
  const driven: Pulse[] = [];
  for (const [p, pulse] of pulses.entries()) {
    const last = driven.at(-1);
    // the first part of a split pulse runs straight into the press
    const next = pulses.at(p + 1);
    const runsInto = next !== undefined && next.startIndex === pulse.endIndex && next.sign === pulse.sign;
    if (last !== undefined && (isDriven(pulse, braking.at(-1), last, scanned) || isBraking(pulse, last, scanned) || runsInto)) braking.push(pulse);
    else driven.push(pulse);
  }
  const groups = groupPulses(driven, braking, scanned).map((group) => withoutDisturbances(group, scanned));
  const presses: Press[] = [];
  const clampFall = clampFallOf(groups, baseline, sampling);
  for (const group of groups) {
    const press = toPress(group, presses.at(-1), clampFall, scanned);
    // what a released mechanism drives through the shorted motor flows without volts
    presses.push(feed === null || press.endsMidway ? press : { ...press, endIndex: feed.upUntil(press.startIndex, press.endIndex) });
  }
  return { presses: presses.filter((press) => spanS(press, timeS, sampling) >= QUICKEST_ROTOR_S || press.startsMidway || press.endsMidway), braking, thresholdA: scan.thresholdA };
}

/** Without what is too short for a press and comes sooner before, or later after, all that is long enough than a contact bounces: a telephone's bursts, single readings in pairs. */
function withoutDisturbances(group: Pulse[], { timeS, sampling }: Scanned): Pulse[] {
  const long = group.filter((pulse) => spanS(pulse, timeS, sampling) >= QUICKEST_ROTOR_S);
  if (long.length === 0) return group;
  const [fromS, toS] = [timeS[long[0].startIndex] - LEVEL_S, timeS[long[long.length - 1].endIndex - 1] + LEVEL_S];
  return group.filter((pulse) => timeS[pulse.startIndex] >= fromS && timeS[pulse.endIndex - 1] <= toS);
}

/** Readings that fall on one step of the converter by chance do so with p = step/(sigma sqrt(2 pi)) each, n of them with p^n: a sensor that is noisier than that never repeats one. */
function frozenBy(currentA: Float32Array, { noiseA, stepA }: Baseline): (from: number, to: number) => boolean {
  const perReading = Math.log((noiseA * Math.sqrt(2 * Math.PI)) / stepA);
  return (from, to) => (to - from) * perReading > -Math.log(FALSE_ALARM) && currentA.subarray(from, to).every((value) => value === currentA[from]);
}


/**
 * Current of a shorted motor that its load pulls along (a window that sinks, a flap that falls): it begins where the braking ends, with the sign of
 * the press before, and comes up without a switch-on peak. A mechanism pressed into its stop springs back with no braking before, and dies away.
 */
function isDriven(pulse: Pulse, braked: IndexRange | undefined, last: Pulse, { timeS, deviationA }: Scanned): boolean {
  if (pulse.sign !== last.sign) return false;
  const afterBraking = braked !== undefined && braked.startIndex >= last.endIndex - 1;
  const from = afterBraking ? braked.endIndex : last.endIndex;
  if (timeS[pulse.startIndex] - timeS[Math.min(from, timeS.length - 1)] > CLAMP_FOLLOWS_S) return false;
  if (!afterBraking) return springsBack(pulse, last, deviationA);
  const levelA = median(deviationA.subarray(pulse.startIndex, pulse.endIndex)) * pulse.sign;
  let risen = pulse.startIndex;
  while (risen < pulse.endIndex && deviationA[risen] * pulse.sign < 0.7 * levelA) risen++;
  return timeS[Math.min(risen, timeS.length - 1)] - timeS[pulse.startIndex] > QUICKEST_ROTOR_S;
}

/** Whether a pulse is no more than a motor drives that springs back from its stop, and has died away at its end. */
function springsBack(pulse: Pulse, last: Pulse, deviationA: Float32Array): boolean {
  const levelA = median(deviationA.subarray(last.startIndex + ((last.endIndex - last.startIndex) >> 1), last.endIndex)) * last.sign;
  const topA = topOf(deviationA, pulse.startIndex, pulse.tailIndex, pulse.sign);
  const end = pulse.tailIndex - Math.max(2, (pulse.tailIndex - pulse.startIndex) >> 3);
  return pulse.tailIndex < deviationA.length && topA < REBOUND_SHARE * levelA && deviationA[end] * pulse.sign < topA / 2;
}

/** A motor that is set to a lower speed coasts down to it without current, and comes back below its level without a rush: that is no lost contact. */
function isSlowedDown({ startIndex, endIndex }: IndexRange, sign: number, pressEnd: number, { deviationA, sampling }: Scanned): boolean {
  const around = Math.round(STEP.sideS * sampling.rateHz);
  if (endIndex + 2 * around > pressEnd || startIndex < around) return false;
  const beforeA = median(deviationA.subarray(startIndex - around, startIndex)) * sign;
  const afterA = median(deviationA.subarray(endIndex + around, endIndex + 2 * around)) * sign;
  return afterA < MOST_OF * beforeA && topOf(deviationA, endIndex, endIndex + around, sign) < beforeA;
}

/** A contact brings a current back as it took it away; a rotor that has become too quick for its feed slows down first, while somebody cranks the engine. */
function comesBackSlowly({ startIndex, endIndex }: IndexRange, sign: number, pressEnd: number, { deviationA, sampling }: Scanned): boolean {
  const halfA = (median(deviationA.subarray(Math.max(0, startIndex - Math.round(LEVEL_S * sampling.rateHz)), startIndex)) * sign) / 2;
  let gone = startIndex;
  while (gone < endIndex && deviationA[gone] * sign > halfA) gone++;
  let back = endIndex;
  while (back < pressEnd && deviationA[back] * sign < halfA) back++;
  return back < pressEnd && (back - endIndex - (gone - startIndex)) * sampling.periodS > QUICKEST_ROTOR_S;
}

function spanS(range: IndexRange, timeS: Float64Array, sampling: Sampling): number {
  return timeS[range.endIndex - 1] - timeS[range.startIndex] + sampling.periodS;
}

/** A pulse must pass the threshold clearly, or last: a lone spike is a disturbance. */
function isReal(pulse: Pulse, { timeS, deviationA, thresholdA }: Scanned): boolean {
  const samples = pulse.tailIndex - pulse.startIndex;
  if (samples < 2) return false;
  if (timeS[pulse.tailIndex - 1] - timeS[pulse.startIndex] > 0.05) return true;
  const levelA = median(deviationA.subarray(pulse.startIndex, pulse.tailIndex)) * pulse.sign;
  return levelA > thresholdA * 1.1;
}

function toPress(group: readonly Pulse[], before: Press | undefined, clampFall: number, scanned: Scanned): Press {
  const { timeS, sampling } = scanned;
  const first = group[0];
  const last = group[group.length - 1];
  const dropouts: IndexRange[] = [];
  for (let g = 1; g < group.length; g++) {
    const range = { startIndex: group[g - 1].endIndex, endIndex: group[g].startIndex };
    // one reading without current may be a disturbance; chatter in the first moments is the contact being made, not lost
    if (range.endIndex - range.startIndex >= 2 && timeS[range.startIndex] - timeS[first.startIndex] > LEVEL_S && !isNoBreak(group, group[g - 1], group[g], scanned)) dropouts.push(range);
  }
  const count = timeS.length;
  const [cutStart, cutEnd] = [first.startIndex <= 1, last.tailIndex >= count - 1];
  const startsMidway = cutStart || isHole(sampling, first.startIndex);
  const endsMidway = cutEnd || isHole(sampling, last.tailIndex);
  dropouts.push(...partialBreaks({ startIndex: first.startIndex, endIndex: last.endIndex, sign: first.sign }, dropouts, clampFall, scanned));
  const lost = dropouts.filter((range) => !isSlowedDown(range, first.sign, last.endIndex, scanned) && !comesBackSlowly(range, first.sign, last.endIndex, scanned)).sort((a, b) => a.startIndex - b.startIndex);
  const restS = before === undefined ? Infinity : timeS[first.startIndex] - timeS[before.endIndex - 1];
  return {
    startIndex: first.startIndex,
    endIndex: Math.max(last.endIndex, first.startIndex + 1),
    sign: first.sign,
    startsMidway,
    endsMidway,
    cut: cutStart && cutEnd ? 'both' : cutStart ? 'start' : cutEnd ? 'end' : null,
    fromRest: restS > PRESS.coastS,
    dropouts: lost,
  };
}
