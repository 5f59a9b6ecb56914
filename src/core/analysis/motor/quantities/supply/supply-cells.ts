import type { Baseline } from '../../sensor/baseline.ts';
import type { ClampSpeed } from '../../presses/clamp-speed.ts';
import type { LeadPlace } from '../../sensor/feed-voltage.ts';
import type { Press } from '../../presses/presses.ts';
import type { Sampling } from '../../sensor/sampling.ts';
import { channelLag, contactVolts, slowVoltage } from '../../wire/voltage-channel.ts';
import { CELL_S } from '../../signal/envelope.ts';
import { ENOUGH_READINGS, SWITCH_ON_S } from '../../time-scales.ts';
import { CAME_UP, SMALL_PART, TRIFLE } from '../../signal/decision-levels.ts';

/** Amps and volts of one press, cell by cell. */
export interface Cells {
  readonly currentA: Float64Array;
  readonly voltageV: Float64Array;
}

/** What the feed of one press is read from. */
interface FeedTrace {
  readonly press: Press;
  readonly baseline: Baseline;
  readonly sampling: Sampling;
  readonly voltageV: Float32Array;
  readonly place: LeadPlace;
  /** readings as they were written, and the one at which the sensor ends, A; null where it does not */
  readonly readA: Float32Array;
  readonly clipA: number | null;
  readonly clamp: ClampSpeed;
}

/** The same with what is worked out once for every lag that is tried. */
export interface Pairing extends FeedTrace {
  /** where the current has come up to nearly its highest of the switch-on */
  readonly risenIndex: number;
  /** what the voltage channel takes to follow (channelLag), s; 0 where it follows at once */
  readonly channelS: number;
  /** V; below this the contact is open */
  readonly contactV: number;
  /** first sample that is looked at, samples a cell, first sample of each cell, and its amps */
  readonly fromIndex: number;
  readonly step: number;
  readonly starts: readonly number[];
  readonly currentA: Float64Array;
  /** memory for the slowed volts of `[fromIndex, press.endIndex)` */
  readonly slowed: Float64Array;
}

/**
 * Finds the cells of a press. Left out are those in which the current or a slow voltage channel still rises, in which the contact is open,
 * and those with or beside a reading at the end of the sensor's range: they show less current than flowed. O(n).
 */
export function pairingOf(feed: FeedTrace): Pairing {
  const { press, baseline, sampling, place, voltageV } = feed;
  const contactV = contactVolts(press, voltageV);
  const risenIndex = risen(feed);
  const channelS = place === 'motor' ? channelLag(press, voltageV, contactV, risenIndex, sampling) : 0;
  const step = Math.max(1, Math.round(CELL_S * sampling.rateHz), Math.ceil((press.endIndex - press.startIndex) / ENOUGH_READINGS));
  // at the battery the resting voltage just before belongs to the line; at the motor the feed was dead then
  const fromIndex = place === 'motor' ? press.startIndex + 1 : Math.max(0, press.startIndex - Math.round(SWITCH_ON_S * sampling.rateHz));
  // of a step of 12 V a trifle of a small part is left for a converter of some mV to show;
  // while the current rises, a clamp that lags pairs a voltage that has sagged already with a current that is still to come
  const steadyFrom = Math.max(risenIndex, press.startIndex + Math.ceil(-Math.log(TRIFLE * SMALL_PART) * channelS * sampling.rateHz));
  const starts: number[] = [];
  const amps: number[] = [];
  for (let i = fromIndex; i + step <= press.endIndex - 1; i += step) {
    if (i + step > press.startIndex && i < steadyFrom) continue;
    if (press.dropouts.some((range) => i < range.endIndex + step && i + step > range.startIndex - step)) continue;
    if (reachesEnd(feed, Math.max(fromIndex, i - step), Math.min(press.endIndex, i + 2 * step)) || contactOpens(voltageV, contactV, i, i + step)) continue;
    let sum = 0;
    for (let j = i; j < i + step; j++) sum += baseline.deviationA[j];
    starts.push(i);
    amps.push((sum / step) * press.sign);
  }
  return { ...feed, contactV, risenIndex, channelS, fromIndex, step, starts, currentA: Float64Array.from(amps), slowed: new Float64Array(Math.max(0, press.endIndex - fromIndex)) };
}

/** Pairs of amps and volts, the voltage slowed down by `lagS` as the clamp slows the current. O(n). */
export function pairCells(pairing: Pairing, lagS: number, openV: number | null): Cells {
  const { press, fromIndex, step, starts, currentA, slowed } = pairing;
  slowVoltage(pairing, fromIndex, press.endIndex, lagS, openV, slowed);
  const voltageV = new Float64Array(starts.length);
  for (let c = 0; c < starts.length; c++) {
    let sum = 0;
    for (let j = starts[c] - fromIndex; j < starts[c] - fromIndex + step; j++) sum += slowed[j];
    voltageV[c] = sum / step;
  }
  return { currentA, voltageV };
}

function contactOpens(voltageV: Float32Array, contactV: number, from: number, to: number): boolean {
  for (let j = from; j < to; j++) if (Math.abs(voltageV[j]) < contactV) return true;
  return false;
}

function reachesEnd({ readA, clipA }: FeedTrace, from: number, to: number): boolean {
  if (clipA === null) return false;
  for (let j = from; j < to; j++) if (Math.abs(readA[j]) >= (1 - TRIFLE) * clipA) return true;
  return false;
}

function risen({ press, baseline, sampling }: FeedTrace): number {
  const endIndex = Math.min(press.endIndex, press.startIndex + Math.ceil(SWITCH_ON_S * sampling.rateHz));
  let topA = 0;
  for (let i = press.startIndex; i < endIndex; i++) topA = Math.max(topA, baseline.deviationA[i] * press.sign);
  let i = press.startIndex;
  while (i < endIndex && baseline.deviationA[i] * press.sign < CAME_UP * topA) i++;
  return i;
}
