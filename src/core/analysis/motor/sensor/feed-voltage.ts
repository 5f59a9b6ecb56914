import { median, quantile } from '../../../stats.ts';
import { SUPPLY, STEP } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { CLAMP_FOLLOWS_S, ENOUGH_READINGS } from '../time-scales.ts';

/** The voltage channel, when its lead sits at the motor's feed: it then shows the switch itself. */
export interface FeedVoltage {
  /** usual voltage with the switch made, V, without sign */
  readonly onV: number;
  /** median voltage of a stretch, V, without sign; null when it is empty */
  levelBetween(startIndex: number, endIndex: number): number | null;
  /** whether the feed stayed up over a stretch without current; null when it cannot be known (too short) */
  heldThrough(startIndex: number, endIndex: number): boolean | null;
  /** sample from which the feed is down until the end of a stretch; its end where the feed was up then, or hardly ever */
  upUntil(startIndex: number, endIndex: number): number;
}

export type LeadPlace = 'motor' | 'battery' | null;

/**
 * Tells where the voltage lead sits: at the motor's feed the voltage is gone whenever the switch is open, at the battery it never is.
 * `idle` are stretches without current. Null without a voltage channel, when the trace has no idle time to judge by, or when the volts are no vehicle's: a lead that
 * came off, a divider set wrongly. Such a channel is no evidence.
 */
export function placeOfLead(voltageV: Float32Array | null, idle: Int32Array): { place: LeadPlace; idleV: number | null; topV: number; isEvidence: boolean } {
  if (voltageV === null || voltageV.length === 0) return { place: null, idleV: null, topV: 0, isEvidence: false };
  const stride = Math.max(1, Math.floor(voltageV.length / ENOUGH_READINGS));
  const sizes: number[] = [];
  for (let i = 0; i < voltageV.length; i += stride) sizes.push(Math.abs(voltageV[i]));
  const topV = quantile(sizes, 0.995);
  const idleV = idleLevel(voltageV, idle);
  if (topV < SUPPLY.deadV) return { place: null, idleV, topV, isEvidence: false };
  if (idleV === null) return { place: null, idleV, topV, isEvidence: true };
  // the lowest idle stretch decides: a feed that is up although nothing flows is a dead motor, not a battery lead
  if (idleV < 0.3 * topV) return { place: 'motor', idleV, topV, isEvidence: true };
  const isEvidence = topV >= SUPPLY.runningV;
  return { place: isEvidence ? 'battery' : null, idleV, topV, isEvidence };
}

function idleLevel(voltageV: Float32Array, idle: Int32Array): number | null {
  const levels: number[] = [];
  for (let r = 0; r < idle.length; r += 2) {
    const from = idle[r];
    const to = idle[r + 1];
    const piece = Math.max(1, Math.ceil((to - from) / 20));
    for (let i = from; i < to; i += piece) levels.push(Math.abs(median(voltageV.subarray(i, Math.min(to, i + piece)))));
  }
  return levels.length === 0 ? null : quantile(levels, 0.1);
}

export function feedVoltage(voltageV: Float32Array, onV: number): FeedVoltage {
  const levelBetween = (startIndex: number, endIndex: number): number | null => (endIndex > startIndex ? Math.abs(median(voltageV.subarray(startIndex, endIndex))) : null);
  return {
    onV,
    levelBetween,
    heldThrough(startIndex, endIndex) {
      const span = endIndex - startIndex;
      if (span < 3) return null;
      const levelV = levelBetween(startIndex + (span >> 2), endIndex - (span >> 2));
      return levelV === null ? null : levelV > 0.85 * onV;
    },
    upUntil(startIndex, endIndex) {
      const middle = (startIndex + endIndex) >> 1;
      let end = endIndex;
      while (end > middle && Math.abs(voltageV[end - 1]) < STAYS_UP * onV) end--;
      return end > middle ? end : endIndex;
    },
  };
}

/** of the feed's usual volts: it is up from the first share on, until it falls below the second (a feed that loses half of its volts still drives its motor) */
const COMES_UP = 0.6;
export const STAYS_UP = 0.4;

/** Stretches in which the feed was up, `[startIndex, endIndex)`, at least `shortestSamples` long: presses as the voltage shows them. O(n). */
export function feedUp(voltageV: Float32Array, onV: number, shortestSamples: number): IndexRange[] {
  const ranges: IndexRange[] = [];
  let startIndex = -1;
  for (let i = 0; i <= voltageV.length; i++) {
    const up = i < voltageV.length && Math.abs(voltageV[i]) > (startIndex < 0 ? COMES_UP : STAYS_UP) * onV;
    if (up && startIndex < 0) startIndex = i;
    if (!up && startIndex >= 0) {
      if (i - startIndex >= shortestSamples) ranges.push({ startIndex, endIndex: i });
      startIndex = -1;
    }
  }
  return ranges;
}


/** Whether the current of a stall went although the feed stayed up: the motor's own cut-out opened. */
export function cutOutAfter(stall: IndexRange, voltageV: Float32Array, deviationA: Float32Array, rateHz: number): boolean {
  const from = stall.endIndex + Math.max(2, Math.round(CLAMP_FOLLOWS_S * rateHz));
  const to = Math.min(voltageV.length, from + Math.max(3, Math.round(STEP.sideS * rateHz)));
  if (to - from < 3 || stall.endIndex - stall.startIndex < 3) return false;
  const standing = Math.abs(median(voltageV.subarray(stall.startIndex, stall.endIndex)));
  const after = Math.abs(median(voltageV.subarray(from, to)));
  const levelA = Math.abs(median(deviationA.subarray(stall.startIndex, stall.endIndex)));
  return after > 0.8 * standing && after > SUPPLY.deadV && Math.abs(median(deviationA.subarray(from, to))) < 0.1 * levelA;
}
