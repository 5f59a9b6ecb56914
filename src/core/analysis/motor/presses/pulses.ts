import { normalQuantile } from '../../uncertainty/distributions.ts';
import { median } from '../../../stats.ts';
import type { Baseline } from '../sensor/baseline.ts';
import { PRESS } from '../settings.ts';
import type { FeedVoltage } from '../sensor/feed-voltage.ts';
import type { Sampling } from '../sensor/sampling.ts';
import { CONTACT_S, LEVEL_S } from '../time-scales.ts';
import { EDGE } from '../signal/levels.ts';
import { CLEAR_PART, clearOf, TRIFLE } from '../signal/decision-levels.ts';

/** A stretch of current of one sign, `[startIndex, endIndex)`. */
export interface Pulse {
  startIndex: number;
  endIndex: number;
  sign: 1 | -1;
  /** end of the tail a slow clamp draws after the switch has opened; not before endIndex */
  tailIndex: number;
}

/** What pulses are recognised and joined by: the columns, how they were sampled, and the volts at the motor where there are any. */
export interface Scanned {
  readonly timeS: Float64Array;
  readonly deviationA: Float32Array;
  readonly sampling: Sampling;
  /** A; readings below are taken for no current */
  readonly thresholdA: number;
  readonly feed: FeedVoltage | null;
  /** samples `[from, to)` are all one and the same reading, as no reading of this sensor stays by itself: the logger lost the stretch */
  readonly isFrozen: (from: number, to: number) => boolean;
}

interface Scan {
  readonly pulses: Pulse[];
  /** A; readings below are taken for no current */
  readonly thresholdA: number;
}


/**
 * Cuts the trace into pulses of current. The threshold follows the noise of this clamp in this trace and, for large motors, their
 * usual current; hysteresis keeps hum from splitting a pulse. Start and end are then walked to the sample where the current left and
 * began to leave its level. O(n).
 */
export function findPulses(baseline: Baseline, sampling: Sampling, leastA: number): Scan {
  const deviationA = baseline.deviationA;
  // smooths the noise of a fast logger, not a plunger's dip of some milliseconds
  const smooth = Math.max(1, Math.round(CLEAR_PART * CONTACT_S * sampling.rateHz));
  // what normal noise with this 99 % reach passes in a trace of this length by a false alarm
  const noiseA = (baseline.reachA * clearOf(deviationA.length)) / -normalQuantile(TRIFLE / 2);
  const firstA = Math.max(leastA, noiseA);
  const usualA = usualCurrent(deviationA, firstA);
  const thresholdA = Math.max(firstA, TRIFLE * usualA);
  // gone for less than half of what a contact takes is the chatter of one contact
  const pulses = scan(deviationA, smooth, thresholdA, Math.max(2, Math.round((CONTACT_S / 2) * sampling.rateHz)));
  for (const pulse of pulses) refineEdges(pulse, deviationA, thresholdA, noiseA, sampling);
  return { pulses, thresholdA };
}

function usualCurrent(deviationA: Float32Array, thresholdA: number): number {
  const stride = Math.max(1, Math.floor(deviationA.length / 20_000));
  const active: number[] = [];
  for (let i = 0; i < deviationA.length; i += stride) if (Math.abs(deviationA[i]) > thresholdA) active.push(Math.abs(deviationA[i]));
  return active.length > 0 ? median(active) : 0;
}

function scan(deviationA: Float32Array, smooth: number, thresholdA: number, quietSamples: number): Pulse[] {
  const count = deviationA.length;
  const lowSum = thresholdA * 0.6 * smooth;
  const highSum = thresholdA * smooth;
  const pulses: Pulse[] = [];
  let sum = 0;
  let sign = 0;
  let startIndex = 0;
  let quiet = 0;
  for (let i = 0; i < count; i++) {
    sum += deviationA[i];
    if (i >= smooth) sum -= deviationA[i - smooth];
    if (sign === 0) {
      if (sum > highSum || sum < -highSum) {
        sign = sum > 0 ? 1 : -1;
        startIndex = Math.max(0, i - smooth + 1);
        quiet = 0;
      }
      continue;
    }
    const along = sum * sign;
    if (along >= lowSum) {
      quiet = 0;
      continue;
    }
    quiet++;
    const reversed = along < -highSum;
    if (quiet < quietSamples && !reversed) continue;
    pulses.push({ startIndex, endIndex: i - quiet + 1, sign: sign as 1 | -1, tailIndex: i - quiet + 1 });
    sign = reversed ? -sign : 0;
    startIndex = Math.max(0, i - smooth + 1);
    quiet = 0;
  }
  if (sign !== 0) pulses.push({ startIndex, endIndex: count, sign: sign as 1 | -1, tailIndex: count });
  return pulses;
}

