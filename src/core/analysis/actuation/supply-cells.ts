import type { Baseline } from './baseline.ts';
import type { ClampSpeed } from './clamp-speed.ts';
import type { LeadPlace } from './feed-voltage.ts';
import type { Press } from './presses.ts';
import type { Sampling } from './sampling.ts';
import { channelLag, contactVolts, slowedVoltage } from './voltage-channel.ts';

/** s; voltage and current are averaged over this before they are compared, so that clamp and voltage channel need not agree to the sample */
const CELL_S = 0.005;
const MOST_CELLS = 2000;
/** of the end of the sensor's range; a reading this near is there (gain errors of a few tenths of a percent, Hall IC datasheets) */
const NEAR_END = 0.995;
/** time constants after which nothing of a step of 12 V is left that a converter of some mV shows: e^-7 of it are 11 mV */
const SETTLED_AFTER = 7;

/** Amps and volts of one press, cell by cell. */
export interface Cells {
  readonly count: number;
  readonly currentA: Float64Array;
  readonly voltageV: Float64Array;
}

/** What the feed of one press is told from. */
export interface FeedTrace {
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
  /** time constant of the voltage channel, s; 0 where it follows at once */
  readonly channelS: number;
  /** V; below this the contact is open */
  readonly contactV: number;
}

export function pairingOf(feed: FeedTrace): Pairing {
  const contactV = contactVolts(feed.press, feed.voltageV);
  const risenIndex = risen(feed);
  return { ...feed, contactV, risenIndex, channelS: feed.place === 'motor' ? channelLag(feed.press, feed.voltageV, contactV, risenIndex, feed.sampling) : 0 };
}

/**
 * Pairs of amps and volts, the voltage slowed down by `lagS` as the clamp slows the current. Left out are cells in which the current or a
 * slow voltage channel still rises, in which the contact is open, and those with or beside a reading at the end of the sensor's range: they
 * show less current than flowed. O(n).
 */
export function pairCells(pairing: Pairing, lagS: number, openV: number | null): Cells {
  const { press, baseline, sampling, place } = pairing;
  const step = Math.max(1, Math.round(CELL_S * sampling.rateHz), Math.ceil((press.endIndex - press.startIndex) / MOST_CELLS));
  // at the battery the resting voltage just before belongs to the line; at the motor the feed was dead then
  const from = place === 'motor' ? press.startIndex + 1 : Math.max(0, press.startIndex - Math.round(0.1 * sampling.rateHz));
  const most = Math.max(1, Math.ceil((press.endIndex - from) / step));
  const currentA = new Float64Array(most);
  const volts = new Float64Array(most);
  let count = 0;
  // while the current rises, a clamp that lags pairs a voltage that has sagged already with a current that is still to come
  const steadyFrom = Math.max(pairing.risenIndex, press.startIndex + Math.ceil(SETTLED_AFTER * pairing.channelS * sampling.rateHz));
  const slowed = slowedVoltage(pairing, from, press.endIndex, lagS, openV);
  for (let i = from; i + step <= press.endIndex - 1; i += step) {
    if (i + step > press.startIndex && i < steadyFrom) continue;
    if (press.dropouts.some((range) => i < range.endIndex + step && i + step > range.startIndex - step)) continue;
    if (reachesEnd(pairing, Math.max(from, i - step), Math.min(press.endIndex, i + 2 * step)) || contactOpens(pairing, i, i + step)) continue;
    let amps = 0;
    let sum = 0;
    for (let j = i; j < i + step; j++) {
      amps += baseline.deviationA[j];
      sum += slowed[j - from];
    }
    currentA[count] = (amps / step) * press.sign;
    volts[count++] = sum / step;
  }
  return { count, currentA: currentA.subarray(0, count), voltageV: volts.subarray(0, count) };
}

function contactOpens({ voltageV, contactV }: Pairing, from: number, to: number): boolean {
  for (let j = from; j < to; j++) if (Math.abs(voltageV[j]) < contactV) return true;
  return false;
}

function reachesEnd({ readA, clipA }: Pairing, from: number, to: number): boolean {
  if (clipA === null) return false;
  for (let j = from; j < to; j++) if (Math.abs(readA[j]) >= NEAR_END * clipA) return true;
  return false;
}

/** s; winding and clamp together have come up by then (outside numbers: window, at least 5 A in the first 22 ms; slow clamps some 5 ms) */
const SWITCH_ON_S = 0.1;
const RISEN_SHARE = 0.97;

function risen({ press, baseline, sampling }: FeedTrace): number {
  const endIndex = Math.min(press.endIndex, press.startIndex + Math.ceil(SWITCH_ON_S * sampling.rateHz));
  let topA = 0;
  for (let i = press.startIndex; i < endIndex; i++) topA = Math.max(topA, baseline.deviationA[i] * press.sign);
  let i = press.startIndex;
  while (i < endIndex && baseline.deviationA[i] * press.sign < RISEN_SHARE * topA) i++;
  return i;
}
