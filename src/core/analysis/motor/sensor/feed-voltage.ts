import { median, quantile } from '../../../stats.ts';
import { SUPPLY, STEP } from '../settings.ts';
import type { IndexRange } from '../types.ts';
import { CLAMP_FOLLOWS_S, ENOUGH_READINGS } from '../time-scales.ts';
import { CLEAR_PART, FEWEST, LITTLE, MOST_OF, SMALL_PART, TRIFLE } from '../signal/decision-levels.ts';

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
  const topV = quantile(sizes, 1 - TRIFLE);
  const idleV = idleLevel(voltageV, idle);
  if (topV < SUPPLY.deadV) return { place: null, idleV, topV, isEvidence: false };
  if (idleV === null) return { place: null, idleV, topV, isEvidence: true };
  // the lowest idle stretch decides: a feed that is up although nothing flows is a dead motor, not a battery lead
  if (idleV < CLEAR_PART * topV) return { place: 'motor', idleV, topV, isEvidence: true };
  const isEvidence = topV >= SUPPLY.runningV;
  return { place: isEvidence ? 'battery' : null, idleV, topV, isEvidence };
}

function idleLevel(voltageV: Float32Array, idle: Int32Array): number | null {
  const levels: number[] = [];
  for (let r = 0; r < idle.length; r += 2) {
    const from = idle[r];
    const to = idle[r + 1];
    const piece = Math.max(1, Math.ceil(LITTLE * (to - from)));
    for (let i = from; i < to; i += piece) levels.push(Math.abs(median(voltageV.subarray(i, Math.min(to, i + piece)))));
  }
  return levels.length === 0 ? null : quantile(levels, SMALL_PART);
}

export function feedVoltage(voltageV: Float32Array, onV: number): FeedVoltage {
  const levelBetween = (startIndex: number, endIndex: number): number | null => (endIndex > startIndex ? Math.abs(median(voltageV.subarray(startIndex, endIndex))) : null);
  return {
    onV,
    levelBetween,
    heldThrough(startIndex, endIndex) {
      const span = endIndex - startIndex;
      if (span < FEWEST) return null;
      const levelV = levelBetween(startIndex + (span >> 2), endIndex - (span >> 2));
      return levelV === null ? null : levelV > MOST_OF * onV;
    },
    upUntil(startIndex, endIndex) {
      const middle = (startIndex + endIndex) >> 1;
      let end = endIndex;
      while (end > middle && Math.abs(voltageV[end - 1]) < onV / 2) end--;
      return end > middle ? end : endIndex;
    },
  };
}


/** Stretches in which the feed was up, `[startIndex, endIndex)`, at least `shortestSamples` long: presses as the voltage shows them. O(n). */
export function feedUp(voltageV: Float32Array, onV: number, shortestSamples: number): IndexRange[] {
  const ranges: IndexRange[] = [];
  let startIndex = -1;
  for (let i = 0; i <= voltageV.length; i++) {
    const up = i < voltageV.length && Math.abs(voltageV[i]) > onV / 2;
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
  const to = Math.min(voltageV.length, from + Math.max(FEWEST, Math.round(STEP.sideS * rateHz)));
  if (to - from < FEWEST || stall.endIndex - stall.startIndex < FEWEST) return false;
  const standing = Math.abs(median(voltageV.subarray(stall.startIndex, stall.endIndex)));
  const after = Math.abs(median(voltageV.subarray(from, to)));
  const levelA = Math.abs(median(deviationA.subarray(stall.startIndex, stall.endIndex)));
  return after > MOST_OF * standing && after > SUPPLY.deadV && Math.abs(median(deviationA.subarray(from, to))) < SMALL_PART * levelA;
}
