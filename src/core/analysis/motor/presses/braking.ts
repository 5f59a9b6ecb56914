import { median } from '../../../stats.ts';
import { lowerBound } from '../../../trace.ts';
import { meanOf, topOf } from '../signal/levels.ts';
import type { Pulse, Scanned } from './pulses.ts';
import { isHole } from '../sensor/sampling.ts';
import { CLAMP_FOLLOWS_S, CONTACT_S, HAND_CHANGES_S } from '../time-scales.ts';

/**
 * Braking: the switch shorts the motor, which drives a current of the other sign that dies away with the motor's speed. It is distinguished from
 * a reversal by its end: nothing is left of it when it ends, while a press is cut off at a level.
 */
export function isBraking(pulse: Pulse, before: Pulse, { timeS, deviationA, sampling, thresholdA, feed }: Scanned): boolean {
  if (pulse.sign === before.sign) return false;
  if (timeS[pulse.startIndex] - timeS[Math.min(before.tailIndex, timeS.length - 1)] > CLAMP_FOLLOWS_S) return false;
  if (pulse.tailIndex >= timeS.length) return false;
  const cutByHole = isHole(sampling, pulse.tailIndex);
  if (feed !== null) {
    const volts = feed.levelBetween(pulse.startIndex, pulse.endIndex);
    if (volts !== null) return volts < 0.4 * feed.onV;
  }
  const samples = pulse.tailIndex - pulse.startIndex;
  // no hand reverses a switch and lets go again within this
  if (samples < 4 || samples * sampling.periodS < CLAMP_FOLLOWS_S) return true;
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

/**
 * Going straight across a switch that brakes in its middle: the braking current and the new press have the same sign and run together.
 * The press begins where the current, falling until then, jumps up again.
 */
export function splitAfterBraking(pulse: Pulse, before: Pulse | undefined, { timeS, deviationA, sampling }: Scanned): Pulse[] {
  if (before === undefined || before.sign === pulse.sign || timeS[pulse.startIndex] - timeS[Math.min(before.tailIndex, timeS.length - 1)] > CLAMP_FOLLOWS_S) return [pulse];
  const jump = Math.max(1, Math.round(CONTACT_S * sampling.rateHz));
  const bounce = lowerBound(timeS, timeS[pulse.startIndex] + 0.012);
  const last = Math.min(pulse.endIndex - 2 * jump, lowerBound(timeS, timeS[pulse.startIndex] + HAND_CHANGES_S));
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
