import { median, quantile, robustSigma } from '../../../stats.ts';
import type { Baseline } from '../sensor/baseline.ts';
import type { Sampling } from '../sensor/sampling.ts';
import type { Press } from '../presses/presses.ts';
import { feedUp, type LeadPlace } from '../sensor/feed-voltage.ts';
import type { IndexRange } from '../types.ts';
import { QUICKEST_ROTOR_S } from '../motor-model.ts';
import { PRESS } from '../settings.ts';
import { MAINS_PERIOD_S, SWITCH_ON_S } from '../time-scales.ts';
import { EDGE, quietScatter } from '../signal/levels.ts';
import { FEWEST, NEARLY_ALL, SMALL_PART, clearOf } from '../signal/decision-levels.ts';

/** of the volts; a feed that carries nothing does not dip by so much as it comes up, nor sag by so much at the battery */
export const LEAST_DIP = 0.005;

/** Where the voltage lead sits, and the highest volts it saw. */
interface Lead {
  readonly topV: number;
  readonly place: LeadPlace;
}

/**
 * Stretches in which the volts sag as if a load drew current while the clamp shows none: at the motor the feed comes up with the dip of a
 * switch-on, at the battery the volts step down and come back. O(n).
 */
export function unseenLoads(voltageV: Float32Array, { topV, place }: Lead, presses: readonly Press[], { idle }: Baseline, sampling: Sampling): IndexRange[] {
  if (place === null) return [];
  const shortest = Math.max(FEWEST, Math.round(PRESS.handS * sampling.rateHz));
  const found = place === 'motor' ? feedUp(voltageV, topV, shortest).filter((up) => dipsAtStart(up, voltageV, sampling) || coastsAfter(up, voltageV, topV, sampling)) : sags(voltageV, idle, shortest, sampling);
  return found.filter((range) => !presses.some((press) => press.startIndex < range.endIndex && press.endIndex > range.startIndex));
}

function dipsAtStart(up: IndexRange, voltageV: Float32Array, { rateHz }: Sampling): boolean {
  const width = Math.max(2, Math.round(SMALL_PART * SWITCH_ON_S * rateHz));
  const from = up.startIndex + 1;
  const lateFrom = Math.max(from + width, up.endIndex - Math.round(SWITCH_ON_S * rateHz) - 1);
  const late = voltageV.subarray(lateFrom, Math.max(lateFrom + 1, up.endIndex - 1));
  const lateV = Math.abs(median(late));
  const noiseV = robustSigma(late);
  let lowestV = Infinity;
  for (let i = from; i + width < Math.min(lateFrom, from + SWITCH_ON_S * rateHz); i += Math.max(1, width >> 1)) lowestV = Math.min(lowestV, Math.abs(median(voltageV.subarray(i, i + width))));
  return lateV - lowestV > Math.max(LEAST_DIP * lateV, (clearOf(late.length) * noiseV) / Math.sqrt(width));
}

/** A motor that coasts drives the open lead, a dead one drops it at once. */
function coastsAfter({ endIndex }: IndexRange, voltageV: Float32Array, topV: number, { rateHz }: Sampling): boolean {
  let from = endIndex;
  while (from > 0 && Math.abs(voltageV[from - 1]) < EDGE.from * topV) from--;
  let to = from;
  while (to < voltageV.length && Math.abs(voltageV[to]) > EDGE.to * topV) to++;
  return to < voltageV.length && to - from > Math.max(FEWEST, QUICKEST_ROTOR_S * rateHz);
}

/** Stretches at the battery that lie below its resting volts and come back, whichever way round the lead sits. */
function sags(voltageV: Float32Array, idle: Int32Array, shortest: number, { rateHz }: Sampling): IndexRange[] {
  const width = Math.max(2, Math.round(MAINS_PERIOD_S * rateHz));
  const blocks = Math.floor(voltageV.length / width);
  if (blocks < 2 * FEWEST) return [];
  const levels = new Float64Array(blocks).map((_value, b) => Math.abs(median(voltageV.subarray(b * width, (b + 1) * width))));
  const restV = quantile(levels, NEARLY_ALL);
  const limitV = Math.max(LEAST_DIP * restV, clearOf(blocks) * quietScatter(levels));
  const ranges: IndexRange[] = [];
  let from = -1;
  // one that does not come back is none
  for (let b = 0; b < blocks; b++) {
    const low = levels[b] < restV - limitV;
    if (low && from < 0) from = b;
    if (low || from < 0) continue;
    const range = { startIndex: from * width, endIndex: b * width };
    if (range.endIndex - range.startIndex >= shortest && from > 0 && levels[from - 1] - levels[from + 1] > limitV / 2) ranges.push(range);
    from = -1;
  }
  return idle.length === 0 ? [] : ranges;
}