function refineEdges(pulse: Pulse, deviationA: Float32Array, thresholdA: number, noiseA: number, sampling: Sampling): void {
  const { sign } = pulse;
  const onA = Math.max(noiseA, thresholdA * 0.5);
  let start = pulse.startIndex;
  const limit = Math.max(0, start - 3 - Math.round(0.003 * sampling.rateHz));
  while (start < pulse.endIndex - 1 && deviationA[start] * sign < onA) start++;
  while (start > limit && deviationA[start - 1] * sign >= onA) start--;
  pulse.startIndex = start;
  let end = pulse.endIndex;
  while (end > start + 1 && deviationA[end - 1] * sign < thresholdA * 0.6) end--;
  pulse.tailIndex = end;
  pulse.endIndex = end;
  if (end >= deviationA.length) return;
  const cut = rebound(deviationA, start, end, sign, sampling);
  if (cut !== null) {
    pulse.endIndex = cut;
    return;
  }
  // a slow clamp, or a diode across the motor, draws the end out: the switch opened where the fall began
  const before = Math.max(3, Math.round(LEVEL_S * sampling.rateHz));
  let fall = end;
  for (let round = 0; round < 3; round++) {
    const from = Math.max(start, fall - before);
    if (fall - from < 3) break;
    const levelA = median(deviationA.subarray(from, fall)) * sign;
    let at = fall;
    const stop = Math.max(start + 1, end - 2 * before);
    while (at > stop && deviationA[at - 1] * sign < Math.min(levelA * EDGE.from, levelA - noiseA)) at--;
    if (at === fall) break;
    fall = at;
  }
  if (isFall(deviationA, fall, end, sign)) pulse.endIndex = fall;
}

/** Whether the current only goes down from `fall` to `end`, and is down by half within the first third. */
function isFall(deviationA: Float32Array, fall: number, end: number, sign: number): boolean {
  if (end - fall < 1) return false;
  const third = fall + Math.ceil((end - fall) / 3);
  const topA = deviationA[fall - 1] * sign;
  return third >= end || deviationA[third] * sign < 0.6 * topA;
}

/** of the level before; more than this a motor that springs back does not drive through the shorted leads. Scored */
export const REBOUND_SHARE = 0.4;

/**
 * A mechanism pressed into its stop springs back when the switch lets go, and the shorted motor then drives a small current of the same
 * sign: the switch opened at the sharp cut before that hump. Null when the pulse ends otherwise.
 */
function rebound(deviationA: Float32Array, start: number, end: number, sign: number, sampling: Sampling): number | null {
  const cutSamples = Math.max(2, Math.round(CONTACT_S * sampling.rateHz));
  // a quick motor's fall from its switch-on peak is as sharp: what is cut off must have been a level
  const wide = Math.max(3, Math.round(LEVEL_S * sampling.rateHz));
  const first = Math.max(start + wide + 1, end - Math.round(PRESS.coastS * sampling.rateHz));
  let humpA = 0;
  for (let i = end - 1; i >= first; i--) {
    const valueA = deviationA[i] * sign;
    const beforeA = deviationA[Math.max(start, i - cutSamples)] * sign;
    if (valueA > humpA) humpA = valueA;
    if (humpA > REBOUND_SHARE * beforeA) continue;
    const levelA = median(deviationA.subarray(Math.max(start, i - cutSamples - wide), Math.max(start + 1, i - cutSamples + 1))) * sign;
    if (beforeA < EDGE.from * levelA) continue;
    let cut = i;
    while (cut > start + 1 && deviationA[cut - 1] * sign < EDGE.from * levelA) cut--;
    const lastA = deviationA[Math.max(i, end - Math.max(2, (end - i) >> 3))] * sign;
    return end - cut > 2 * cutSamples && lastA < 0.5 * humpA ? cut : null;
  }
  return null;
}
